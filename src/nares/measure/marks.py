"""From snaps to marks: which snaps are this clicker's, and which of them begin a mark.

Conventions
-----------
A box clicker snaps when pressed and, mostly, when let go; the mark is the first of the two. The clicker is
known from a short recording of it (`ClickerPrint`), from a start block, or, failing both, from the snap
that keeps coming back in the session itself.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nares.base.vocab import Mark
from nares.measure.judge import judge, log_odds
from nares.measure.likeness import Rows, alone_rows, among_rows, pick_known
from nares.measure.snaps import Snaps

LIKELY = 0.5
"""From this chance on a snap is taken to be the clicker's."""
RELEASE_S = (0.040, 0.410)
"""A release follows its press within this time. [s]"""


@dataclass(frozen=True, slots=True)
class ClickerPrint:
    """What one clicker sounds like in one room: its snaps, and how often a release is heard."""

    snaps: Snaps
    spacing_s: tuple[float, float] | None

    @property
    def clicks(self) -> int:
        """How many snaps the print rests on."""
        return len(self.snaps)


def snap_chances(snaps: Snaps, known: ClickerPrint | None) -> Rows:
    """The chance of each snap to be the clicker's, shape (n,)."""
    alone = judge("alone").chance(alone_rows(snaps))
    rows, name = chance_rows(snaps, alone, known)
    return judge(name).chance(rows)


def chance_rows(snaps: Snaps, alone: Rows, known: ClickerPrint | None) -> tuple[Rows, str]:
    """What the second judgement looks at, shape (n, 14), and the name of its judge."""
    from nares.measure.likeness import risen_db

    own = np.column_stack([log_odds(alone), risen_db(snaps)])
    if known is not None:
        weights = np.ones(len(known.snaps))
        return np.column_stack([own, among_rows(snaps, alone, known.snaps, weights, same=None)]), "told"
    chosen, weights, where = pick_known(snaps, alone)
    among = among_rows(snaps, alone, chosen, weights, same=where.astype(np.float64))
    return np.column_stack([own, among]), "untold"


def marks_from(snaps: Snaps, chances: Rows, known: ClickerPrint | None = None) -> tuple[Mark, ...]:
    """The first snap of each press, with its chance.

    Args:
        snaps: All snaps in time order.
        chances: The chance of each to be the clicker's, shape (n,).
        known: The print, when there is one; else the time from press to release is learned here.
    """
    sure = np.flatnonzero(chances >= LIKELY)
    times, chance = snaps.at_s[sure], chances[sure]
    within = (known.spacing_s if known else None) or release_window(times)
    marks: list[Mark] = []
    held_until, free = -1.0, -1.0
    for at_s, likely in zip(times, chance, strict=True):
        if at_s < free:
            continue  # the same snap again, from a wall
        free = at_s + RELEASE_S[0]
        if within is not None and marks and marks[-1].at_s + within[0] <= at_s <= held_until:
            held_until = -1.0  # the release of the press before; a press has only one
            continue
        marks.append(Mark(round(float(at_s), 5), round(float(likely), 4)))
        held_until = at_s + within[1] if within is not None else -1.0
    return tuple(marks)


def release_window(times_s: NDArray[np.float64]) -> tuple[float, float] | None:
    """When after a press its release comes, learned from snaps in pairs; None for a single-snap clicker."""
    if times_s.size < 2:
        return RELEASE_S
    gaps = np.diff(times_s)
    begins = np.concatenate([[True], gaps[:-1] > RELEASE_S[1]])
    follows = gaps[begins & (gaps >= RELEASE_S[0]) & (gaps <= RELEASE_S[1])]
    presses = int(np.count_nonzero(np.concatenate([[True], gaps > RELEASE_S[1]])))
    if presses >= 3 and follows.size < 0.3 * presses:
        return None
    if follows.size < 3:
        return RELEASE_S
    middle = float(np.median(follows))
    return max(RELEASE_S[0], 0.4 * middle), min(RELEASE_S[1], 1.9 * middle)
