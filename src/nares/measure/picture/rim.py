"""Where the rim of the opening really is in its window, and whether something reaches across it.

Conventions
-----------
Looks are (3, CELLS * CELLS): brightness and the two colour differences of every cell. A region drawn by hand,
or on a picture the phone has since moved from, sits a little beside the opening or is a little too large; the
rim is where the looks change all the way round.
"""

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise, product

import numpy as np
from numpy.typing import NDArray

from nares.measure.picture.patch import CELLS, Cells, cells

Floats = NDArray[np.float32]

SECTORS = 12
NOT_IN = -1.2

KEEP = 0.4
"""The drawn rim is kept when it shows this share of the contrast of the best rim nearby."""

OFFSETS = tuple(np.linspace(-0.8, 0.8, 9).tolist())
SCALES = (0.7, 0.85, 1.0, 1.2, 1.35)

Place = tuple[float, float, float]
"""Where a rim may lie: right of and below the drawn one, in half widths and heights; and its size."""

DRAWN: Place = (0.0, 0.0, 1.0)


def fitted(value: Floats) -> Cells:
    """The cells laid out around the rim that the looks show, or around the drawn one if that will do."""
    places = [*product(OFFSETS, OFFSETS, SCALES), DRAWN]
    contrast = rim_contrasts(value, places)
    fond = [
        one * (1 - abs(float(np.log(scale)))) for one, (_, _, scale) in zip(contrast, places, strict=True)
    ]
    best = int(np.argmax(fond[:-1]))
    across, down, scale = DRAWN if contrast[-1] >= KEEP * contrast[best] else places[best]
    return cells(CELLS, across=across, down=down, scale=scale)


def rim_contrasts(value: Floats, places: list[Place]) -> list[float]:
    """How much the looks change across a rim at each place, on all but a third of its sides."""
    sides = [_side_means(value, _sides(*place)) for place in places]
    steps = _apart(np.array([within for within, _ in sides]), np.array([beyond for _, beyond in sides]))
    return [float(step) for step in np.percentile(np.nan_to_num(steps), 35, axis=1)]


@dataclass(frozen=True, slots=True)
class Side:
    """The cells on one side of a rim in all three planes: which, in which bin of a sector, how many in each.

    ``cell``: (3 k,) into looks laid flat; ``bin``: (3 k,); ``count``: (SECTORS,), NaN where there is none.
    """

    cell: NDArray[np.intp]
    bin: NDArray[np.intp]
    count: NDArray[np.float64]


@lru_cache(maxsize=512)
def _sides(across: float, down: float, scale: float) -> tuple[Side, Side]:
    """The cells just within a rim and just beyond it, by sector: geometry, the same for every picture."""
    where = cells(CELLS, across=across, down=down, scale=scale)
    cell = 0.17 / scale
    reach, sector = where.reach.ravel(), _sector_of(where)
    within = (reach < 1 - 0.2 * cell) & (reach >= 1 - 2.4 * cell)
    return _side(sector, within), _side(sector, (reach > 1 + 0.2 * cell) & (reach <= 1 + 2.4 * cell))


def _side(sector: NDArray[np.intp], chosen: NDArray[np.bool_]) -> Side:
    cell, planes = np.flatnonzero(chosen), np.arange(3)[:, None]
    count = np.bincount(sector[cell], minlength=SECTORS).astype(float)
    count[count == 0] = np.nan
    return Side((cell + planes * len(sector)).ravel(), (sector[cell] + planes * SECTORS).ravel(), count)


def _side_means(value: Floats, sides: tuple[Side, Side]) -> tuple[Floats, Floats]:
    """Mean looks by sector on either side, NaN where there is no cell; (SECTORS, 3) each."""
    flat = value.ravel()
    sums = [np.bincount(side.bin, flat[side.cell], minlength=3 * SECTORS) for side in sides]
    within, beyond = ((s.reshape(3, SECTORS) / side.count).T for s, side in zip(sums, sides, strict=True))
    return within.astype(np.float32), beyond.astype(np.float32)


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


def crossing(value: Floats, where: Cells, enters: int) -> tuple[float, float]:
    """How far that reaches across the opening which comes over its entry rim, and how foreign it is.

    Args:
        value: The look, (3, cells).
        where: Its cells.
        enters: 1 when things come in from the left, -1 from the right.

    Returns:
        Reach from -1 at the entry rim to 1 at the far rim, -1.2 when nothing is seen to come in; and its
        distance from the panel's look, in a picture of middle brightness. [of 255]
    """
    shown = value / (max(float(np.median(value[0])), 10.0) / 128)
    panel_side = _sectors(shown, where, 1.18, 1.5)
    seen = ~np.isnan(panel_side).any(axis=1)
    if seen.sum() < SECTORS // 2:
        return NOT_IN, 0.0
    foreign = np.nan_to_num(_apart(panel_side, np.median(panel_side[seen], axis=0)))
    entry = np.cos(2 * np.pi * np.arange(SECTORS) / SECTORS) * enters < -0.4
    most = int(np.argmax(np.where(entry & seen, foreign, -1)))
    alike = _apart(shown.T, panel_side[most][None]) < 0.4 * foreign[most]
    return _reached(alike, where, enters), float(foreign[most])


def _reached(alike: NDArray[np.bool_], where: Cells, enters: int) -> float:
    """The furthest column that holds cells alike, without a gap from the entry rim."""
    across = (where.reach * np.cos(where.angle)).ravel() * enters
    inside = where.reach.ravel() <= 0.92
    reach = NOT_IN
    for low, high in pairwise(np.linspace(-0.95, 0.95, 11).tolist()):
        here = inside & (across >= low) & (across < high)
        if here.any() and alike[here].mean() >= 0.12:
            reach = high
        elif here.any() and high > -0.6:
            break
    return float(reach)


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
