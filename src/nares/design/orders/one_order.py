"""What one order, as it was run, would have given away: every simple guesser, every rule, stretches.

Conventions
-----------
The order is opened: this is for looking back, and for orders somebody made by hand. A rule that so few runs
cannot be asked about is left out, not passed.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from nares.base.errors import NotEnoughData, OutOfRange
from nares.design.orders.guessers import GUESSERS, guessers_of
from nares.design.orders.makeup import MakeUp
from nares.design.orders.order import Runs
from nares.design.orders.possible import contradiction
from nares.design.orders.rules import RULES, Rule
from nares.design.orders.stretches import Stretches, stretches_test


@dataclass(frozen=True, slots=True)
class Habit:
    """What one simple guesser would have got right in an order, of all its runs.

    ``right`` is an average, so a fraction, where the guesser may choose among places.
    """

    name: str
    right: float
    runs: int
    says: str


@dataclass(frozen=True, slots=True)
class Kept:
    """Whether an order keeps one rule."""

    rule: Rule
    holds: bool


@dataclass(frozen=True, slots=True)
class Looked:
    """An order looked at. ``stretches`` None: it tells nothing about how outcomes follow each other."""

    habits: tuple[Habit, ...]
    rules: tuple[Kept, ...]
    stretches: Stretches | None


def look_at(order: Runs, *, positions: int) -> Looked:
    """What an order gives away to somebody with a habit, which rules it keeps, whether it looks drawn.

    Args:
        order: Target positions of each run; ``()`` is a blank run.
        positions: Positions of the line-up, 1 at least. [count]

    Raises:
        OutOfRange: If there is no run, or a target lies where there is no position.

    Examples:
        >>> look_at([(1,), (2,), (1,), (2,), (1,), (2,)], positions=2).habits[2].says
        'Who names where the target was last would have been right in 0.5 of 6 runs.'
    """
    runs = [tuple(sorted(run)) for run in order]
    _check(runs, positions)
    blank = any(not run for run in runs)
    habits = tuple(_habit(name, runs, positions) for name in guessers_of(positions, blank=blank))
    makeup = MakeUp(tuple(sorted(map(len, runs))), positions)
    rules = tuple(
        Kept(rule, rule.holds(runs, positions))
        for rule in RULES.values()
        if contradiction(makeup, rule) is None
    )
    try:
        stretches = stretches_test(runs)
    except NotEnoughData:
        stretches = None
    return Looked(habits, rules, stretches)


def _check(runs: Sequence[tuple[int, ...]], positions: int) -> None:
    if not runs:
        raise OutOfRange("An order without a run gives nothing away. Name the runs.")
    for number, run in enumerate(runs, 1):
        for place in run:
            if not 1 <= place <= positions:
                raise OutOfRange(
                    f"Run {number} has a target at position {place}, and there are {positions}. "
                    "Positions count from 1."
                )


def _habit(name: str, runs: Runs, positions: int) -> Habit:
    does, play = GUESSERS[name]
    right = play(runs, positions)
    shown = f"{right:.1f}".removesuffix(".0")
    return Habit(name, right, len(runs), f"Who {does} would have been right in {shown} of {len(runs)} runs.")
