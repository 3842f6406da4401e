"""A start block: a recording that begins with quiet and then four clicks about one second apart.

Conventions
-----------
Quiet means at least one second without a snap as loud as the clicks. The four clicks make a print of the
clicker as good as a recording of it alone, because nothing else was heard yet.
"""

import numpy as np
from numpy.typing import NDArray

from nares.measure.sound.clicker import ALIKE_DB, print_from
from nares.measure.sound.judge import judge
from nares.measure.sound.likeness import alone_rows, distances, risen_db
from nares.measure.sound.marks import ClickerPrint
from nares.measure.sound.snaps import Snaps

CLICKS = 4
QUIET_S = 1.0
LATEST_S = 9.0
STEP_S = (0.75, 1.30)
RISEN_DB = 10.0
FAINTER_DB = 12.0


def start_block_of(snaps: Snaps) -> ClickerPrint | None:
    """The print learned from a start block; None when the recording does not begin with one.

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
            last_s = float(early.at_s[clicks[-1]]) + 0.45
            block = early.take((early.at_s >= early.at_s[first] - 0.001) & (early.at_s <= last_s))
            return print_from(block, judge("marks/alone").chance(alone_rows(block)))
    return None


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
