"""What an order is, what is asked of one, and which requests contradict themselves.

Conventions
-----------
An *order* is one tuple of target positions a run, each sorted, in the order of the runs; ``()`` is a blank
run. Positions count from 1. ``blank_runs`` is the chance, or the share, of blank runs, taken as the decimal
a person wrote.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

from nares.base.errors import OutOfRange
from nares.design.chance.stream import as_written

Runs: TypeAlias = Sequence[tuple[int, ...]]


@dataclass(frozen=True, slots=True)
class Order:
    """A drawn order that keeps rules.

    ``tries``: orders drawn until one kept them all, that one included. ``counted``: how many orders keep
    them, where they were listed one by one and one of them picked; None: drawn and redrawn only.
    """

    runs: tuple[tuple[int, ...], ...]
    tries: int
    rules: tuple[str, ...]
    counted: int | None = None


@dataclass(frozen=True, slots=True)
class Asked:
    """A request that does not contradict itself. ``blank_runs`` None: every count of targets equally likely.

    ``low``: fewest targets of a run that is not blank for being drawn blank.
    """

    runs: int
    positions: int
    low: int
    high: int
    blank_runs: Fraction | None

    @property
    def chances_of_counts(self) -> dict[int, Fraction]:
        """The chance of every number of targets, where each run is drawn by itself."""
        even = Fraction(1, self.high - self.low + 1)
        blank = self.blank_runs or Fraction(0)
        chances = dict.fromkeys(range(self.low, self.high + 1), even * (1 - blank))
        chances[0] = chances.get(0, Fraction(0)) + blank
        return {count: chance for count, chance in sorted(chances.items()) if chance}


def asked(
    *, runs: int, positions: int, targets_low: int, targets_high: int, blank_runs: float | None
) -> Asked:
    """The request, once it is clear that it does not contradict itself.

    With a share of blank runs, every other run holds one target at least.

    Raises:
        OutOfRange: Saying what contradicts what, and what to change.
    """
    if runs < 1:
        raise OutOfRange(f"An order of {runs} runs is none. Ask for one run at least.")
    if positions < 1:
        raise OutOfRange(f"A line-up of {positions} positions holds nothing. Ask for one position at least.")
    if not 0 <= targets_low <= targets_high:
        raise OutOfRange(
            f"{targets_low} to {targets_high} targets a run cannot be. Write the fewest first, 0 at least."
        )
    if targets_high > positions:
        raise OutOfRange(
            f"{targets_high} targets do not fit into {positions} positions. "
            f"Ask for at most {positions}, or add positions."
        )
    if blank_runs is None:
        return Asked(runs, positions, targets_low, targets_high, None)
    share = as_written(blank_runs)
    if share and targets_low:
        raise OutOfRange(
            f"A share of {blank_runs:g} blank runs contradicts at least {targets_low} target"
            f"{'' if targets_low == 1 else 's'} in every run. Let the fewest be 0, or ask for no blank runs."
        )
    if share < 1 and not targets_high:
        raise OutOfRange(
            f"A share of {blank_runs:g} blank runs contradicts no target in any run. "
            "Let the most be 1 at least, or the share of blank runs 1."
        )
    return Asked(runs, positions, min(max(targets_low, 1), targets_high), targets_high, share)
