"""Where the share of reps met changed: the random-rate test of Gallistel and others, on single reps.

Conventions
-----------
The cumulative count of reps met is a line whose slope is the share met. At every rep the point of it that
lies farthest from the straight line between first and newest rep is the place where the slope may have
changed. The *odds* against such a split by luck alone are taken in powers of ten; where they pass
``criterion`` the record is cut at that point and the search begins anew behind it. Change points are counted
from 1: the last rep before the change.
"""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from nares.base.errors import OutOfRange

CRITERION = 2.0
"""Powers of ten of the odds against luck at which a change is believed: 100 to 1. [-]"""

MOST_REPS = 2000
"""Of longer records only the newest reps are looked at. [count]"""

BLOCK = 64


@dataclass(frozen=True, slots=True)
class Stretch:
    """Reps between two changes: ``first`` to ``last``, and the share of them met."""

    first: int
    last: int
    met: int

    @property
    def reps(self) -> int:
        """Reps of the stretch. [count]"""
        return self.last - self.first + 1

    @property
    def rate(self) -> float:
        """Share of them met. [-]"""
        return self.met / self.reps


@dataclass(frozen=True, slots=True)
class Change:
    """A change after rep ``after``, noticed at rep ``noticed_at``."""

    after: int
    noticed_at: int


def change_points(met: Sequence[bool | int], *, criterion: float = CRITERION) -> tuple[Change, ...]:
    """Find where the share of reps met changed.

    Args:
        met: One value a rep, oldest first. [bool]
        criterion: Powers of ten of the odds against luck; 1.3 believes much, 6 little. [-]

    Raises:
        OutOfRange: If the criterion is not above 0.

    Sources:
        gallistel-2004: the algorithm, in its binomial form.

    Examples:
        >>> change_points([0] * 20 + [1] * 20)
        (Change(after=20, noticed_at=22),)
    """
    if not criterion > 0:
        raise OutOfRange(f"A criterion of {criterion:g} cannot be. Give a number above 0, for example 2.")
    values = np.asarray(met, dtype=np.int64)
    found: list[Change] = []
    begun = 0
    while (change := _first_change(values[begun:], criterion)) is not None:
        found.append(Change(begun + change.after, begun + change.noticed_at))
        begun += change.after
    return tuple(found)


def stretches(met: Sequence[bool | int], changes: Sequence[Change]) -> tuple[Stretch, ...]:
    """The reps between the changes, each stretch with its share met."""
    edges = [0, *(change.after for change in changes), len(met)]
    return tuple(
        Stretch(first + 1, last, int(sum(met[first:last])))
        for first, last in itertools.pairwise(edges)
        if last > first
    )


def _first_change(values: npt.NDArray[np.int64], criterion: float) -> Change | None:
    """The first rep at which a split is believed, looked for a block of reps at a time."""
    total = np.cumsum(values)
    for begin in range(0, len(values), BLOCK):
        ends = np.arange(begin + 1, min(begin + BLOCK, len(values)) + 1)
        splits, moved = _splits(total, ends)
        odds = _odds(total, ends, splits)
        believed = np.flatnonzero(moved & (np.abs(odds) > criterion))
        if believed.size:
            first = believed[0]
            return Change(int(splits[first]), int(ends[first]))
    return None


def _splits(
    total: npt.NDArray[np.int64], ends: npt.NDArray[np.int64]
) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.bool_]]:
    """For each end the rep that lies farthest from the straight line, and whether any lies off it.

    In whole numbers, so that ties are ties: the first one counts.
    """
    places = np.arange(1, ends[-1] + 1)
    off = np.abs(total[: ends[-1]] * ends[:, None] - places * total[ends - 1][:, None])
    off[places > ends[:, None]] = -1
    at = np.argmax(off, axis=1)
    return at + 1, off[np.arange(len(ends)), at] > 0


def _odds(
    total: npt.NDArray[np.int64], ends: npt.NDArray[np.int64], splits: npt.NDArray[np.int64]
) -> npt.NDArray[np.float64]:
    """Power of ten of the odds that fewer, not more, of the met reps fall behind the split by luck."""
    from scipy.special import bdtr, bdtrc

    every = total[ends - 1]
    behind = every - total[splits - 1]
    share = (ends - splits) / ends
    fewer = bdtr(behind.astype(float), every, share)
    more = np.where(behind > 0, bdtrc(np.maximum(behind - 1, 0).astype(float), every, share), 1.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        found: npt.NDArray[np.float64] = np.log10(fewer) - np.log10(more)
    return np.nan_to_num(found, nan=0.0)
