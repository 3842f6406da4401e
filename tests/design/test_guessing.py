"""How guessable orders are: simple guessers, sentences, independent draws."""

from fractions import Fraction

import pytest

from nares.base.errors import NotEnoughData, OutOfRange
from nares.design.chance import Stream
from nares.design.orders import Guessed, independent_runs, ways_of_guessing
from nares.design.orders.guessers import GUESSERS


def named(guessed: tuple[Guessed, ...], name: str) -> Guessed:
    return next(one for one in guessed if one.name == name)


def asked(drawing: str, **changed: object) -> tuple[Guessed, ...]:
    request: dict[str, object] = {
        "runs": 20,
        "positions": 5,
        "targets_low": 1,
        "targets_high": 1,
        "blank_runs": None,
        "rules": None,
    }
    return ways_of_guessing(**{**request, **changed}, drawing=drawing)  # type: ignore[arg-type]


def test_in_independent_draws_nobody_beats_chance() -> None:
    guessed = asked("independent")
    assert {one.rate for one in guessed} == {0.2}
    assert guessed[-1].says == "Nobody does better than chance, whatever they have seen: 20 runs of 100."


def test_with_blank_runs_the_best_is_the_more_frequent_answer() -> None:
    guessed = asked("independent", positions=6, targets_low=0, blank_runs=0.25)
    assert named(guessed, "favourite place").rate == 0.125
    assert named(guessed, "always clear").rate == guessed[-1].rate == guessed[-1].chance == 0.25


def test_several_targets_make_a_place_more_frequent() -> None:
    guessed = asked("independent", positions=4, targets_low=0, targets_high=2)
    assert named(guessed, "favourite place").rate == 0.25
    assert named(guessed, "always clear").rate == float(Fraction(1, 3))
    assert guessed[-1].rate == float(Fraction(1, 3))


@pytest.mark.parametrize(
    ("positions", "low", "high", "blank_runs"),
    [(5, 1, 1, None), (6, 0, 1, 0.25), (4, 0, 2, None), (1, 0, 1, 0.3)],
)
def test_independent_figures_are_those_of_drawn_orders(
    positions: int, low: int, high: int, blank_runs: float | None
) -> None:
    stream = Stream(bytes(32))
    orders = [
        independent_runs(
            runs=10,
            positions=positions,
            targets_low=low,
            targets_high=high,
            blank_runs=blank_runs,
            stream=stream,
        )
        for _ in range(4000)
    ]
    guessed = asked(
        "independent", runs=10, positions=positions, targets_low=low, targets_high=high, blank_runs=blank_runs
    )
    for one in guessed[:-1]:
        play = GUESSERS[one.name][1]
        seen = sum(play(order, positions) for order in orders) / (10 * len(orders))
        assert seen == pytest.approx(one.rate, abs=0.012), one.name


def test_a_trainer_reads_how_guessable_a_balanced_order_is() -> None:
    guessed = asked("constrained", runs=10, rules=("balanced",))
    assert guessed[-1].says == (
        "Who knows the rules and sees each outcome guesses right in 41 runs of 100; chance is 20."
    )


def test_where_not_all_orders_can_be_gone_through_the_figure_is_at_least() -> None:
    guessed = asked("constrained")
    best = guessed[-1]
    assert best.at_least
    assert best.error is not None
    assert 0 < best.error < 0.01
    assert best.rate > 0.33
    assert "may do better still" in best.says
    assert named(guessed, "favourite place").error is None


def test_the_same_request_gives_the_same_figures() -> None:
    from nares.design.orders import guessing

    first = asked("constrained")
    guessing._constrained.cache_clear()
    assert asked("constrained") == first


def test_habits_are_worth_no_more_than_chance_allows_under_the_usual_rules() -> None:
    for one in asked("constrained")[:-1]:
        assert one.rate < 0.26, one.name


def test_rules_that_only_one_number_of_blank_runs_can_keep_speak_of_that_number() -> None:
    """A quarter of ten runs is two or three; with three, seven runs are too few for a rule about habits."""
    guessed = asked(
        "constrained", runs=10, positions=2, targets_low=0, blank_runs=0.25, rules=("balanced", "last_target")
    )
    assert named(guessed, "always clear").rate == pytest.approx(0.2)


def test_rules_that_cannot_be_kept_at_all_are_refused() -> None:
    with pytest.raises(OutOfRange, match="last_target needs 8 runs"):
        asked("constrained", runs=5, rules=("last_target",))
    with pytest.raises(NotEnoughData, match=r"No order of 4 runs .* longest_run_3\. Leave one out"):
        asked("constrained", runs=4, positions=2, targets_low=2, targets_high=2, rules=("longest_run_3",))
