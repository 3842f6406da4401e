"""The call at one step: lines, runs, what stands and what is taken back, and refusals."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nares.base.errors import OutOfRange
from nares.base.interval import few_sessions_factor, wilson_interval
from nares.decide import (
    StepLines,
    characteristics_of,
    ladder_risk,
    operating_characteristics,
    risk_for_ladder,
    step_call,
    step_lines,
    wald_lines,
)
from nares.decide.calling.induction import found_lines
from nares.decide.calling.lines import _shipped

RAISE_COUNTS = {8: 8, 9: 9, 10: 10, 11: 11, 12: 11, 13: 12, 14: 13, 15: 14, 17: 15, 20: 17, 30: 25, 40: 32}


@pytest.mark.parametrize(("reps", "met"), RAISE_COUNTS.items())
def test_the_least_count_that_raises(reps: int, met: int) -> None:
    assert step_call(misses_first(met, reps)).call == "raise"
    assert step_call(misses_first(met - 1, reps)).call != "raise"


def misses_first(met: int, reps: int) -> list[int]:
    """Put the misses early, after every third rep met, where neither line is reached before the end."""
    path: list[int] = []
    misses = reps - met
    while len(path) < reps:
        due = misses and len(path) % 4 == 3
        path.append(0 if due else 1)
        misses -= bool(due)
    return path


@pytest.mark.parametrize(("path", "call"), [([0, 0], "ease"), ([0], "stay"), ([1] * 7, "stay"), ([], "stay")])
def test_first_answers(path: list[int], call: str) -> None:
    assert step_call(path).call == call


@settings(deadline=None)
@given(st.lists(st.booleans(), max_size=60))
def test_a_raise_stands_whatever_follows(more: list[bool]) -> None:
    found = step_call([True] * 8 + more)
    assert found.call == "raise"
    assert found.decided_at == 8
    assert (found.run_reps, found.run_met, found.since_reps) == (8, 8, len(more))
    assert found.since_met == sum(more)


def test_after_an_ease_a_new_run_begins_and_can_raise() -> None:
    found = step_call([0, 0] + [1] * 8)
    assert (found.call, found.runs, found.run_reps, found.decided_at) == ("raise", 2, 8, 10)


@pytest.mark.parametrize(("since", "call"), [(0, "ease"), (1, "ease"), (4, "ease"), (5, "stay"), (7, "stay")])
def test_an_ease_stands_until_five_in_a_row_have_earned_it_back(since: int, call: str) -> None:
    found = step_call([0, 0] + [1] * since)
    assert found.call == call
    assert found.runs == 1 + (since > 0)


def test_evidence_is_over_every_rep_and_the_run_apart() -> None:
    found = step_call([0, 0] + [1] * 6)
    assert (found.reps, found.met, found.rate) == (8, 6, 0.75)
    assert (found.run_reps, found.run_met) == (6, 6)


def test_at_the_cap_a_run_ends_undecided_and_the_next_rep_begins_another() -> None:
    path = [1, 1, 1, 0] * 10
    found = step_call(path)
    assert (found.call, found.undecided, found.run_reps, found.run_met) == ("stay", True, 40, 30)
    assert (found.runs, found.decided_at, found.open_reps) == (1, 40, 0)
    assert "change something" in found.because[0]
    assert not step_call(path[:39]).undecided
    assert step_call(path[:39]).open_reps == 39
    after = step_call(path + [1] * 7)
    assert (after.undecided, after.runs, after.since_reps, after.open_met) == (True, 2, 7, 7)
    raised = step_call(path + [1] * 8)
    assert (raised.call, raised.undecided, raised.run_reps, raised.decided_at) == ("raise", False, 8, 48)
    eased = step_call([*path, 0, 0])
    assert (eased.call, eased.undecided) == ("ease", False)


@pytest.mark.parametrize("levels", list(_shipped()))
def test_shipped_lines_are_what_is_found_anew(levels: tuple[float, float, float, float, int]) -> None:
    names = ("ready", "not_ready", "false_raise", "missed_raise", "cap")
    assert found_lines(**dict(zip(names, levels, strict=True))) == _shipped()[levels]  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("ready", "not_ready", "false_raise", "missed_raise", "cap", "long_enough"),
    [
        (0.90, 0.65, 0.05, 0.20, 40, 40),
        (0.80, 0.50, 0.01, 0.10, 30, 60),
        (0.95, 0.70, 0.10, 0.30, 12, 30),
        (0.75, 0.50, 0.05, 0.10, 20, 60),
    ],
)
def test_lines_of_other_levels_keep_their_risks_and_their_order(
    ready: float, not_ready: float, false_raise: float, missed_raise: float, cap: int, long_enough: int
) -> None:
    def lines_of(cap: int) -> StepLines:
        return step_lines(
            ready=ready, not_ready=not_ready, false_raise=false_raise, missed_raise=missed_raise, cap=cap
        )

    lines = lines_of(cap)
    assert len(lines.raise_at) == len(lines.ease_at) == cap
    assert all(0 <= up - before <= 1 for before, up in zip(lines.raise_at, lines.raise_at[1:], strict=False))
    assert all(down < up for down, up in zip(lines.ease_at, lines.raise_at, strict=True))
    unready, is_ready = characteristics_of(lines, [not_ready, ready])
    assert unready.to_raise <= false_raise + 1e-9
    assert characteristics_of(lines_of(long_enough), [ready])[0].to_raise >= 1 - missed_raise - 1e-9
    assert is_ready.to_raise + is_ready.to_ease + is_ready.undecided == pytest.approx(1)


def test_fewer_reps_than_walds_lines_for_the_dog_that_is_ready_and_for_the_one_that_is_not() -> None:
    wald = wald_lines(ready=0.85, not_ready=0.60, false_raise=0.05, missed_raise=0.20)
    ours, walds = (characteristics_of(lines, [0.6, 0.85]) for lines in (step_lines(), wald))
    assert [one.reps for one in ours] < [one.reps for one in walds]
    assert ours[0].reps <= 8.5
    assert ours[1].reps <= 14.0


def test_levels_so_close_that_hundreds_of_reps_are_needed_take_walds_lines() -> None:
    lines = step_lines(ready=0.85, not_ready=0.80, cap=400)
    assert lines.how == "wald"
    assert characteristics_of(lines, [0.80])[0].to_raise <= 0.05


def test_a_cap_too_short_for_the_risks_never_costs_the_dog_that_is_not_ready() -> None:
    unready, is_ready = operating_characteristics([0.6, 0.85], cap=10)
    assert unready.to_raise <= 0.05
    assert is_ready.to_raise < 0.80
    assert is_ready.undecided > 0.05


@pytest.mark.parametrize("cap", [0, -1, 501, 40.5])
def test_a_cap_that_cannot_be(cap: float) -> None:
    with pytest.raises(OutOfRange, match=r"A cap of .* reps cannot be\. Give a whole number from 1 to 500"):
        step_call([1], cap=cap)  # type: ignore[arg-type]


def test_from_a_count_on_the_way_the_chances_are_those_of_what_is_left() -> None:
    start = characteristics_of(step_lines(), [0.7])[0]
    met, missed = (characteristics_of(step_lines(), [0.7], reps=1, met=m)[0] for m in (1, 0))
    assert start.to_raise == pytest.approx(0.7 * met.to_raise + 0.3 * missed.to_raise)
    assert start.reps == pytest.approx(1 + 0.7 * met.reps + 0.3 * missed.reps)
    with pytest.raises(OutOfRange, match="is no count of a run"):
        characteristics_of(step_lines(), [0.7], reps=3, met=4)


def test_the_risk_of_each_raise_that_keeps_the_ladder() -> None:
    each = risk_for_ladder(15, over=0.2)
    assert ladder_risk(15, each=each) == pytest.approx(0.2)
    with pytest.raises(OutOfRange, match="cannot be shared out"):
        risk_for_ladder(0, over=0.2)


def test_no_reps_have_no_rate() -> None:
    found = step_call([])
    assert (found.reps, found.rate, found.low, found.high) == (0, None, None, None)


@pytest.mark.parametrize("value", [2, -1, 0.5, "1", None, float("nan"), [1]])
def test_a_rep_neither_met_nor_missed_is_named_by_its_place(value: object) -> None:
    with pytest.raises(OutOfRange, match=r"Rep 3 is .*neither met nor missed.*Write 1 for met"):
        step_call([1, 0, value, 1])  # type: ignore[list-item]


def test_numbers_and_truths_of_other_kinds_mean_the_same() -> None:
    path = [1, 1, 0, 1, 1, 1, 1, 1, 1, 1, 1]
    wanted = step_call(path)
    assert step_call([bool(v) for v in path]) == wanted
    assert step_call(np.array(path)) == wanted  # type: ignore[arg-type]


def test_sessions_that_do_not_fit_are_refused() -> None:
    with pytest.raises(OutOfRange, match=r"3 reps but 2 session numbers.*one session for each rep"):
        step_call([1, 1, 1], [1, 1])


@pytest.mark.parametrize(
    ("levels", "says"),
    [
        ({"ready": 0.6, "not_ready": 0.85}, "not_ready below ready"),
        ({"ready": 85}, "rates between 0 and 1"),
        ({"false_raise": 0.0}, "false_raise 0 "),
        ({"false_raise": 0.6, "missed_raise": 0.5}, "sum below 1"),
    ],
)
def test_levels_and_risks_that_cannot_be(levels: dict[str, float], says: str) -> None:
    with pytest.raises(OutOfRange, match=says):
        step_call([1], **levels)  # type: ignore[arg-type]


def test_sessions_that_differ_widen_the_interval() -> None:
    """Five sessions of twenty with 20, 19, 14, 20 and 17 met: dispersion 3.61, so worth 27.7 reps, not 100.

    As only five sessions say so, the interval counts them as half of that.
    """
    met, sessions = [], []
    for session, hits in enumerate((20, 19, 14, 20, 17)):
        met += [1] * hits + [0] * (20 - hits)
        sessions += [session] * 20
    found, flat = step_call(met, sessions), step_call(met)
    assert found.dispersion == pytest.approx(3.61, abs=0.005)
    known = wilson_interval(0.9, 100 / found.dispersion, confidence=0.95)
    assert known == pytest.approx((0.7358, 0.9668), abs=0.00005)
    assert found.effective_reps == pytest.approx(27.7 / few_sessions_factor(5), abs=0.05)
    assert found.low is not None
    assert found.low < 0.70 < known[0]
    assert (flat.low, flat.high) == pytest.approx((0.8256, 0.9448), abs=0.00005)
    assert len(found.because) == 1


def test_sessions_alike_leave_the_interval_as_it_is() -> None:
    met = [1, 1, 1, 0] * 5
    found = step_call(met, [n // 4 for n in range(20)])
    assert found.effective_reps == 20


@pytest.mark.parametrize(
    ("met", "sessions", "says"),
    [
        ([1, 0, 1], [1, 1, 1], "One session only"),
        ([1, 1, 1], [1, 1, 2], "cannot be estimated"),
        ([1, 0, 1, 0], [1, 1, 2, 2], "cannot be estimated from fewer than 5"),
        ([1, 0], None, "Sessions are not given"),
    ],
)
def test_what_is_not_known_of_sessions_is_said(met: list[int], sessions: list[int] | None, says: str) -> None:
    assert any(says in sentence for sentence in step_call(met, sessions).because)


@settings(deadline=None)
@given(st.lists(st.tuples(st.booleans(), st.integers(0, 4)), min_size=1, max_size=80))
def test_the_interval_holds_the_rate_and_stays_between_0_and_1(reps: list[tuple[bool, int]]) -> None:
    found = step_call([met for met, _ in reps], [session for _, session in reps])
    assert found.rate is not None
    assert found.low is not None
    assert found.high is not None
    assert 0 <= found.low <= found.rate <= found.high <= 1
    assert 0 < found.effective_reps <= found.reps


def test_a_dog_in_between_takes_the_most_reps() -> None:
    low, middle, high = operating_characteristics([0.5, 0.76, 0.95])
    assert middle.reps > low.reps
    assert middle.reps > high.reps


@settings(deadline=None)
@given(st.floats(0, 1))
def test_chances_add_up(rate: float) -> None:
    (found,) = operating_characteristics([rate], cap=30)
    assert found.to_raise + found.to_ease + found.undecided == pytest.approx(1)


def test_stricter_risks_raise_the_unready_less() -> None:
    (loose,) = operating_characteristics([0.6], false_raise=0.10)
    (strict,) = operating_characteristics([0.6], false_raise=0.01)
    assert strict.to_raise < 0.011 < loose.to_raise


def test_the_ladder_adds_up_single_risks() -> None:
    assert ladder_risk(15, each=0.05) == pytest.approx(0.537, abs=0.0005)
    assert ladder_risk(0, each=0.05) == 0
    with pytest.raises(OutOfRange, match=r"15 raises at a risk of 5 each"):
        ladder_risk(15, each=5)
    with pytest.raises(OutOfRange, match=r"A true rate of 60 cannot be"):
        operating_characteristics([60])
