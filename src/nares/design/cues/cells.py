"""What a planned rep can hold: every combination of the cues in question that is possible and not banned.

Conventions
-----------
A *cell* is one combination. Impossible are: two values of one group, ``hand-in`` without ``hand``, a control
or residual odour under the target where the place holds one thing only (cues of a line-up), and cues nobody
can set. A ban names cues; every cell that holds all of them is left out. Blanks and distractors are never
paid: a cell pays if it holds the target, and only then.
"""

from collections.abc import Sequence
from itertools import product

from nares.base.errors import OutOfRange, Unknown
from nares.design.cues.vocabulary import HAND, HAND_IN, TARGET, group_of, is_settable

MOST_CELLS = 1024
"""More combinations than this are not looked through: fewer cues are put in question. [count]"""

ONE_THING_ONLY = ("control", "distractor")
"""Groups of which a place of a line-up holds a value instead of the target."""

Cell = frozenset[str]


def cells_of(names: Sequence[str], seen: Sequence[Cell], banned: Sequence[Cell] = ()) -> tuple[Cell, ...]:
    """Every possible cell of these cues.

    Args:
        names: The cues in question; `TARGET` is added where it is missing, so that something can be paid.
        seen: The combinations of the history. A group that always had a value keeps one; what never lay with
            the target in a line-up does not now.
        banned: Combinations the trainer does not want.

    Raises:
        Unknown: If a ban names a cue that is not in question.
        OutOfRange: If there are too many combinations, or nothing is left.
    """
    order = (*names, *(() if TARGET in names else (TARGET,)))
    for ban in banned:
        for name in sorted(ban):
            if name not in order:
                raise Unknown(f"{name!r} is not among the cues in question: {', '.join(order)}. Ban those.")
    choices = _choices(order, seen)
    count = 1
    for one in choices:
        count *= len(one)
    if count > MOST_CELLS:
        raise OutOfRange(
            f"{count} combinations of {len(order)} cues are too many to look through. Put fewer in question."
        )
    lineup = any(group_of(name) == "position" for cues in seen for name in cues)
    found = tuple(
        cell
        for one in product(*choices)
        if _possible(cell := frozenset(name for name in one if name), lineup)
        and not any(ban <= cell for ban in banned)
    )
    if not found:
        raise OutOfRange("The bans leave no rep that could be run. Ban less.")
    return found


def _choices(order: Sequence[str], seen: Sequence[Cell]) -> list[tuple[str, ...]]:
    """For each plain cue: there or not; for each group: one value, or none where none ever was."""
    choices: list[tuple[str, ...]] = []
    for group in dict.fromkeys(group_of(name) or name for name in order if is_settable(name)):
        values = tuple(name for name in order if name == group or group_of(name) == group)
        always = values != (group,) and all(any(name in cues for name in values) for cues in seen)
        choices.append(values if always else (*values, ""))
    return choices


def _possible(cell: Cell, lineup: bool) -> bool:
    if HAND_IN in cell and HAND not in cell:
        return False
    instead = any((group_of(name) or name) in ONE_THING_ONLY for name in cell)
    return not (lineup and TARGET in cell and instead)


def pays(cell: Cell) -> bool:
    """Whether such a rep is paid: where the target is, and nowhere else."""
    return TARGET in cell
