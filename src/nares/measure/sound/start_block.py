"""A start block: a recording that begins with quiet and then four clicks about one second apart.

Conventions
-----------
Quiet means at least one second without a snap as loud as the clicks. The four clicks make a print of the
clicker as good as a recording of it alone, because nothing else was heard yet.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nares.measure.sound.clicker import ALIKE_DB, print_from
from nares.measure.sound.judge import judge
from nares.measure.sound.likeness import FIRST_BAND, alone_rows, distances, power, risen_db
from nares.measure.sound.marks import ClickerPrint
from nares.measure.sound.snaps import Snaps

CLICKS = 4
QUIET_S = 1.0
LATEST_S = 9.0
STEP_S = (0.75, 1.30)
RISEN_DB = 10.0
FAINTER_DB = 12.0


@dataclass(frozen=True, slots=True)
class StartBlock:
    """What a start block teaches.

    ``known``: the print of the clicker. ``presses_s``: when the four clicks were pressed. ``floor_db``: the
    background before them above 1 kHz, dB of power against full scale.
    """

    known: ClickerPrint
    presses_s: tuple[float, ...]
    floor_db: float


def start_block_of(snaps: Snaps) -> StartBlock | None:
    """What a start block teaches; None when the recording does not begin with one.

    Args:
        snaps: All snaps of the recording in time order.
    """
    early = snaps.take((snaps.at_s < LATEST_S) & (risen_db(snaps) > RISEN_DB))
    if len(early) < CLICKS:
        return None
    apart = distances(early, early)
    loud = early.steps[:, 0].astype(np.float64)
    for first in range(len(early) - CLICKS + 1):
        clicks = _steps_from(first, early, apart)
        if len(clicks) == CLICKS and _first_heard(clicks, early.at_s, loud):
            return _learned(early, clicks)
    return None


def _learned(early: Snaps, clicks: list[int]) -> StartBlock | None:
    at_s = early.at_s[clicks]
    block = early.take((early.at_s >= at_s[0] - 0.001) & (early.at_s <= at_s[-1] + 0.45))
    known = print_from(block, judge("marks/alone").chance(alone_rows(block)))
    if known is None:
        return None
    before = power(early.before[clicks])[:, FIRST_BAND:].sum(axis=1)
    floor_db = round(float(10.0 * np.log10(np.median(before))), 1)
    return StartBlock(known, tuple(round(float(one), 5) for one in at_s), floor_db)


def _steps_from(first: int, early: Snaps, apart: NDArray[np.float64]) -> list[int]:
    """Snaps about one second after one another, each like the first."""
    chain = [first]
    while len(chain) < CLICKS:
        gap = early.at_s - early.at_s[chain[-1]]
        nearby = np.flatnonzero((gap >= STEP_S[0]) & (gap <= STEP_S[1]) & (apart[first] < ALIKE_DB))
        if not nearby.size:
            break
        chain.append(int(nearby[np.argmin(np.abs(gap[nearby] - 1.0))]))
    return chain


def _first_heard(clicks: list[int], at_s: NDArray[np.float64], loud: NDArray[np.float64]) -> bool:
    """Whether nothing nearly as loud came before the first click, and it came after the quiet."""
    before = at_s < at_s[clicks[0]] - 0.001
    usual = float(np.median(loud[clicks]))
    return bool(at_s[clicks[0]] >= QUIET_S and not np.any(before & (loud > usual - FAINTER_DB)))
