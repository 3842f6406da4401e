"""What a dog that follows a habit instead of its nose would get right in an order.

Conventions
-----------
Blank runs are passed over: what a dog learns about places comes from runs that pay. Where there is a single
position, the two kinds of run, with the target and blank, take the place of two positions. A habit names one
position a run and is right if a target lies there; where a habit may choose, its score is the average over
what it may choose. Scores are runs right, not shares; `Score.expected` is what chance would give.

A score is *at chance* if it lies within a tenth of the runs judged from that, or less than one run from it:
so the whole numbers on either side of chance are always allowed.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import TypeAlias

from nares.design.orders.order import Runs

TOLERANCE = 0.1
"""How far from chance a score may lie, as a share of the runs judged (as Jadoul et al. 2023)."""

_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class Score:
    """What a habit got right: runs right, what chance gives, runs judged."""

    right: float
    expected: float
    judged: int

    def at_chance(self, tolerance: float = TOLERANCE) -> bool:
        """Whether it lies within ``tolerance`` of the runs judged, or less than one run, from chance."""
        away = abs(self.right - self.expected)
        return away <= tolerance * self.judged + _ROUNDING or away < 1 - _ROUNDING


Habit: TypeAlias = Callable[[Runs, int], Score]


def places_of(order: Runs, positions: int) -> tuple[Runs, int]:
    """The runs that rules about places look at, and among how many places the target lies.

    Examples:
        >>> places_of([(2,), (), (1,)], 2)
        ([(2,), (1,)], 2)
        >>> places_of([(1,), (), ()], 1)
        ([(1,), (2,), (2,)], 2)
    """
    if positions == 1:
        return [run or (2,) for run in order], 2
    return [run for run in order if run], positions


def same_place(order: Runs, positions: int) -> Score:
    """Going where the target was last; one of its places where there were several."""
    runs, places = places_of(order, positions)
    right = sum(len(set(now).intersection(before)) / len(before) for before, now in pairwise(runs))
    return Score(right, sum(map(len, runs[1:])) / places, max(len(runs) - 1, 0))


def going_on(order: Runs, positions: int, *, after: str) -> Score:
    """Going elsewhere after a ``right`` or a ``wrong`` run, and back to the same place after the other.

    The dog begins anywhere; elsewhere is any other place, each equally likely. Judged from the second run on.
    """
    runs, places = places_of(order, positions)
    there = [1 / places] * places
    right = 0.0
    for number, run in enumerate(runs):
        held = [place + 1 in run for place in range(places)]
        if number:
            right += sum(share for share, hit in zip(there, held, strict=True) if hit)
        leaves = [share if hit == (after == "right") else 0.0 for share, hit in zip(there, held, strict=True)]
        left = sum(leaves)
        there = [
            share - leaving + (left - leaving) / (places - 1)
            for share, leaving in zip(there, leaves, strict=True)
        ]
    return Score(right, sum(map(len, runs[1:])) / places, max(len(runs) - 1, 0))


@lru_cache(maxsize=64)
def _tours(places: int, runs: int, stay: int, late: int) -> tuple[tuple[int, ...], ...]:
    """Going round, every place for ``stay`` runs, from every place and both ways round."""
    ways = (1,) if places == 2 else (1, -1)
    return tuple(
        tuple((start + way * ((run + late) // stay)) % places + 1 for run in range(runs))
        for way in ways
        for start in range(places)
    )


def tours(order: Runs, positions: int, *, stay: int, late: int = 0) -> tuple[Score, ...]:
    """Going round whatever happens: every place for ``stay`` runs, then its neighbour.

    One score for every start and both ways round. With two places and ``stay`` 1 that is left, right, left,
    right; with 2 left, left, right, right. ``late``: runs of the first place already gone when it begins.
    """
    runs, places = places_of(order, positions)
    expected = sum(map(len, runs)) / places
    return tuple(
        Score(sum(place in run for place, run in zip(tour, runs, strict=True)), expected, len(runs))
        for tour in _tours(places, len(runs), stay, late)
    )


def same_side(order: Runs, positions: int) -> Score:
    """Going to the half of the line-up where the target was last. One target a run.

    Positions up to the middle are one side, the others the other; a middle position is on none, and runs to
    or from it are not judged.
    """
    runs, places = places_of(order, positions)
    sides = [_side(run[0], places) for run in runs]
    judged = [(before, now) for before, now in pairwise(sides) if before and now]
    return Score(sum(before == now for before, now in judged), len(judged) / 2, len(judged))


def _side(position: int, places: int) -> int:
    return (2 * position > places + 1) - (2 * position < places + 1)


def longest_run(order: Runs, positions: int) -> int:
    """The most runs in succession in which one place held a target."""
    runs, places = places_of(order, positions)
    return max((longest(place in run for run in runs) for place in range(1, places + 1)), default=0)


def longest(marks: Iterable[bool]) -> int:
    """The longest succession of True."""
    best = now = 0
    for mark in marks:
        now = now + 1 if mark else 0
        best = max(best, now)
    return best


def changes(order: Runs, positions: int) -> int:
    """How often the target lay elsewhere than in the run before."""
    runs, _ = places_of(order, positions)
    return sum(before != now for before, now in pairwise(runs))


def held(order: Runs, positions: int) -> tuple[int, ...]:
    """How often each place held a target."""
    runs, places = places_of(order, positions)
    return tuple(sum(place in run for run in runs) for place in range(1, places + 1))
