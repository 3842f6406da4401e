"""Marks together: where in the sniff, what a reaction allows, and what to practise, never more than the
figures bear.
"""

from dataclasses import replace
from math import exp, pi

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nares.base.errors import NotEnoughData, OutOfRange
from nares.base.vocab import Bout, Seen, Span
from nares.measure.marking.circular import mean_direction
from nares.measure.marking.marks import MarkSeen, phase_at
from nares.measure.marking.practice import practice_for
from nares.measure.marking.quantiles import bounding_ranks, median_interval
from nares.measure.marking.timing import bands_of, timing_of

INHALES = [Span(2.0 + 0.2 * k, 2.09 + 0.2 * k, 0.95) for k in range(6)]
BOUTS = [Bout(2.0, 3.2, 0.99)]
phases = st.lists(st.integers(0, 999).map(lambda step: step / 1000), min_size=2, max_size=30)


def mark(
    delay_s: float | None = 0.4,
    over_ask_s: float | None = 0.1,
    sniffing: Seen = "yes",
    phase: float | None = 0.3,
    session: str = "bracken-01",
    rep: int = 1,
) -> MarkSeen:
    after = None if phase is None else 0.2 * phase
    cycle = None if phase is None else 0.2
    inhaling: Seen = "unclear"
    return MarkSeen(
        session,
        "Bracken",
        "Ines",
        rep,
        10.0,
        delay_s,
        over_ask_s,
        after,
        phase,
        cycle,
        sniffing,
        inhaling,
        False,
    )


@pytest.mark.parametrize(("at_s", "phase"), [(2.85, 0.25), (2.90, 0.5), (2.65, 0.25), (3.18, 0.9)])
def test_the_phase_is_the_time_since_the_intake_over_the_cycle(at_s: float, phase: float) -> None:
    found = phase_at(at_s, BOUTS, INHALES)
    assert found is not None
    assert found[0] == pytest.approx(phase, abs=0.01)
    assert found[2] == pytest.approx(0.2)


def test_the_phase_is_carried_on_over_what_the_mark_hides() -> None:
    # The mark at 2.85 hides the intake that began at 2.8; the rhythm before it says where it was.
    found = phase_at(2.85, [Bout(2.0, 2.79, 0.99)], INHALES[:4])
    assert found is not None
    assert found[0] == pytest.approx(0.25, abs=0.01)


@pytest.mark.parametrize("at_s", [1.0, 2.25, 5.0])
def test_no_sniffing_or_too_short_a_rhythm_gives_no_phase(at_s: float) -> None:
    assert phase_at(at_s, BOUTS, INHALES) is None
    assert phase_at(2.85, None, None) is None


@given(values=phases, by=st.integers(0, 999).map(lambda step: step / 1000))
@settings(max_examples=60, deadline=None)
def test_turning_every_phase_turns_the_mean_and_nothing_else(values: list[float], by: float) -> None:
    still = mean_direction(values, confidence=0.95)
    turned = mean_direction([value + by for value in values], confidence=0.95)
    assert turned.length == pytest.approx(still.length, abs=1e-9)
    assert turned.by_chance == pytest.approx(still.by_chance, rel=1e-6, abs=1e-9)
    assert 0 <= still.length <= 1
    assert 0 < still.by_chance <= 1
    if still.length > 0.01 and still.phase is not None and turned.phase is not None:
        off = (turned.phase - still.phase - by + 0.5) % 1 - 0.5
        assert abs(off) < 1e-6


def test_marks_that_cancel_out_have_no_direction() -> None:
    found = mean_direction([0.0, 0.25, 0.5, 0.75], confidence=0.95)
    assert (found.phase, found.low, found.high) == (None, None, None)
    assert found.by_chance > 0.9


def test_the_interval_may_run_across_the_beginning() -> None:
    found = mean_direction([0.96, 0.98, 0.0, 0.02, 0.04, 0.99, 0.01], confidence=0.95)
    assert found.low is not None
    assert found.high is not None
    assert found.low > 0.9
    assert found.high < 0.1


def test_scattered_marks_have_a_mean_but_no_interval() -> None:
    found = mean_direction(np.linspace(0, 0.8, 9) ** 1.1, confidence=0.95)
    assert found.phase is not None
    assert found.low is None


def test_every_delay_falls_into_one_band() -> None:
    delays = [-0.2, 0.0, 0.13, 0.131, 0.2, 0.231, 0.4, 0.5, 3.0]
    bands = bands_of(delays)
    assert [band.count for band in bands] == [1, 2, 2, 2, 2]
    assert sum(band.count for band in bands) == len(delays)


def test_a_mark_before_the_nose_counts_as_anticipated_and_stays_in_the_distribution() -> None:
    found = timing_of([mark(delay_s=-0.1), mark(delay_s=0.05), mark(delay_s=0.4)], confidence=0.95)
    assert (found.anticipated.count, found.anticipated.of) == (2, 3)
    assert found.after_nose.n == 3


def test_what_was_not_measured_is_counted() -> None:
    marks = [
        mark(),
        mark(delay_s=None, over_ask_s=None, sniffing="unclear", phase=None),
        mark(sniffing="no", phase=None),
    ]
    found = timing_of(marks, confidence=0.95)
    assert (found.after_nose.n, found.after_nose.not_measured) == (2, 1)
    assert (found.sniffing.count, found.sniffing.of, found.sniffing.unclear) == (1, 2, 1)
    assert (found.inhaling.of, found.inhaling.unclear) == (0, 3)
    assert found.inhaling.share is None
    assert found.direction is not None
    assert found.direction.n == 1


def test_the_error_of_a_phase_is_counted_in() -> None:
    found = timing_of([mark()], confidence=0.95)
    assert found.kept_of_length == pytest.approx(exp(-((2 * pi * 0.015 / 0.2) ** 2) / 2))


def test_without_marks_there_is_nothing_to_sum_up() -> None:
    with pytest.raises(NotEnoughData, match="no mark"):
        timing_of([], confidence=0.95)


def test_too_few_values_have_a_median_and_no_interval() -> None:
    found = median_interval([1.0, 2.0, 3.0], confidence=0.95)
    assert (found.median, found.low, found.high) == (2.0, None, None)
    with pytest.raises(OutOfRange, match=r"0\.95"):
        median_interval([1.0], confidence=95)


@given(values=st.lists(st.floats(-5, 5), min_size=1, max_size=40), by=st.floats(-3, 3))
@settings(max_examples=50, deadline=None)
def test_moving_every_time_moves_median_and_interval(values: list[float], by: float) -> None:
    still, moved = (median_interval(v, confidence=0.95) for v in (values, [value + by for value in values]))
    assert moved.median == pytest.approx(still.median + by, abs=1e-9)
    assert (still.low is None) == (moved.low is None)
    if still.low is not None and still.high is not None and moved.low is not None:
        assert moved.low == pytest.approx(still.low + by, abs=1e-9)
        assert still.low <= still.median <= still.high


def test_sessions_that_differ_widen_the_interval_of_the_median() -> None:
    values = [0.2 + 0.01 * k for k in range(20)] + [0.8 + 0.01 * k for k in range(20)]
    alone = median_interval(values, confidence=0.95)
    with_sessions = median_interval(
        values, confidence=0.95, sessions=["a"] * 10 + ["b"] * 10 + ["c"] * 10 + ["d"] * 10
    )
    assert with_sessions.worth < alone.worth
    assert alone.low is not None
    assert with_sessions.low is None or with_sessions.low < alone.low


def test_half_the_worth_takes_the_interval_as_far_out_as_half_the_values_would() -> None:
    # Twenty values are bounded by the 6th and 15th; forty worth twenty by those as far in by share.
    assert bounding_ranks(20, 20, 0.95) == (6, 15)
    assert bounding_ranks(40, 20, 0.95) == (11, 30)
    assert bounding_ranks(40, 40, 0.95) == (14, 27)
    assert bounding_ranks(40, 3, 0.95) == (None, None)


def spread_over(count: int, **changes: object) -> list[MarkSeen]:
    return [mark(session=f"bracken-{n % 4:02d}", rep=n, **changes) for n in range(count)]  # type: ignore[arg-type]


def keys(marks: list[MarkSeen]) -> list[str]:
    return [one.key for one in practice_for(timing_of(marks, confidence=0.95))]


def test_good_marks_ask_for_nothing() -> None:
    assert keys(spread_over(24)) == ["keep on"]


def test_eleven_marks_are_too_few_whatever_they_show() -> None:
    assert keys(spread_over(11, sniffing="no", over_ask_s=2.0)) == ["too few"]


def test_alike_and_late_is_late() -> None:
    marks = [replace(one, over_ask_s=0.8 + 0.01 * (one.rep % 5)) for one in spread_over(24)]
    assert keys(marks) == ["late"]


def test_one_session_alone_is_said_to_be_one() -> None:
    marks = [replace(one, over_ask_s=0.8, session="bracken-01") for one in spread_over(24)]
    (late,) = practice_for(timing_of(marks, confidence=0.95))
    assert late.grounds.endswith("One session only: see whether the next one says the same.")


def test_scattered_is_said_before_late() -> None:
    marks = [replace(one, over_ask_s=0.2 + 0.07 * (one.rep % 17)) for one in spread_over(34)]
    assert keys(marks) == ["scattered"]


def test_marks_before_the_ask_are_short_of_it() -> None:
    marks = [replace(one, over_ask_s=-0.5 + 0.01 * (one.rep % 5)) for one in spread_over(24)]
    assert keys(marks) == ["short"]


def test_long_delays_without_an_ask_are_not_called_late() -> None:
    assert keys(spread_over(24, delay_s=3.0, over_ask_s=None)) == ["keep on"]


def test_marks_off_sniffing_come_first_with_their_count() -> None:
    marks = [replace(one, sniffing="no" if one.rep // 4 % 2 else "yes") for one in spread_over(40)]
    found = practice_for(timing_of(marks, confidence=0.95))
    assert found[0].key == "off sniffing"
    assert "20 of 40 marks" in found[0].grounds


def test_one_mark_in_five_off_sniffing_may_be_chance() -> None:
    marks = [replace(one, sniffing="no" if one.rep % 5 == 0 else "yes") for one in spread_over(30)]
    assert "off sniffing" not in keys(marks)


def test_marks_too_soon_are_neither_praised_nor_blamed() -> None:
    found = practice_for(timing_of(spread_over(24, delay_s=0.05), confidence=0.95))
    assert [one.key for one in found] == ["too soon"]
    assert "If the approach is what you want to mark, leave it as it is." in found[0].what
