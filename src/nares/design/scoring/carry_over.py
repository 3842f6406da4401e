"""What the run before does to this one: the place of the last target, and the answer that paid or did not.

Conventions
-----------
Only runs that follow each other directly in one line-up are paired: where a run
between was void or not called, nobody knows what the dog took along from it. Only places that hold no
target now are looked at, so that an answer there cannot be a find. Places of one run are not independent (a
run has one answer), which makes the test a little slow to speak.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from nares.design.scoring.answers import Answer
from nares.design.scoring.rates import rate_of
from nares.design.scoring.two_rates import Compared, compare


@dataclass(frozen=True, slots=True)
class CarryOver:
    """What the run before does.

    ``pairs``: runs that follow each other directly. ``place``: empty places that held the target the run
    before, against others, by false alert. ``answer``: after a hit against after a false alert, by whether
    the same place, now empty, is answered again (win-stay, lose-shift). None: never tried.
    """

    pairs: int
    place: Compared | None
    answer: Compared | None


def carry_over_of(answers: Sequence[Answer], *, confidence: float) -> CarryOver:
    """Count what runs that follow each other have to do with each other."""
    pairs = [
        (one, after)
        for one, after in pairwise(sorted(answers, key=lambda each: (each.lineup, each.run)))
        if one.lineup == after.lineup and after.run == one.run + 1 and not after.at_warm
    ]
    places = [
        (after.lineup, place in one.targets, place in after.at)
        for one, after in pairs
        if one.targets
        for place in after.offered(after.empties)
    ]
    again = [
        (after.lineup, one.found, one.at[0] in after.at)
        for one, after in pairs
        if len(one.at) == 1 and not one.at_warm and after.offered(one.at) and one.at[0] in after.empties
    ]
    return CarryOver(
        len(pairs),
        _split(
            "answered, of empty places that held the target the run before",
            "answered, of other empty places of the same runs",
            places,
            confidence,
        ),
        _split(
            "answered again, of places hit the run before that are empty now",
            "answered again, of places falsely alerted at the run before that are empty now",
            again,
            confidence,
        ),
    )


def _split(
    first: str, second: str, trials: Sequence[tuple[str, bool, bool]], confidence: float
) -> Compared | None:
    """Compare trials of the first kind with those of the second."""
    if not trials:
        return None
    sides = [
        rate_of(
            what,
            [met for _, kind, met in trials if kind is wanted],
            [lineup for lineup, kind, _ in trials if kind is wanted],
            confidence=confidence,
        )
        for what, wanted in ((first, True), (second, False))
    ]
    return compare(sides[0], sides[1], confidence=confidence)
