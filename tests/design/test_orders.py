"""Drawing orders: what is refused and why, what is drawn between, and that every order is as likely."""

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction

import pytest
from scipy.stats import chisquare

from nares.base.errors import NotEnoughData, OutOfRange, Unknown
from nares.design.chance import Stream, subseed
from nares.design.orders import RULES, Order, constrained_runs, independent_runs
from nares.design.orders.makeup import MakeUp, draw_of, every_order, orders_of

SEED = bytes(range(32))
FIVE = ("balanced", "longest_run_3", "halves", "reversals_half", "single_alternation")


def constrained(
    runs: int,
    positions: int,
    *,
    low: int = 1,
    high: int = 1,
    blank_runs: float | None = None,
    rules: Sequence[str] | None = None,
    stream: Stream | None = None,
) -> Order:
    return constrained_runs(
        runs=runs,
        positions=positions,
        targets_low=low,
        targets_high=high,
        blank_runs=blank_runs,
        rules=rules,
        stream=stream or Stream(SEED),
    )


def independent(
    runs: int,
    positions: int,
    *,
    low: int = 1,
    high: int = 1,
    blank_runs: float | None = None,
    purpose: str = "a",
) -> tuple[tuple[int, ...], ...]:
    return independent_runs(
        runs=runs,
        positions=positions,
        targets_low=low,
        targets_high=high,
        blank_runs=blank_runs,
        stream=Stream(subseed(SEED, purpose)),
    )


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"runs": 0}, "An order of 0 runs is none. Ask for one run"),
        ({"positions": 0}, "0 positions holds nothing. Ask for one position"),
        ({"targets_low": 2}, "2 to 1 targets a run cannot be. Write the fewest first"),
        ({"targets_high": 7}, "7 targets do not fit into 6 positions. Ask for at most 6"),
        (
            {"blank_runs": 0.25},
            r"0\.25 blank runs contradicts at least 1 target in every run. Let the fewest be 0",
        ),
        ({"blank_runs": 25}, r"between 0 and 1. Write 25 % as 0\.25"),
        ({"targets_low": 0, "targets_high": 0, "blank_runs": 0.5}, "Let the most be 1 at least"),
    ],
)
def test_a_request_that_contradicts_itself_is_refused(changed: dict[str, float], words: str) -> None:
    request = {"runs": 10, "positions": 6, "targets_low": 1, "targets_high": 1, "blank_runs": None}
    with pytest.raises(OutOfRange, match=words):
        independent_runs(**{**request, **changed}, stream=Stream(SEED))  # type: ignore[arg-type]
    with pytest.raises(OutOfRange, match=words):
        constrained_runs(**{**request, **changed}, rules=None, stream=Stream(SEED))  # type: ignore[arg-type]


def test_independent_runs_are_those_of_the_recipe() -> None:
    """Blank or not, how many, where: three draws a run, in this order."""
    stream = Stream(SEED)
    expected = []
    for _ in range(50):
        blank = stream.below(4) < 1
        count = 1 + stream.below(2)
        places = stream.shuffled([1, 2, 3, 4, 5])
        expected.append(() if blank else tuple(sorted(places[:count])))
    drawn = independent_runs(
        runs=50, positions=5, targets_low=0, targets_high=2, blank_runs=0.25, stream=Stream(SEED)
    )
    assert drawn == tuple(expected)


@pytest.mark.parametrize(
    ("positions", "high", "blank_runs", "rules"),
    [(5, 1, 0.3, ("balanced",)), (4, 2, 0.25, ()), (2, 1, None, FIVE), (1, 1, 0.5, ("longest_blanks_3",))],
)
def test_constrained_orders_are_those_of_the_recipe(
    positions: int, high: int, blank_runs: float | None, rules: tuple[str, ...]
) -> None:
    """Step 7 of docs/orders.md, once more."""
    stream = Stream(SEED)
    blanks = 0
    if blank_runs is not None:
        left = Fraction(str(blank_runs)) * 10
        blanks = int(left) + (stream.below((left % 1).denominator) < (left % 1).numerator)
    kinds = stream.shuffled(range(1, high + 1))
    counts = sorted([0] * blanks + [kinds[run % high] for run in range(10 - blanks)])
    tries = 0
    order: tuple[tuple[int, ...], ...]
    while True:
        tries += 1
        sizes = stream.shuffled(counts)
        if "balanced" in rules:
            each, more = divmod(10 - blanks, positions)
            times = stream.shuffled([each + (place < more) for place in range(positions)])
            places = iter(
                stream.shuffled([place + 1 for place in range(positions) for _ in range(times[place])])
            )
            order = tuple((next(places),) if size else () for size in sizes)
        else:
            order = tuple(tuple(sorted(stream.shuffled(range(1, positions + 1))[:size])) for size in sizes)
        if all(RULES[rule].holds(order, positions) for rule in rules):
            break
    drawn = constrained(
        10,
        positions,
        low=blank_runs is None,
        high=high,
        blank_runs=blank_runs,
        rules=rules,
        stream=Stream(SEED),
    )
    assert (drawn.runs, drawn.tries) == (order, tries)


def test_without_a_share_every_count_is_as_likely() -> None:
    counts = Counter(len(run) for run in independent(6000, 4, low=0, high=2))
    assert chisquare([counts[0], counts[1], counts[2]]).pvalue > 0.01


def test_a_share_of_no_blank_runs_leaves_the_fewest_asked_for() -> None:
    assert {len(run) for run in independent(300, 5, low=2, high=3, blank_runs=0.0)} == {2, 3}


def test_all_runs_may_be_blank() -> None:
    assert set(independent(20, 3, low=0, high=0)) == {()}
    assert set(constrained(12, 3, low=0, high=0, blank_runs=1.0, rules=[]).runs) == {()}


def test_the_same_seed_gives_the_same_order() -> None:
    assert constrained(20, 5) == constrained(20, 5)
    assert constrained(20, 5) != constrained(20, 5, stream=Stream(subseed(SEED, "other")))


def test_a_whole_share_of_blank_runs_is_kept_exactly() -> None:
    order = constrained(20, 6, low=0, blank_runs=0.25)
    assert sum(not run for run in order.runs) == 5


def test_a_share_that_gives_no_whole_number_is_drawn_between_the_neighbours() -> None:
    stream = Stream(SEED)
    counts = Counter(
        sum(not run for run in constrained(6, 3, low=0, blank_runs=0.4, rules=[], stream=stream).runs)
        for _ in range(2000)
    )
    assert counts.keys() == {2, 3}
    assert chisquare([counts[2], counts[3]], [1200, 800]).pvalue > 0.01


def test_counts_of_targets_are_spread_evenly() -> None:
    order = constrained(11, 5, low=1, high=3, rules=[])
    assert sorted(Counter(map(len, order.runs)).values()) == [3, 4, 4]


def test_every_order_that_keeps_the_rules_is_as_likely() -> None:
    stream = Stream(SEED)
    seen = Counter(constrained(10, 2, rules=FIVE, stream=stream).runs for _ in range(2200))
    assert len(seen) == 44
    assert chisquare(list(seen.values())).pvalue > 0.01


def test_orders_listed_one_by_one_are_as_likely_too(monkeypatch: pytest.MonkeyPatch) -> None:
    import nares.design.orders.constrained as module

    monkeypatch.setattr(module, "FIRST_TRIES", 0)
    stream = Stream(SEED)
    drawn = [constrained(10, 2, rules=FIVE, stream=stream) for _ in range(2200)]
    assert {order.counted for order in drawn} == {44}
    seen = Counter(order.runs for order in drawn)
    assert len(seen) == 44
    assert chisquare(list(seen.values())).pvalue > 0.01


@pytest.mark.parametrize(
    ("counts", "positions"),
    [
        ((1,) * 7, 3),
        ((0, 0, 1, 1, 1), 2),
        ((1, 1, 2, 2), 3),
        ((0, 1, 2, 2), 4),
        ((1, 2, 3), 4),
        ((1, 1, 1), 5),
    ],
)
def test_balanced_orders_are_drawn_each_as_likely(counts: tuple[int, ...], positions: int) -> None:
    """With several targets a run they are drawn run by run, weighed by what can still follow."""
    makeup = MakeUp(counts, positions)
    every = set(every_order(makeup, balanced=True))
    assert len(every) == orders_of(makeup, balanced=True)
    assert len(set(every_order(makeup, balanced=False))) == orders_of(makeup, balanced=False)
    stream = Stream(SEED)
    draws = max(3000, 8 * len(every))
    seen = Counter(draw_of(makeup, balanced=True, stream=stream) for _ in range(draws))
    assert seen.keys() <= every
    assert chisquare([seen[order] for order in every]).pvalue > 0.01


@pytest.mark.parametrize(("counts", "positions"), [((1, 1, 2, 2), 3), ((0, 1, 2, 2), 4), ((2, 2, 2), 4)])
def test_balanced_orders_cut_from_a_shuffle_are_each_as_likely(
    counts: tuple[int, ...], positions: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the ways are too many to be counted, shuffles are cut into runs and thrown away."""
    import nares.design.orders.makeup as module

    makeup = MakeUp(counts, positions)
    every = set(every_order(makeup, balanced=True))
    monkeypatch.setattr(module, "MOST_COUNTED", 0)
    assert orders_of(makeup, balanced=True) is None
    stream = Stream(SEED)
    seen = Counter(draw_of(makeup, balanced=True, stream=stream) for _ in range(max(3000, 8 * len(every))))
    assert seen.keys() <= every
    assert chisquare([seen[order] for order in every]).pvalue > 0.001


def test_too_long_an_order_of_several_targets_cannot_be_balanced() -> None:
    with pytest.raises(
        OutOfRange, match=r"300 runs with up to 2 targets .* too many to be drawn balanced. Ask"
    ):
        constrained(300, 6, high=2, rules=["balanced"])
    assert "balanced" not in constrained(300, 6, high=2).rules


def test_an_impossible_order_is_refused_with_the_rule_that_is_in_the_way() -> None:
    """Both positions hold a target in every run, so both hold one four times running."""
    with pytest.raises(NotEnoughData) as refused:
        constrained(4, 2, low=2, high=2, rules=["balanced", "longest_run_3"])
    assert str(refused.value) == (
        "No order of 4 runs in 2 positions keeps all these rules: balanced, longest_run_3. "
        "Without longest_run_3 1 would: leave one out, or ask for more runs."
    )


def test_an_order_as_good_as_impossible_is_refused_after_many_tries(monkeypatch: pytest.MonkeyPatch) -> None:
    import nares.design.orders.constrained as module

    monkeypatch.setattr(module, "MOST_TRIES", 300)
    with pytest.raises(
        NotEnoughData, match=r"None of 300 orders drawn kept all rules; 300 broke longest_run_3"
    ):
        constrained(40, 4, low=3, high=3, rules=["longest_run_3"])


def test_a_rule_that_needs_more_runs_is_refused_and_not_among_the_usual() -> None:
    with pytest.raises(
        OutOfRange, match=r"last_target needs 8 runs with a target .* here are 5. Leave it out"
    ):
        constrained(5, 4, rules=["last_target"])
    assert "last_target" not in constrained(5, 4).rules


def test_a_rule_about_one_target_is_refused_with_several() -> None:
    with pytest.raises(
        OutOfRange, match="side_of_previous speaks of one target a run, and here runs hold up to 2"
    ):
        constrained(20, 6, high=2, rules=["side_of_previous"])
    assert "side_of_previous" not in constrained(20, 6, high=2).rules


def test_too_many_blank_runs_cannot_lie_apart() -> None:
    with pytest.raises(OutOfRange, match=r"17 blank runs of 20 cannot lie .* room for 12. Ask for fewer"):
        constrained(20, 6, low=0, blank_runs=0.85, rules=["longest_blanks_3"])


def test_with_a_single_position_the_usual_rules_ask_for_half_blank_runs() -> None:
    with pytest.raises(OutOfRange, match=r"5 of 20. Ask for a share of 0\.5"):
        constrained(20, 1, low=0, blank_runs=0.25, rules=["balanced"])
    assert "balanced" in constrained(20, 1, low=0, blank_runs=0.5).rules


def test_a_rule_nobody_wrote_is_unknown() -> None:
    with pytest.raises(Unknown, match=r"no rule 'fair'. There are: balanced,"):
        constrained(20, 6, rules=["fair"])


@pytest.mark.parametrize("positions", range(1, 13))
def test_the_usual_rules_can_be_kept_whatever_is_asked_for(positions: int) -> None:
    stream = Stream(subseed(SEED, f"usual {positions}"))
    for runs in (*range(1, 13), 15, 21, 32):
        for blank_runs in (None, 0.2, 0.5):
            order = constrained(runs, positions, low=blank_runs is None, blank_runs=blank_runs, stream=stream)
            assert len(order.runs) == runs
