"""What a planned rep can hold: every combination of the cues in question that is possible and not banned.

Conventions
-----------
A *cell* is one combination. Impossible are: two values of one group, ``hand-in`` without ``hand``, a
control or a distractor at the target's place (in line-ups), and cues nobody can set. A ban names cues that
are there, and with ``!`` before them cues that are not; every cell that fits it is left out (``hand target``:
both together; ``hand !target``: the hand without the target). Blanks and distractors are never paid: a cell
pays if it holds the target, and only then.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from nares.base.errors import OutOfRange, Unknown
from nares.design.cues.vocabulary import HAND, HAND_IN, TARGET, group_of, is_settable

MOST_CELLS = 1024
"""More combinations than this are not looked through: fewer cues are put in question. [count]"""

ONE_THING_ONLY = ("control", "distractor")
"""Groups of which a place of a line-up holds a value instead of the target."""

Cell = frozenset[str]


@dataclass(frozen=True, slots=True)
class Ban:
    """What is not to be planned: every cell that holds all of ``there`` and none of ``missing``."""

    there: Cell
    missing: Cell = frozenset()

    def covers(self, cell: Cell) -> bool:
        """Whether a cell is banned."""
        return self.there <= cell and not self.missing & cell

    def text(self) -> str:
        """The ban as it is written."""
        return " ".join([*sorted(self.there), *(f"!{name}" for name in sorted(self.missing))])


def ban_of(text: str) -> Ban:
    """Read a ban.

    >>> ban_of("hand !target").text()
    'hand !target'
    """
    names = text.split()
    there = frozenset(name for name in names if not name.startswith("!"))
    return Ban(there, frozenset(name[1:] for name in names if name.startswith("!")))


def cells_of(names: Sequence[str], seen: Sequence[Cell], banned: Sequence[Ban] = ()) -> tuple[Cell, ...]:
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
        for name in sorted(ban.there | ban.missing):
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
        and not any(ban.covers(cell) for ban in banned)
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
