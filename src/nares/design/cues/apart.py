"""Which cues cannot be told apart on a history, exactly or nearly.

Conventions
-----------
- Two cues are *inseparable* where every rep had both or neither; *opposites* where every rep had exactly one
  (values of one group are left out: only one of them can be there).
- A cue that was there in every rep cannot be told from the place itself.
- A *set* of three or more is inseparable where one of them follows from the others by adding and
  subtracting (every rep with the hand was at box 1 or box 2, say), and no smaller set does.
- *Nearly*: a pair whose variance inflation 1 / (1 - phi squared) is `VIF_HIGH` or more, or a set that
  Belsley, Kuh and Welsch's diagnostics name: condition index above `INDEX_HIGH` with two or more cues that
  have more than `SHARE_HIGH` of their variance there. All three are rules of thumb.

One value of each group that is always there (the most frequent) stands for "none of the others", or the group
would follow from itself.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from math import sqrt

import numpy as np

from nares.design.cues.strength import PLACE
from nares.design.cues.trials import Counted, Numbers
from nares.design.cues.vocabulary import group_of

VIF_HIGH = 5.0
INDEX_HIGH = 30.0
SHARE_HIGH = 0.5
_ZERO = 1e-9


@dataclass(frozen=True, slots=True)
class Pair:
    """How two cues go along. ``both`` … ``neither``: reps. ``phi``, ``vif``: None where one never changed.

    ``vif`` None with a ``phi`` of 1 or -1 is infinite.
    """

    first: str
    second: str
    both: int
    first_only: int
    second_only: int
    neither: int
    phi: float | None
    vif: float | None


@dataclass(frozen=True, slots=True)
class Index:
    """One scaled condition index and the cues whose variance lies mostly there, with the share that does."""

    index: float
    shares: dict[str, float]


@dataclass(frozen=True, slots=True)
class Apart:
    """What cannot be told apart on a history.

    ``inseparable``: pairs, each in the order of the cues; ``opposites``: pairs of which every rep had exactly
    one; ``always``: cues that were there in every rep; ``sets``: larger sets, `PLACE` among them where the
    sum never changes; ``nearly``: pairs that are hardly told apart; ``pairs``: all that were looked at;
    ``indices``: condition indices, the largest first, over cues that are not exactly tied.
    """

    inseparable: tuple[tuple[str, str], ...]
    opposites: tuple[tuple[str, str], ...]
    always: tuple[str, ...]
    sets: tuple[tuple[str, ...], ...]
    nearly: tuple[Pair, ...]
    pairs: tuple[Pair, ...]
    indices: tuple[Index, ...]

    def tied(self, name: str) -> tuple[str, ...]:
        """Every cue that this one cannot be told from, exactly, pair by pair."""
        pairs = (*self.inseparable, *self.opposites)
        return tuple(b if a == name else a for a, b in pairs if name in (a, b))


def apart(table: Counted) -> Apart:
    """Say what cannot be told apart, exactly and nearly.

    Sources:
        belsley-kuh-welsch-1980: condition indices of columns scaled to length one, with the place among them,
            and variance-decomposition proportions.
    """
    counts, places = _crossed(table), range(1, len(table.names) + 1)
    pairs = tuple(_pair(counts, a, b, table.names) for a, b in combinations(places, 2))
    in_question = [pair for pair in pairs if not _one_group(pair.first, pair.second)]
    same = [pair for pair in in_question if pair.first_only == pair.second_only == 0]
    opposite = [pair for pair in in_question if pair.both == pair.neither == 0]
    always = tuple(name for name in table.names if table.column(name).min() == 1)
    kept = _one_of_each(table, [(one.first, one.second) for one in (*same, *opposite)], always)
    sets = _sets(table, kept)
    free = [name for name in kept if not any(name == one[-1] for one in sets)]
    exact = {(one.first, one.second) for one in (*same, *opposite)}
    nearly = [p for p in in_question if _is_near(p) and (p.first, p.second) not in exact]
    return Apart(
        tuple((pair.first, pair.second) for pair in same),
        tuple((pair.first, pair.second) for pair in opposite),
        always,
        sets,
        tuple(nearly),
        pairs,
        condition_indices(table, free),
    )


def pair_of(table: Counted, first: str, second: str) -> Pair:
    """How often two cues came together, with their correlation phi and what it does to their effects.

    Examples:
        >>> from nares.design.cues.trials import Counted
        >>> rows = np.array([[1.0, 1], [1, 0], [0, 1], [0, 0]])
        >>> reps = np.array([9.0, 1, 1, 9])
        >>> pair = pair_of(Counted(("a", "b"), rows, reps, reps), "a", "b")
        >>> round(pair.phi, 3), round(pair.vif, 3)
        (0.8, 2.778)
    """
    counts, cues = _crossed(table), table.names
    return _pair(counts, cues.index(first) + 1, cues.index(second) + 1, cues)


def _crossed(table: Counted) -> Numbers:
    """Reps with each two of the cues; the first row and column are all reps."""
    design = np.column_stack([np.ones(len(table.reps)), table.rows])
    counts: Numbers = design.T @ (design * table.reps[:, None])
    return counts


def _pair(counts: Numbers, first: int, second: int, names: Sequence[str]) -> Pair:
    reps, with_a, with_b = (float(counts[0, one]) for one in (0, first, second))
    both = float(counts[first, second])
    only_a, only_b, none = with_a - both, with_b - both, reps - with_a - with_b + both
    margins = with_a * (reps - with_a) * with_b * (reps - with_b)
    phi = None if margins == 0 else (both * none - only_a * only_b) / sqrt(margins)
    vif = None if phi is None else vif_of(phi)
    four = (round(both), round(only_a), round(only_b), round(none))
    return Pair(names[first - 1], names[second - 1], *four, phi, vif)


def vif_of(phi: float) -> float | None:
    """Variance inflation of two cues with this correlation; None: infinite.

    >>> round(vif_of(0.9), 3)
    5.263
    """
    return None if 1 - phi * phi < _ZERO else 1 / (1 - phi * phi)


def condition_indices(table: Counted, names: Sequence[str]) -> tuple[Index, ...]:
    """Condition indices of the place and these cues, largest first, with shares of variance (over 1 %)."""
    if not names:
        return ()
    order = (PLACE, *names)
    design = np.column_stack([np.ones(len(table.reps)), *(table.column(name) for name in names)])
    design *= np.sqrt(table.reps)[:, None]
    design /= np.sqrt((design**2).sum(axis=0))
    _, sizes, turned = np.linalg.svd(design, full_matrices=False)
    sizes = np.maximum(sizes, 1e-12)
    parts = (turned / sizes[:, None]) ** 2
    shares = parts / parts.sum(axis=0)
    return tuple(
        Index(
            float(sizes[0] / size),
            {name: float(share) for name, share in zip(order, shares[number], strict=True) if share > 0.01},
        )
        for number, size in sorted(enumerate(sizes), key=lambda one: one[1])
    )


def high_indices(found: Sequence[Index]) -> tuple[Index, ...]:
    """Those above the rule of thumb that tie two cues or more together."""
    return tuple(
        one
        for one in found
        if one.index > INDEX_HIGH and sum(share > SHARE_HIGH for share in one.shares.values()) >= 2
    )


def _one_group(first: str, second: str) -> bool:
    group = group_of(first)
    return group is not None and group == group_of(second)


def _is_near(pair: Pair) -> bool:
    return pair.phi is not None and (pair.vif is None or pair.vif >= VIF_HIGH)


def _one_of_each(table: Counted, tied: Sequence[tuple[str, str]], always: Sequence[str]) -> tuple[str, ...]:
    """Cues not yet said to be tied, without one value of each group that always has one."""
    gone = {second for _, second in tied} | set(always)
    for group in dict.fromkeys(group_of(name) for name in table.names):
        values = [name for name in table.names if group is not None and group_of(name) == group]
        if len(values) > 1 and np.sum([table.column(name) for name in values], axis=0).min() == 1:
            frequent = max(values, key=lambda name: float((table.column(name) * table.reps).sum()))
            gone.add(frequent)
    return tuple(name for name in table.names if name not in gone)


def _sets(table: Counted, names: Sequence[str]) -> tuple[tuple[str, ...], ...]:
    """The smallest sets tied by adding and subtracting: each cue that follows from those before it.

    What a cue that follows needs of an independent set before it is a circuit: no part of it is tied.
    """
    design = np.column_stack([np.ones(len(table.reps)), *(table.column(name) for name in names)])
    order, crossed, basis = (PLACE, *names), design.T @ design, [0]
    found = []
    for own in range(1, len(order)):
        inverse = np.linalg.pinv(crossed[np.ix_(basis, basis)], rcond=1e-11, hermitian=True)
        solved = inverse @ crossed[basis, own]
        left = design[:, own] - design[:, basis] @ solved
        if float(np.abs(left).max()) > 1e-6:
            basis.append(own)
            continue
        needed = [order[one] for one, share in zip(basis, solved, strict=True) if abs(share) > 1e-6]
        found.append((*needed, order[own]))
    return tuple(found)
