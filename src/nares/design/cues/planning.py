"""The next reps that would break what goes together: chosen, set beside what is, with how fast it would go.

Conventions
-----------
Cues in question: the target, everything that cannot be told apart or hardly, what pays by itself, and where
that is little the strongest other cues; at most `MOST_QUESTIONED`, only those a trainer can set. What a
planned rep does not name of them is left out of it; every other cue stays as usual. The order of the reps is
drawn, every order equally likely. `until_apart`: reps, chosen one after the other, until no pair in question
has a variance inflation of 5 or more.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from nares.design.cues.apart import VIF_HIGH, Apart, Pair, apart, pair_of
from nares.design.cues.cells import Ban, Cell, cells_of, pays
from nares.design.cues.choosing import (
    RIDGE,
    Draws,
    best_row,
    choose_reps,
    columns_of,
    in_drawn_order,
    log_determinant,
    logged_of,
    with_row,
)
from nares.design.cues.effects import effect_of
from nares.design.cues.foresight import Foreseen, foresee, usual_ways
from nares.design.cues.links import Links
from nares.design.cues.strength import PLACE
from nares.design.cues.trials import Counted, Numbers
from nares.design.cues.vocabulary import TARGET, group_of, is_settable

MOST_QUESTIONED = 7
PAIR = 2
"""The two strongest cues are in question where nothing else is: the target and its nearest rival. [count]"""

WORTH = 0.1
"""Weaker cues than this are not worth reps of their own while nothing is tangled. [-]"""

LEAST_QUESTIONED = 3
MUCH = 0.2
"""A cue that adds so much to pay by itself is put in question. [-]"""

USUAL_REPS = 8
"""Reps planned where nobody says how many. [count]"""

FARTHEST_APART = 120
"""So many reps are looked ahead until pairs are apart. [count]"""


@dataclass(frozen=True, slots=True)
class NextRep:
    """One rep to run: what is there of the cues in question, and whether it is paid."""

    cues: tuple[str, ...]
    paid: bool


@dataclass(frozen=True, slots=True)
class Change:
    """A pair before and after the planned reps."""

    before: Pair
    after: Pair

    @property
    def comes_apart(self) -> bool:
        """Whether it was not told apart before and is after."""
        return not _apart_enough(self.before) and _apart_enough(self.after)


@dataclass(frozen=True, slots=True)
class NextReps:
    """Reps to run next, and what they would change.

    ``vif_before``, ``vif_after``: by cue, None: not told apart. ``rank_before``, ``rank_after``: how many of
    the ``columns`` can be told apart. ``gain``: by how much the logarithm of the determinant grows.
    ``tied_after``: what would still not be told apart. ``until_apart``: None: not within `FARTHEST_APART`.
    """

    reps: tuple[NextRep, ...]
    in_question: tuple[str, ...]
    banned: tuple[str, ...]
    cells: int
    pairs: tuple[Change, ...]
    vif_before: dict[str, float | None]
    vif_after: dict[str, float | None]
    columns: int
    rank_before: int
    rank_after: int
    gain: float
    until_apart: int | None
    tied_after: Apart
    foreseen: tuple[Foreseen, ...]


def cues_in_question(links: Links) -> tuple[str, ...]:
    """Which cues the next reps are about, most tangled first."""
    tangled = links.apart
    first = list(tangled.tied(TARGET))
    others = [name for pair in (*tangled.inseparable, *tangled.opposites) for name in pair]
    sets = [name for one in tangled.sets for name in one]
    near = [name for pair in tangled.nearly for name in (pair.first, pair.second)]
    ranked = sorted((one for one in links.cues if one.strength > 0), key=lambda one: -one.strength)
    strong = [one.cue for place, one in enumerate(ranked) if place < PAIR or one.strength >= WORTH]
    order = [TARGET, *first, *tangled.always, *_paying(links), *others, *sets, *near]
    if len(set(order)) < LEAST_QUESTIONED and not first:
        order += strong[:LEAST_QUESTIONED]
    known = [name for name in dict.fromkeys(order) if name != PLACE and is_settable(name)]
    return tuple(known[:MOST_QUESTIONED])


def _paying(links: Links) -> list[str]:
    """Cues beside the target that add to pay by themselves, most first."""
    effects = {one.cue: one.effect.effect or 0.0 for one in links.cues if one.cue != TARGET}
    return sorted(
        (name for name, effect in effects.items() if effect > MUCH), key=lambda name: -effects[name]
    )


def next_reps(
    links: Links,
    *,
    reps: int = USUAL_REPS,
    banned: Sequence[Ban] = (),
    questioned: Sequence[str] = (),
    draws: Draws,
) -> NextReps:
    """Choose the reps that would tell the cues in question apart.

    Args:
        links: The history's links.
        reps: How many reps to plan.
        banned: Combinations the trainer does not want.
        questioned: Which cues; by `cues_in_question` when empty. Cues of a ban are put in question too.
        draws: Where starts and the order come from.

    Raises:
        OutOfRange: If the reps cannot be, the bans leave nothing, or too many cues are in question.
    """
    wanted = list(questioned or cues_in_question(links))
    wanted += [name for ban in banned for name in sorted(ban.there | ban.missing) if links.link(name)]
    names = tuple(dict.fromkeys(wanted if TARGET in wanted else [TARGET, *wanted]))
    seen = [_cell(links.table, row) for row in links.table.rows]
    cells = cells_of(names, seen, banned)
    table = _counted_by(links.table, names)
    model = _modelled(names, table)
    logged, candidates = logged_of(table, model), columns_of(cells, model)
    chosen = choose_reps(candidates, logged, reps, draws)
    order = [cells[number] for number in in_drawn_order(chosen, draws)]
    after = _with_reps(table, order)
    base = logged + RIDGE * np.eye(len(logged))
    return NextReps(
        tuple(NextRep(tuple(name for name in names if name in cell), pays(cell)) for cell in order),
        names,
        tuple(ban.text() for ban in banned),
        len(cells),
        tuple(Change(*both) for both in zip(_pairs(table), _pairs(after), strict=True)),
        {name: effect_of(table, name).vif for name in names},
        {name: effect_of(after, name).vif for name in names},
        len(logged),
        _rank(logged),
        _rank(logged_of(after, model)),
        log_determinant(candidates[list(chosen)], base) - log_determinant(candidates[:0], base),
        _until_apart(table, model, cells, candidates),
        apart(after),
        tuple(_foreseen(links, names, order, banned)),
    )


def _cell(table: Counted, row: Numbers) -> Cell:
    return frozenset(name for name, there in zip(table.names, row, strict=True) if there)


def _counted_by(table: Counted, names: Sequence[str]) -> Counted:
    """The same history by these cues alone; a cue that never was there is a column of zeros."""
    tally: dict[tuple[float, ...], list[float]] = {}
    for row, reps, paid in zip(table.rows, table.reps, table.paid, strict=True):
        there = _cell(table, row)
        one = tally.setdefault(tuple(float(name in there) for name in names), [0.0, 0.0])
        one[0] += reps
        one[1] += paid
    counts = np.array(list(tally.values()))
    return Counted(tuple(names), np.array(list(tally)), counts[:, 0], counts[:, 1])


def _with_reps(table: Counted, cells: Sequence[Cell]) -> Counted:
    rows = np.array([[float(name in cell) for name in table.names] for cell in cells])
    return Counted(
        table.names,
        np.vstack([table.rows, rows]),
        np.append(table.reps, np.ones(len(cells))),
        np.append(table.paid, [float(pays(cell)) for cell in cells]),
    )


def _modelled(names: Sequence[str], table: Counted) -> tuple[str, ...]:
    """The cues that get a column: of a group that always has a value, the most frequent one gets none."""
    gone = set()
    for group in dict.fromkeys(group_of(name) for name in names):
        values = [name for name in names if group is not None and group_of(name) == group]
        if len(values) > 1 and np.sum([table.column(name) for name in values], axis=0).min() == 1:
            gone.add(max(values, key=lambda name: float((table.column(name) * table.reps).sum())))
    return tuple(name for name in names if name not in gone)


def _pairs(table: Counted) -> list[Pair]:
    names = table.names
    return [
        pair_of(table, names[i], names[j])
        for i in range(len(names))
        for j in range(i + 1, len(names))
        if group_of(names[i]) is None or group_of(names[i]) != group_of(names[j])
    ]


def _apart_enough(pair: Pair) -> bool:
    return pair.vif is not None and pair.vif < VIF_HIGH


def _rank(crossed: Numbers) -> int:
    return int(
        np.linalg.matrix_rank(crossed, tol=1e-8 * max(1.0, float(np.abs(crossed).max())), hermitian=True)
    )


def _until_apart(
    table: Counted, model: Sequence[str], cells: Sequence[Cell], candidates: Numbers
) -> int | None:
    """Add the one best rep after the other until every pair is apart and every column tells something."""
    logged = logged_of(table, model)
    now, inverse = table, np.linalg.inv(logged + RIDGE * np.eye(len(logged))).astype(float)
    for reps in range(FARTHEST_APART + 1):
        if all(map(_apart_enough, _pairs(now))) and _rank(logged_of(now, model)) == len(logged):
            return reps
        best = best_row(candidates, inverse)
        now = _with_reps(now, [cells[best]])
        inverse = with_row(inverse, candidates[best])
    return None


def _foreseen(
    links: Links, names: Sequence[str], order: Sequence[Cell], banned: Sequence[Ban]
) -> list[Foreseen]:
    """For the strongest cue in question beside the target: the chosen reps, and ways that come to mind."""
    others = [name for name in names if name != TARGET and links.link(name)]
    if not others:
        return []
    wrong = max(others, key=lambda name: links.course.last(name))
    now = {name: links.course.last(name) for name in links.course.names}
    used = links.course.parameters
    found = [foresee("the chosen reps, over and over", order, wrong, now, used)]
    for way, cycle in usual_ways(wrong).items():
        if not any(ban.covers(cell) for ban in banned for cell in cycle):
            found.append(foresee(way, cycle, wrong, now, used))
    return found
