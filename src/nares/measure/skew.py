"""How much later the picture of a recording is than its sound, from four clicks with the hand in view.

Conventions
-----------
Positive skew: what is seen comes later on the recording's clock than what is heard of the same event. A hand
that clicks stirs the picture four times at one distance from the four snaps; nothing else in view does. The
thumb begins its stroke a moment before the snap (`LEAD_S`, assumed); how long a moment stays in the stated
interval (`STROKE_S`). Where the four do not agree, nothing is said.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from nares.measure.picture.stir import Stirred

FARTHEST_S = 0.30
"""Phones lie within this. [s]"""
LEAD_S = 0.025
"""How long before its snap a stroke is half under way: assumed, not measured. [s]"""
STROKE_S = 0.030
"""Half-width of what that leaves open. [s]"""
AGREE_S = 0.07
"""The four stirs lie this near to their common distance from the snaps. [s]"""
CLICK_S = 0.16
"""Pressing and letting go lie this near to the greatest stir. [s]"""
STANDS_OUT = 4.0
"""The stir at the snaps stands this many times above what is usual between them."""
STEP_S = 0.004
CELLS = 6
"""The cells that stir most with the snaps are asked."""

Floats = NDArray[np.floating[Any]]


@dataclass(frozen=True, slots=True)
class Skew:
    """``skew_s``: how much later the picture is. ``within_s``: half-width of a 95 % interval. [s]"""

    skew_s: float
    within_s: float

    @property
    def is_plain(self) -> bool:
        """Whether it is surely not nothing."""
        return abs(self.skew_s) > self.within_s


def skew_of(stirred: Stirred, presses_s: tuple[float, ...]) -> Skew | None:
    """The skew that the marks of a start block show; None where no hand stirs with them.

    Args:
        stirred: The start of the picture.
        presses_s: When the marks of the start block were heard. [s]
    """
    if len(presses_s) < 3 or len(stirred.at_s) < 8 or stirred.at_s[-1] < presses_s[-1] + FARTHEST_S:
        return None
    lags = np.arange(-FARTHEST_S, FARTHEST_S + STEP_S / 2, STEP_S)
    usual = np.median(stirred.cells, axis=0) + 0.25
    cells = _with_the_snaps(stirred, presses_s, lags, usual)
    if not cells.size:
        return None
    trace = (stirred.cells[:, cells] / usual[cells]).mean(axis=1)
    around = np.stack([np.interp(at_s + lags, stirred.at_s, trace) for at_s in presses_s])
    common = lags[int(np.argmax(np.median(around, axis=0)))]
    own = np.array([_stroke_near(row, lags, common) for row in around])
    if np.isnan(own).any() or np.ptp(own) > 2 * AGREE_S:
        return None
    spread_s = float(own.std(ddof=1))
    frame_s = float(np.median(np.diff(stirred.at_s)))
    error_s = max(spread_s, frame_s / np.sqrt(12.0)) / np.sqrt(len(own))
    return Skew(round(float(own.mean()) + LEAD_S, 4), round(float(np.hypot(1.96 * error_s, STROKE_S)), 4))


def _with_the_snaps(
    stirred: Stirred, presses_s: tuple[float, ...], lags: Floats, usual: Floats
) -> NDArray[np.intp]:
    """The cells that stir at one distance from every snap, the most marked first."""
    index = np.stack([np.searchsorted(stirred.at_s, at_s + lags) for at_s in presses_s])
    index = np.clip(index, 0, len(stirred.at_s) - 1)
    # Least over the snaps, most over the distances: one foreign movement does not make a hand.
    least = (stirred.cells[index] / usual).min(axis=0).max(axis=0)
    order = np.argsort(-least)[:CELLS]
    return np.asarray(order[least[order] >= STANDS_OUT], dtype=np.intp)


def _stroke_near(row: Floats, lags: Floats, common_s: float) -> float:
    """Where one snap's stir begins near the common distance, at half its height; NaN where none is. [s]

    Pressing and letting go both stir: the earlier counts.
    """
    near = np.flatnonzero(np.abs(lags - common_s) <= CLICK_S)
    top = float(row[near].max())
    if top < STANDS_OUT / 2:
        return float("nan")
    begun = near[int(np.argmax(row[near] >= top / 2))]
    if begun == 0:
        return float(lags[0])
    share = (top / 2 - row[begun - 1]) / max(float(row[begun] - row[begun - 1]), 1e-9)
    return float(lags[begun - 1] + np.clip(share, 0.0, 1.0) * STEP_S)
