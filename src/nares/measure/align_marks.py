"""Two clocks from the marks that both phones heard: how far apart they are, and how one runs away.

Conventions
-----------
Mark times are seconds from the start of each recording, in rising order. A moment ``t`` there falls at
``offset_s + t + drift * (t - pivot_s)`` here. Either phone may have missed marks and heard false ones, and
the recordings may begin at any distance. Differences of all pairs are gathered; where most agree, pairs of
pairs propose a line, the line that most pairs lie on one to one is kept, and least squares settle it. Clocks
of phones differ by some tens of millionths, so that a drift no data speak of is held near none.

Agreement by chance is reckoned with: marks that come often enough would find each other somewhere.
"""

from dataclasses import dataclass
from itertools import combinations
from math import exp, lgamma, log

import numpy as np
from numpy.typing import NDArray

Times = NDArray[np.float64]

FEWEST = 3
WITHIN_S = 0.012
"""Two phones hear a mark within this of each other: metres of air, and how finely a mark is timed."""
NEAREST_S = 0.004
"""However well the pairs agree, one this near belongs to them."""
MOST_DRIFT = 300e-6
USUAL_DRIFT = 50e-6
TIMED_S = 0.003
"""How finely one mark is timed on one phone."""
CHANCE = 0.01
"""Marks that would agree as well by chance more often than this do not count as agreeing."""
PLACES, PROPOSED = 12, 400
ROUNDS = 6


@dataclass(frozen=True, slots=True)
class Alignment:
    """How the clock there lies on the clock here.

    ``drift``: seconds gained here for each second there. ``spread_s``: root mean square of what is left.
    ``pairs``: indices (here, there) of the marks that agree.
    """

    offset_s: float
    drift: float
    pivot_s: float
    spread_s: float
    pairs: tuple[tuple[int, int], ...]

    def here(self, there_s: float) -> float:
        """When a moment of the other recording falls here. [s]"""
        return self.offset_s + there_s + self.drift * (there_s - self.pivot_s)


@dataclass(frozen=True, slots=True)
class NotAligned:
    """Why the marks of two recordings could not be matched; ``agreeing``: how many did at best."""

    agreeing: int
    by_chance: bool


def align_marks(here_s: Times, there_s: Times) -> Alignment | NotAligned:
    """Find how the clock of another recording lies on this one's.

    Args:
        here_s: (n,) marks of this recording, rising. [s]
        there_s: (m,) marks of the other, rising. [s]

    Returns:
        The alignment, or why there is none: fewer than `FEWEST` marks agree, or no more than by chance.
    """
    best: Alignment | None = None
    for gathered in _gatherings(here_s, there_s):
        for offset_s, drift, pivot_s in _proposals(here_s, there_s, gathered):
            found = _settled(here_s, there_s, offset_s, drift, pivot_s)
            if found and (best is None or _better(found, best)):
                best = found
    if best is None or len(best.pairs) < FEWEST:
        return NotAligned(0 if best is None else len(best.pairs), by_chance=False)
    if chance_of(len(best.pairs), here_s, there_s) > CHANCE:
        return NotAligned(len(best.pairs), by_chance=True)
    return best


def chance_of(agreeing: int, here_s: Times, there_s: Times) -> float:
    """How probable it is that as many marks agree somewhere when none belongs to any other. At most 1.

    Differences of unrelated marks are spread over the lengths of both recordings; the number that fall into
    any one window is taken as Poisson, and the windows as so many chances.
    """
    range_s = max(float(np.ptp(here_s)) + float(np.ptp(there_s)), 1.0)
    expected = len(here_s) * len(there_s) * 2 * WITHIN_S / range_s
    # The drift is free as well: the window is as many times wider as lines through it can be told apart.
    windows = range_s / WITHIN_S * (1 + 2 * MOST_DRIFT * float(np.ptp(there_s)) / WITHIN_S)
    log_tail = agreeing * log(expected) - expected - lgamma(agreeing + 1)
    return min(1.0, windows * exp(log_tail) / max(1 - expected / (agreeing + 1), 0.1))


def _gatherings(here_s: Times, there_s: Times) -> list[NDArray[np.intp]]:
    """Pairs (k, 2) whose differences lie close together, the largest gatherings first."""
    if not len(here_s) or not len(there_s):
        return []
    apart = here_s[:, None] - there_s[None, :]
    order = np.argsort(apart, axis=None, kind="stable")
    ordered = apart.ravel()[order]
    width_s = 2 * WITHIN_S + MOST_DRIFT * float(np.ptp(there_s))
    ends = np.searchsorted(ordered, ordered + width_s, side="right")
    counts = ends - np.arange(len(ordered))
    made: list[NDArray[np.intp]] = []
    taken: list[tuple[int, int]] = []
    for first in np.argsort(-counts, kind="stable"):
        last = int(ends[first])
        if any(a < last and first < b for a, b in taken):
            continue
        taken.append((int(first), last))
        made.append(np.stack(np.unravel_index(order[first:last], apart.shape), axis=1))
        if len(made) == PLACES:
            break
    return made


def _proposals(here_s: Times, there_s: Times, gathered: NDArray[np.intp]) -> list[tuple[float, float, float]]:
    """Lines through two pairs each, and through each pair alone without drift: offset, drift, pivot."""
    pivot_s = float(np.mean(there_s[gathered[:, 1]]))
    apart = here_s[gathered[:, 0]] - there_s[gathered[:, 1]]
    lines = [(float(offset), 0.0, pivot_s) for offset in apart]
    couples = list(combinations(range(len(gathered)), 2))
    for i, j in couples[:: max(1, len(couples) // PROPOSED)]:
        run_s = float(there_s[gathered[j, 1]] - there_s[gathered[i, 1]])
        if abs(run_s) > 1.0 and abs(apart[j] - apart[i]) <= MOST_DRIFT * abs(run_s):
            drift = float(apart[j] - apart[i]) / run_s
            lines.append((float(apart[i]) - drift * float(there_s[gathered[i, 1]] - pivot_s), drift, pivot_s))
    return lines


def _settled(
    here_s: Times, there_s: Times, offset_s: float, drift: float, pivot_s: float
) -> Alignment | None:
    """The line near a proposal that its own pairs agree on, by least squares."""
    pairs, within_s = np.zeros((0, 2), np.intp), WITHIN_S
    for _ in range(ROUNDS):
        found = _matched(here_s, offset_s + there_s + drift * (there_s - pivot_s), within_s)
        if len(found) < 2 or np.array_equal(found, pairs):
            break
        pairs = found
        there = there_s[pairs[:, 1]]
        pivot_s = float(there.mean())
        apart = here_s[pairs[:, 0]] - there
        offset_s, drift = _line(apart, there - pivot_s)
        # A false mark that happens to lie near pulls the line: what is far for these pairs goes.
        miss = np.abs(apart - offset_s - drift * (there - pivot_s))
        within_s = min(within_s, max(NEAREST_S, 5 * float(np.median(miss))))
    if len(pairs) < 2 or abs(drift) > MOST_DRIFT:
        return None
    there = there_s[pairs[:, 1]]
    left = here_s[pairs[:, 0]] - (offset_s + there + drift * (there - pivot_s))
    spread_s = float(np.sqrt((left**2).mean()))
    return Alignment(offset_s, drift, pivot_s, spread_s, tuple((int(i), int(j)) for i, j in pairs))


def _line(apart: Times, along_s: Times) -> tuple[float, float]:
    """Offset and drift; ``along_s`` is centred, so that they do not lean on each other."""
    doubt = (TIMED_S / USUAL_DRIFT) ** 2
    return float(apart.mean()), float((along_s * apart).sum() / ((along_s**2).sum() + doubt))


def _matched(here_s: Times, moved_s: Times, within_s: float) -> NDArray[np.intp]:
    """Pairs this near, each mark at most once, the nearest first; (k, 2) in order."""
    apart = np.abs(here_s[:, None] - moved_s[None, :])
    near = np.argwhere(apart <= within_s)
    near = near[np.argsort(apart[near[:, 0], near[:, 1]], kind="stable")]
    used: tuple[set[int], set[int]] = (set(), set())
    kept = []
    for i, j in near.tolist():
        if i not in used[0] and j not in used[1]:
            used[0].add(i)
            used[1].add(j)
            kept.append((i, j))
    return np.array(sorted(kept), np.intp).reshape(-1, 2)


def _better(found: Alignment, best: Alignment) -> bool:
    if len(found.pairs) != len(best.pairs):
        return len(found.pairs) > len(best.pairs)
    return found.spread_s < best.spread_s
