"""Where the rim of the opening really is in its window, and whether something reaches across it.

Conventions
-----------
Looks are (3, CELLS * CELLS): brightness and the two colour differences of every cell. A region drawn by hand,
or on a picture the phone has since moved from, sits a little beside the opening or is a little too large; the
rim is where the looks change all the way round.
"""

from itertools import product

import numpy as np
from numpy.typing import NDArray

from nares.measure.patch import CELLS, Cells, cells

Floats = NDArray[np.float32]

SECTORS = 12

KEEP = 0.4
"""The drawn rim is kept when it shows this share of the contrast of the best rim nearby."""

OFFSETS = tuple(np.linspace(-0.8, 0.8, 9).tolist())
SCALES = (0.7, 0.85, 1.0, 1.2, 1.35)


def fitted(value: Floats) -> Cells:
    """The cells laid out around the rim that the looks show, or around the drawn one if that will do."""
    drawn = (0.0, 0.0, 1.0)
    best = max(
        product(OFFSETS, OFFSETS, SCALES),
        key=lambda place: rim_contrast(value, *place) * (1 - abs(float(np.log(place[2])))),
    )
    if rim_contrast(value, *drawn) >= KEEP * rim_contrast(value, *best):
        best = drawn
    return cells(CELLS, across=best[0], down=best[1], scale=best[2])


def rim_contrast(value: Floats, across: float, down: float, scale: float) -> float:
    """How much the looks change across a rim, on all but a third of its sides."""
    where = cells(CELLS, across=across, down=down, scale=scale)
    cell = 0.17 / scale
    reach, sector = where.reach.ravel(), _sector_of(where)
    within = _means(value, sector, (reach < 1 - 0.2 * cell) & (reach >= 1 - 2.4 * cell))
    beyond = _means(value, sector, (reach > 1 + 0.2 * cell) & (reach <= 1 + 2.4 * cell))
    return float(np.percentile(np.nan_to_num(_apart(within, beyond)), 35))


def _means(value: Floats, sector: NDArray[np.intp], chosen: NDArray[np.bool_]) -> Floats:
    """Mean looks by sector, NaN where there is no cell; (SECTORS, 3)."""
    count = np.bincount(sector[chosen], minlength=SECTORS).astype(float)
    count[count == 0] = np.nan
    sums = [np.bincount(sector[chosen], plane[chosen], minlength=SECTORS) for plane in value]
    return np.asarray((np.stack(sums) / count).T, np.float32)


def crosses_rim(value: Floats, where: Cells) -> bool:
    """Whether something reaches across the rim: foreign on the panel there, and alike just inside."""
    light = max(float(np.median(value[0])), 10.0) / 128  # a dim picture has small differences everywhere
    panel_side = _sectors(value / light, where, 1.18, 1.5)
    inner_side = _sectors(value / light, where, 0.45, 0.82)
    seen = ~np.isnan(panel_side + inner_side).any(axis=1)
    if seen.sum() < SECTORS // 2:
        return False
    panel_side, inner_side = panel_side[seen], inner_side[seen]
    panel = np.median(panel_side, axis=0)
    foreign = _apart(panel_side, panel)
    usual = float(np.percentile(foreign, 25))
    reaching = (
        (foreign > max(4 * usual, 6.0))
        & (_apart(inner_side, panel_side) < 0.6 * foreign)
        & (_apart(inner_side, panel) > 0.5 * foreign)
    )
    return bool(reaching.any())


def foreign_on_panel(value: Floats, where: Cells) -> float:
    """How much of the panel around the rim looks unlike the rest of it, over all sides."""
    panel_side = _sectors(value, where, 1.18, 1.5)
    panel_side = panel_side[~np.isnan(panel_side).any(axis=1)]
    if len(panel_side) < SECTORS // 2:
        return 0.0
    return float(_apart(panel_side, np.median(panel_side, axis=0)).mean())


def _sectors(value: Floats, where: Cells, low: float, high: float) -> Floats:
    """Median looks by direction within a band, NaN where there is no cell; (SECTORS, 3)."""
    band = (where.reach.ravel() >= low) & (where.reach.ravel() < high)
    sector = _sector_of(where)
    found = np.full((SECTORS, 3), np.nan, np.float32)
    for index in np.unique(sector[band]):
        found[index] = np.median(value[:, band & (sector == index)], axis=1)
    return found


def _apart(one: Floats, other: Floats) -> Floats:
    """Distance of looks, colour counting twice as much as brightness."""
    return np.asarray(np.sqrt((((one - other) * np.array([0.5, 1, 1])) ** 2).sum(axis=-1)), np.float32)


def _sector_of(where: Cells) -> NDArray[np.intp]:
    turn = 2 * np.pi / SECTORS
    return np.asarray(np.floor((where.angle.ravel() + turn / 2) / turn).astype(np.intp) % SECTORS)
