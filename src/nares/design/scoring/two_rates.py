"""Two shares side by side: how far apart, and how often chance alone would part them so.

Conventions
-----------
The difference is first minus second, with Newcombe's hybrid interval; the test is Fisher's, two-sided, by the
probability of tables with the same margins. Trials count one by one: neither knows of line-ups.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import comb, sqrt

import numpy as np

from nares.base.errors import OutOfRange
from nares.base.interval import newcombe_interval
from nares.design.scoring.rates import Rate

MOST_STATES = 100_000
"""A table is counted out exactly while it takes no more steps than this; else it is simulated. [count]"""

DRAWS = 100_000
"""Simulated tables or choices, where counting out would take too long. [count]"""

SEED = 1962
"""Where simulated draws begin, so that the same runs always give the same figure."""


@dataclass(frozen=True, slots=True)
class Compared:
    """Two rates and what parts them; None where one was never tried.

    ``p_fisher``: chance of a table as unlikely or more if both rates were the same, margins as they are.
    """

    first: Rate
    second: Rate
    difference: float | None
    low: float | None
    high: float | None
    p_fisher: float | None


@dataclass(frozen=True, slots=True)
class TableTest:
    """Fisher-Freeman-Halton: chance of a table as unlikely or more, margins as they are.

    ``how``: counted out, or simulated, then with ``error`` as half a 95 % interval of the chance.
    """

    p_exact: float
    how: str
    error: float | None = None


def compare(first: Rate, second: Rate, *, confidence: float) -> Compared:
    """Set two rates side by side."""
    if not first.n or not second.n:
        return Compared(first, second, None, None, None, None)
    low, high = newcombe_interval((first.k, first.n), (second.k, second.n), confidence=confidence)
    difference = first.k / first.n - second.k / second.n
    return Compared(
        first, second, difference, low, high, fisher_two_sided((first.k, first.n), (second.k, second.n))
    )


def fisher_two_sided(first: tuple[int, int], second: tuple[int, int]) -> float:
    """How often chance gives a two by two table as unlikely or more, margins as they are.

    Sources:
        fisher-1935: the lady tasting tea.

    Examples:
        >>> round(fisher_two_sided((3, 4), (1, 4)), 6)
        0.485714
    """
    return table_test([first[0], second[0]], [first[1], second[1]]).p_exact


def table_test(hits: Sequence[int], trials: Sequence[int]) -> TableTest:
    """Test whether groups share one rate: a table of so many groups by hit and miss.

    Tables are ordered by their probability, counted in whole numbers, so that ties are exact.

    Raises:
        OutOfRange: If a count cannot be.

    Sources:
        freeman-halton-1951: the test for more than two groups.
    """
    if any(not 0 <= k <= n for k, n in zip(hits, trials, strict=True)):
        raise OutOfRange("Hits cannot outnumber trials. Count each trial once.")
    seen, whole = 1, comb(sum(trials), sum(hits))
    for k, n in zip(hits, trials, strict=True):
        seen *= comb(n, k)
    whole_hits = sum(hits)
    ways: dict[tuple[int, int], int] = {(0, 1): 1}
    left, steps = sum(trials), 0
    for n in trials:
        left -= n
        steps += len(ways) * (n + 1)
        if len(trials) > 2 and steps > MOST_STATES:
            return _simulated(hits, trials)
        weights = [comb(n, k) for k in range(min(n, whole_hits) + 1)]
        ahead: dict[tuple[int, int], int] = {}
        for (before, weight), count in ways.items():
            for k in range(max(0, whole_hits - before - left), min(n, whole_hits - before) + 1):
                state = (before + k, weight * weights[k])
                ahead[state] = ahead.get(state, 0) + count
        ways = ahead
    as_unlikely = sum(weight * count for (_, weight), count in ways.items() if weight <= seen)
    return TableTest(as_unlikely / whole, "counted out")


def _simulated(hits: Sequence[int], trials: Sequence[int]) -> TableTest:
    from scipy.special import gammaln

    sizes = np.asarray(trials)
    drawn = np.random.default_rng(SEED).multivariate_hypergeometric(
        sizes, sum(hits), size=DRAWS, method="marginals"
    )

    def log_weight(table: np.ndarray) -> np.ndarray:
        parts = gammaln(sizes + 1) - gammaln(table + 1) - gammaln(sizes - table + 1)
        return np.asarray(parts.sum(axis=-1))

    reached = int((log_weight(drawn) <= log_weight(np.asarray(hits)) + 1e-9).sum())
    return TableTest(*simulated_chance(reached))


def simulated_chance(reached: int) -> tuple[float, str, float]:
    """A chance from simulated draws, how it was found, and half its 95 % interval. [-]"""
    chance = (reached + 1) / (DRAWS + 1)
    return chance, f"{DRAWS:,} simulated".replace(",", " "), 1.96 * sqrt(chance * (1 - chance) / DRAWS)
