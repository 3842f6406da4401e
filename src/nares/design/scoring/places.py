"""Bias for a place: are some positions answered, missed or begun with more than chance would have it?

Conventions
-----------
Three questions, each asked of what was done and not of what was right. False
alerts: each had as many places to fall on as that run had empty ones that were offered, all equally likely
without bias; so a position that held the target often is expected to take fewer. Hits: whether targets are
found equally often wherever they lie. First visits: whether the dog begins everywhere equally often, which
also depends on where it is sent in. Three tests are looked at: one in seven such sets shows a chance of
0.05 somewhere by luck.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from nares.design.scoring.answers import Answer
from nares.design.scoring.multinomial import FitTest, fit_test
from nares.design.scoring.rates import Rate, rate_of
from nares.design.scoring.two_rates import TableTest, table_test


@dataclass(frozen=True, slots=True)
class Fall:
    """One position: how often chosen, how often chance expects it, how often it was open to be chosen."""

    position: int
    chosen: int
    expected: float
    open_runs: int


@dataclass(frozen=True, slots=True)
class Falls:
    """Choices over positions; ``test`` None: nothing was chosen, or there was no choice.

    ``why``: what keeps it from being tested, in words; empty: tested.
    """

    what: str
    choices: int
    positions: tuple[Fall, ...]
    test: FitTest | None
    why: str = ""


@dataclass(frozen=True, slots=True)
class HitsByPlace:
    """Hits by where the target lay, in runs with one target; ``test`` None: tried at one position only."""

    positions: tuple[tuple[int, Rate], ...]
    test: TableTest | None


@dataclass(frozen=True, slots=True)
class Places:
    """The three questions; ``first`` None: visits were not taken."""

    false_alerts: Falls
    hits: HitsByPlace
    first: Falls | None


def places_of(answers: Sequence[Answer], *, confidence: float) -> Places:
    """Ask the three questions of what one side answered."""
    positions = sorted({one.position for answer in answers for one in answer.placed})
    known = [one for one in answers if one.visits]
    return Places(
        false_alerts=_falls(
            "false alerts by position",
            positions,
            [(place, one.offered(one.empties)) for one in answers if not one.at_warm for place in one.false],
            Counter(place for one in answers if not one.at_warm for place in one.offered(one.empties)),
        ),
        hits=hits_by_place(answers, confidence=confidence),
        first=_falls(
            "first position visited",
            positions,
            [(one.visits[0].position, tuple(spot.position for spot in one.placed)) for one in known],
            Counter(spot.position for one in known for spot in one.placed),
        )
        if known
        else None,
    )


def hits_by_place(answers: Sequence[Answer], *, confidence: float) -> HitsByPlace:
    """Hits by where the one target lay, as far as the dog came to it."""
    trials = [one for one in answers if len(one.targets) == 1 and one.offered(one.targets)]
    rates = []
    for place in sorted({one.targets[0] for one in trials}):
        there = [one for one in trials if one.targets[0] == place]
        rate = rate_of(
            f"targets answered, of targets at position {place}",
            [one.found for one in there],
            [one.lineup for one in there],
            confidence=confidence,
        )
        rates.append((place, rate))
    test = (
        table_test([rate.k for _, rate in rates], [rate.n for _, rate in rates]) if len(rates) > 1 else None
    )
    return HitsByPlace(tuple(rates), test)


def _falls(
    what: str,
    positions: Sequence[int],
    choices: Sequence[tuple[int, tuple[int, ...]]],
    open_runs: Counter[int],
) -> Falls:
    """Lay choices, each with the positions it could have fallen on, beside what chance expects."""
    chosen = Counter(place for place, _ in choices)
    shares = [[1 / len(free) if place in free else 0.0 for place in positions] for _, free in choices]
    expected = [sum(row[k] for row in shares) for k in range(len(positions))]
    lines = tuple(
        Fall(place, chosen[place], expects, open_runs[place])
        for place, expects in zip(positions, expected, strict=True)
    )
    why = ""
    if not choices:
        why = "There were none, so there is nothing to test."
    elif all(len(free) == 1 for _, free in choices):
        why = "There was only one place to choose each time."
    test = None if why else fit_test([chosen[place] for place in positions], shares)
    return Falls(what, len(choices), lines, test, why)
