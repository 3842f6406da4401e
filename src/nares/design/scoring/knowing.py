"""Runs whose handler knew against blind runs, and single against double blind.

Conventions
-----------
By run: targets found, and runs with a false alert. Which runs were known was not
drawn by lot, so a difference may be one of days, places or practice; and few runs that do not differ prove
nothing. Runs whose blinding cannot be said are left out and counted.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from nares.base.lineups import Blinding
from nares.design.scoring.answers import Answer
from nares.design.scoring.rates import Rate, rate_of
from nares.design.scoring.two_rates import Compared, compare

BLIND: tuple[Blinding, ...] = ("single", "double")


@dataclass(frozen=True, slots=True)
class Knowing:
    """Comparisons, each None where one side was never tried.

    ``levels``: runs by blinding; ``unsaid``: runs of which it cannot be said.
    """

    levels: tuple[tuple[Blinding, int], ...]
    unsaid: int
    known_found: Compared | None
    known_false: Compared | None
    double_found: Compared | None
    double_false: Compared | None


def knowing_of(answers: Sequence[Answer], *, confidence: float) -> Knowing:
    """Compare runs by how blind they were."""

    def found(levels: tuple[Blinding, ...], word: str) -> Rate:
        runs = [one for one in answers if one.blinding in levels and one.targets]
        return rate_of(
            f"{word} runs found, of {word} runs with a target",
            [one.found for one in runs],
            [one.lineup for one in runs],
            confidence=confidence,
        )

    def false(levels: tuple[Blinding, ...], word: str) -> Rate:
        runs = [one for one in answers if one.blinding in levels and one.empties and not one.at_warm]
        return rate_of(
            f"{word} runs with a false alert, of {word} runs with an empty place",
            [bool(one.false) for one in runs],
            [one.lineup for one in runs],
            confidence=confidence,
        )

    def both(first: Rate, second: Rate) -> Compared | None:
        return compare(first, second, confidence=confidence) if first.n and second.n else None

    levels: tuple[Blinding, ...] = ("known", *BLIND)
    return Knowing(
        levels=tuple((level, sum(one.blinding == level for one in answers)) for level in levels),
        unsaid=sum(one.blinding is None for one in answers),
        known_found=both(found(("known",), "known"), found(BLIND, "blind")),
        known_false=both(false(("known",), "known"), false(BLIND, "blind")),
        double_found=both(found(("single",), "single-blind"), found(("double",), "double-blind")),
        double_false=both(false(("single",), "single-blind"), false(("double",), "double-blind")),
    )
