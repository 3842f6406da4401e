"""Which law applies to a line-up, and what it says at the ends."""

import pytest
from tests.design.scored_runs import run, walked

from nares.base.errors import OutOfRange
from nares.base.lineups import RunResult
from nares.design.scoring import score_runs
from nares.design.scoring.forced_choice import forced_choice
from nares.design.scoring.max_rule import Group, fit_max_rule
from nares.design.scoring.sensitivity import Sensitivity
from nares.design.scoring.yes_no import YesNo, yes_no


def of(results: list[RunResult], side: str = "call") -> Sensitivity:
    found = score_runs(results, confidence=0.95)
    scored = found.call if side == "call" else found.alert
    assert scored is not None
    return scored.sensitivity


def test_one_place_a_run_is_yes_no() -> None:
    found = of([run(k, "T", 1) for k in range(1, 10)] + [run(k, "b", None) for k in range(10, 18)])
    assert found.model == "yes-no"
    assert isinstance(found.fit, YesNo)
    assert (found.fit.hits, found.fit.targets, found.fit.false_alerts, found.fit.empties) == (9, 9, 0, 8)


def test_one_target_always_answered_is_forced_choice() -> None:
    found = of([run(1, "Tbb", 1), run(2, "bTb", 2), run(3, "bbT", 1)])
    assert (found.model, found.criterion_c) == ("forced-choice", None)
    assert "Forced choice of 3" in found.why


@pytest.mark.parametrize(
    "last", [run(4, "bbb", None), run(4, "bbT", None), run(4, "bbbT", 1), run(4, "bTT", 2)]
)
def test_a_blank_a_clear_call_or_another_size_takes_the_max_rule(last: RunResult) -> None:
    found = of([run(1, "Tbb", 1), run(2, "bTb", 2), run(3, "bbT", 1), last])
    assert found.model == "max-rule"
    assert "compare all places" in found.why


def test_a_walk_from_place_to_place_is_yes_no_by_place() -> None:
    runs = [run(1, "bTb", 2, observed=walked(1, "12", 2)), run(2, "bbT", 1, observed=walked(2, "1", 1))]
    found = of(runs, "alert")
    assert found.model == "yes-no"
    assert isinstance(found.fit, YesNo)
    assert (found.fit.hits, found.fit.targets, found.fit.false_alerts, found.fit.empties) == (1, 1, 1, 2)


def test_a_dog_that_comes_back_compares() -> None:
    runs = [run(1, "bTb", 2, observed=walked(1, "1232", 2)), run(2, "bbb", 1, observed=walked(2, "1", 1))]
    assert of(runs, "alert").model == "max-rule"


def test_what_cannot_be_said_is_said_with_the_reason() -> None:
    blank = of([run(1, "bbb", None)])
    warm = of([run(1, "Tw", 2)])
    assert (blank.model, blank.d_prime) == (None, None)
    assert "no run had a target" in blank.why
    assert "no run counts yet" in warm.why
    assert warm.left_out == 1


def test_extreme_rates_are_corrected_always() -> None:
    nine = yes_no(9, 10, 2, 9, confidence=0.95)
    assert (nine.hit_rate, nine.false_rate) == pytest.approx((9.5 / 11, 2.5 / 10))
    assert (nine.d_prime, nine.criterion_c) == pytest.approx((1.7713, -0.2112), abs=0.00005)
    assert yes_no(20, 20, 0, 20, confidence=0.95).d_prime == pytest.approx(3.9615, abs=0.00005)
    assert yes_no(10, 10, 0, 40, confidence=0.95).d_prime == pytest.approx(3.9415, abs=0.00005)
    assert nine.ln_beta == pytest.approx(nine.criterion_c * nine.d_prime)


def test_a_perfect_dog_has_a_lower_bound_and_no_number() -> None:
    forced = forced_choice(12, 12, 5, confidence=0.95)
    assert (forced.d_prime, forced.d_high, forced.exact_high) == (None, None, None)
    assert 1 < forced.exact_low < forced.d_low < 4
    fitted = fit_max_rule([Group(6, 1, 15, 0, 0), Group(6, 0, 0, 0, 5)], confidence=0.95)
    assert (fitted.d_prime, fitted.d_high, fitted.criterion_c, fitted.c_high) == (None, None, None, None)
    assert fitted.d_low is not None
    assert fitted.d_low > 2


def test_fewer_right_than_guessing_is_nought_and_said() -> None:
    found = forced_choice(1, 20, 4, confidence=0.95)
    assert (found.d_prime, found.d_low, found.below_chance) == (0.0, 0.0, True)


def test_more_runs_bind_tighter() -> None:
    small = fit_max_rule([Group(5, 1, 8, 1, 3), Group(5, 0, 0, 1, 5)], confidence=0.95)
    large = fit_max_rule([Group(5, 1, 32, 4, 12), Group(5, 0, 0, 4, 20)], confidence=0.95)
    assert small.d_prime == pytest.approx(large.d_prime, abs=1e-3)
    assert small.d_low is not None
    assert large.d_low is not None
    assert small.d_low < large.d_low
    assert [sum((f.right, f.wrong, f.clear)) for f in large.forecasts] == pytest.approx([48, 24])


def test_counts_that_cannot_be_are_refused() -> None:
    with pytest.raises(OutOfRange, match="11 of 10"):
        yes_no(11, 10, 0, 10, confidence=0.95)
    with pytest.raises(OutOfRange, match="Count each run once"):
        forced_choice(3, 2, 4, confidence=0.95)
    with pytest.raises(OutOfRange, match="At least one needs a target"):
        fit_max_rule([Group(5, 0, 0, 1, 4)], confidence=0.95)
