"""Whether a logged order changes place as often as chance would have it.

Conventions
-----------
A person who picks an order by hand and means to be random changes place too often; one in a hurry too seldom.
The test looks at the order as it was run: how many *stretches* it falls into, a stretch being runs with the
same outcome one after the other. It takes how often each outcome comes as it is, so it says nothing about a
favourite place. An order drawn under rules about habits is no chance order, and is not to be tested so.
"""

from collections import Counter
from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from math import comb, erfc, sqrt

from nares.base.errors import NotEnoughData

MOST_EXACT = 60
"""Runs up to which the probability is exact; beyond, by the normal curve."""


@dataclass(frozen=True, slots=True)
class Stretches:
    """How many stretches an order falls into, and what chance gives with the same counts.

    ``probability``: of a number at least as far from ``expected``, either way. ``exact``: reckoned over all
    arrangements; otherwise by the normal curve, without correction for whole numbers.
    """

    runs: int
    stretches: int
    expected: float
    spread: float
    z: float
    probability: float
    exact: bool
    says: str


def stretches_test(outcomes: Sequence[Hashable]) -> Stretches:
    """Test whether outcomes follow each other as chance has it, by the number of stretches.

    Args:
        outcomes: What each run held, in the order run: a side, a position, a tuple of positions, blank.

    Raises:
        NotEnoughData: If fewer than two different outcomes came, or each came once.

    Sources:
        wald-wolfowitz-1940: two kinds of outcome.
        barton-david-1957: mean and spread with more kinds.

    Examples:
        >>> stretches_test("LRLRLRLRLR").says
        'It changes more often than chance has it: 10 stretches where 6.0 are expected; as far off by luck in
        1.6 of 100 orders.'
    """
    counts = tuple(sorted(Counter(outcomes).values()))
    if len(counts) < 2 or counts[-1] < 2:
        raise NotEnoughData(
            f"{len(outcomes)} runs with {len(counts)} different outcome{'' if len(counts) == 1 else 's'} "
            "tell nothing about how they follow each other. Log more runs."
        )
    stretches = 1 + sum(before != now for before, now in pairwise(outcomes))
    expected, spread = _usual(counts)
    z = (stretches - float(expected)) / spread
    exact = len(outcomes) <= MOST_EXACT
    probability = _as_far(counts, stretches, expected) if exact else erfc(abs(z) / sqrt(2))
    says = _says(stretches, float(expected), probability)
    return Stretches(
        len(outcomes), stretches, float(expected), spread, z, probability, exact=exact, says=says
    )


def _usual(counts: tuple[int, ...]) -> tuple[Fraction, float]:
    """Mean and standard deviation of the number of stretches over all arrangements."""
    runs = sum(counts)
    squares, cubes = sum(count**2 for count in counts), sum(count**3 for count in counts)
    expected = Fraction(runs * (runs + 1) - squares, runs)
    variance = Fraction(
        squares * (squares + runs * (runs + 1)) - 2 * runs * cubes - runs**3, runs**2 * (runs - 1)
    )
    return expected, sqrt(variance)


def _as_far(counts: tuple[int, ...], stretches: int, expected: Fraction) -> float:
    ways = arrangements(counts)
    away = abs(stretches - expected)
    far = sum(count for number, count in ways.items() if abs(number - expected) >= away)
    return far / sum(ways.values())


@lru_cache(maxsize=32)
def arrangements(counts: tuple[int, ...]) -> dict[int, int]:
    """In how many ways outcomes that come so often fall into each number of stretches.

    An outcome that comes *n* times is cut into *b* stretches in C(n-1, b-1) ways; words in which no two
    neighbours are alike are counted by inclusion and exclusion over stretches glued together.
    """
    terms = {(0, 0): 1}
    for count in counts:
        own = [
            (cuts, glued, (-1) ** (cuts - glued) * comb(count - 1, cuts - 1) * comb(cuts - 1, glued - 1))
            for cuts in range(1, count + 1)
            for glued in range(1, cuts + 1)
        ]
        longer: dict[tuple[int, int], int] = {}
        for (cut, glue), term in terms.items():
            for cuts, glued, more in own:
                key = (cut + cuts, glue + glued)
                longer[key] = longer.get(key, 0) + term * more * comb(glue + glued, glued)
        terms = longer
    ways: dict[int, int] = {}
    for (cut, _), term in terms.items():
        ways[cut] = ways.get(cut, 0) + term
    return {number: count for number, count in ways.items() if count}


def _says(stretches: int, expected: float, probability: float) -> str:
    hundred = f"{100 * probability:.1f}" if probability >= 0.001 else "fewer than 0.1"
    found = (
        f"{stretches} stretches where {expected:.1f} are expected; as far off by luck in {hundred} "
        "of 100 orders."
    )
    if probability >= 0.05:
        return f"It changes about as often as chance has it: {found}"
    return f"It changes {'more' if stretches > expected else 'less'} often than chance has it: {found}"
