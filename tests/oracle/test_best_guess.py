"""The best possible guesser, held against going through every order, and figures reckoned beforehand.

The second guesser plays: at every run it looks at all orders that begin as this one did, and names what comes
next in most of them.
"""

from collections import Counter
from itertools import groupby, product

import pytest

from nares.design.orders import ways_of_guessing

BALANCED = ("balanced",)
FIVE = ("balanced", "longest_run_3", "halves", "reversals_half", "single_alternation")
EIGHT = (
    "balanced",
    "longest_run_3",
    "halves",
    "reversals_at_most_half",
    "single_alternation",
    "double_alternation",
    "double_alternation_late",
)


def best(runs: int, positions: int, rules: tuple[str, ...], blank_runs: float | None = None) -> float:
    guessed = ways_of_guessing(
        runs=runs,
        positions=positions,
        targets_low=1 if blank_runs is None else 0,
        targets_high=1,
        blank_runs=blank_runs,
        drawing="constrained",
        rules=rules,
    )[-1]
    assert guessed.name == "best possible"
    assert guessed.error is None
    return guessed.rate


def played(orders: list[tuple[int, ...]]) -> float:
    """The share guessed right by who names what comes next most often, given what was; 0 is a blank run."""
    after: dict[tuple[int, ...], Counter[int]] = {}
    for order in orders:
        for run, outcome in enumerate(order):
            after.setdefault(order[:run], Counter())[outcome] += 1
    return sum(max(nexts.values()) for nexts in after.values()) / (len(orders) * len(orders[0]))


def of_kind(
    runs: int, positions: int, blanks: int, *, longest: int = 99, longest_blanks: int = 99, even: bool = True
) -> list[tuple[int, ...]]:
    kept = []
    for order in product(range(positions + 1), repeat=runs):
        paid = [place for place in order if place]
        times = [paid.count(place) for place in range(1, positions + 1)]
        if order.count(0) != blanks or (even and max(times) - min(times) > 1):
            continue
        if max((len(list(block)) for _, block in groupby(paid)), default=0) > longest:
            continue
        if (
            max((len(list(block)) for found, block in groupby(order) if not found), default=0)
            > longest_blanks
        ):
            continue
        kept.append(order)
    return kept


@pytest.mark.parametrize(
    ("rules", "rate"),
    [
        ((), 0.500),
        (("longest_run_3",), 0.590),
        (FIVE[:1], 0.653),
        (FIVE[:2], 0.677),
        (FIVE[:3], 0.683),
        (FIVE[:4], 0.750),
        (FIVE, 0.764),
        (EIGHT, 0.875),
    ],
)
def test_ten_runs_of_two_sides(rules: tuple[str, ...], rate: float) -> None:
    assert best(10, 2, rules) == pytest.approx(rate, abs=0.0005)


@pytest.mark.parametrize(
    ("positions", "times", "rate"),
    [(5, 4, 0.360), (5, 2, 0.407), (4, 5, 0.406), (3, 10, 0.457), (8, 3, 0.272), (2, 10, 0.617)],
)
def test_positions_exactly_balanced(positions: int, times: int, rate: float) -> None:
    assert best(positions * times, positions, BALANCED) == pytest.approx(rate, abs=0.0005)


@pytest.mark.parametrize(("size", "rate"), [(2, 0.750), (3, 0.611), (4, 0.521), (5, 0.457), (8, 0.340)])
def test_permuted_blocks(size: int, rate: float) -> None:
    assert best(size, size, BALANCED) == pytest.approx(rate, abs=0.0005)


@pytest.mark.parametrize(
    ("runs", "positions", "blanks"), [(8, 2, 0), (7, 3, 0), (7, 2, 2), (6, 3, 3), (5, 4, 1)]
)
def test_counting_agrees_with_going_through_all(runs: int, positions: int, blanks: int) -> None:
    from nares.design.orders.best_guess import best_of_counts
    from nares.design.orders.makeup import MakeUp

    makeup = MakeUp((0,) * blanks + (1,) * (runs - blanks), positions)
    for rules, limits in (
        ((), {"even": False}),
        (("balanced",), {}),
        (("balanced", "longest_run_3"), {"longest": 3}),
        (("longest_run_3", "longest_blanks_3"), {"longest": 3, "longest_blanks": 3, "even": False}),
        (("balanced", "longest_run_3", "longest_blanks_3"), {"longest": 3, "longest_blanks": 3}),
    ):
        counted = best_of_counts(makeup, frozenset(rules))
        every = of_kind(runs, positions, blanks, **limits)
        assert counted is not None
        assert float(counted) == pytest.approx(played(every))
        assert best(runs, positions, rules, blanks / runs if blanks else None) == pytest.approx(played(every))


def test_blank_runs_drawn_between_neighbours_are_weighed() -> None:
    """A quarter of six runs: one or two, each half the time, so orders with fewer ways weigh more."""
    one, two = of_kind(6, 2, 1), of_kind(6, 2, 2)
    weighed: dict[tuple[int, ...], Counter[int]] = {}
    for orders, weight in ((one, len(two)), (two, len(one))):
        for order in orders:
            for run, outcome in enumerate(order):
                weighed.setdefault(order[:run], Counter())[outcome] += weight
    rate = sum(max(nexts.values()) for nexts in weighed.values()) / (2 * len(one) * len(two) * 6)
    assert best(6, 2, BALANCED, 0.25) == pytest.approx(rate)
