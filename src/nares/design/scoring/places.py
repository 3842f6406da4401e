"""Bias for a place: are some positions answered, missed or begun with more than chance would have it?

Conventions
-----------
Three questions, each asked of what was done and not of what was right. False alerts: where the visits of
every run are known, a false alert is expected in proportion to how often the dog came to a position while
it held no target; a dog that is sent in at position 1 and stops at its alert comes to position 1 more
often. Where they are not, each could fall on any empty place of its run, all equally likely without bias,
so that a position that held the target often is expected to take fewer. Hits: whether targets are found
equally often wherever they lie. First visits: whether the dog begins everywhere equally often, which also
depends on where it is sent in. Three tests are looked at: one in seven such sets shows a chance of 0.05
somewhere by luck.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
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
        false_alerts=_false_alerts(answers, positions),
        hits=hits_by_place(answers, confidence=confidence),
        first=_falls(
            "first position visited",
            positions,
            [(one.visits[0].position, _evenly(tuple(spot.position for spot in one.placed))) for one in known],
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


def _false_alerts(answers: Sequence[Answer], positions: Sequence[int]) -> Falls:
    """False alerts beside what chance expects: by visits where all are known, else by empty places."""
    runs = [one for one in answers if not one.at_warm]
    seen = all(one.visits for one in runs)
    open_runs = Counter(
        place for one in runs for place in (one.offered(one.empties) if seen else one.empties)
    )
    visits = {place: count / open_runs.total() for place, count in open_runs.items()}
    choices = [(place, visits if seen else _evenly(one.empties)) for one in runs for place in one.false]
    return _falls("false alerts by position", positions, choices, open_runs)


def _evenly(places: Sequence[int]) -> dict[int, float]:
    return dict.fromkeys(places, 1 / len(places))


def _falls(
    what: str,
    positions: Sequence[int],
    choices: Sequence[tuple[int, Mapping[int, float]]],
    open_runs: Counter[int],
) -> Falls:
    """Lay choices, each with the shares of the positions it could have fallen on, beside chance."""
    chosen = Counter(place for place, _ in choices)
    shares = [[free.get(place, 0.0) for place in positions] for _, free in choices]
    expected = [sum(row[k] for row in shares) for k in range(len(positions))]
    lines = tuple(
        Fall(place, chosen[place], expects, open_runs[place])
        for place, expects in zip(positions, expected, strict=True)
    )
    why = ""
    if not choices:
        why = "there were none, so there is nothing to test."
    elif all(len(free) == 1 for _, free in choices):
        why = "there was only one place to choose each time."
    test = None if why else fit_test([chosen[place] for place in positions], shares)
    return Falls(what, len(choices), lines, test, why)
