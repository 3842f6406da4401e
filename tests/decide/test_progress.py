"""How a dog comes on: which reps count, what is said with little, mastered steps and relapse."""

from dataclasses import replace

import pytest
from tests.decide.courses import BOX, day_of, days

from nares.base.errors import NotEnoughData, OutOfRange, Unknown
from nares.base.interval import few_sessions_factor
from nares.base.vocab import Rep
from nares.decide.progress import Progress, progress_of, relapse_sentences
from nares.decide.progress.cold import cold_start
from nares.decide.progress.course import MOST_BINS
from nares.decide.progress.curve import learning_curve
from nares.decide.progress.relapse import relapse_watch
from nares.decide.progress.uneven import uneven_reps_to_alarm
from nares.decide.progress.words import (
    alarm_sentence,
    alike_sentences,
    change_sentences,
    cold_sentences,
    curve_sentences,
    mastered_sentences,
    rate_sentences,
    steady_alike,
)

GOOD = [1] * 9 + [0] + [1] * 10
FALLEN = [1, 0, 1, 0, 0, 1, 1, 0, 1, 0] * 2


def found(reps: list[Rep], **given: str) -> Progress:
    return progress_of(reps, dog="Sedge", programme=BOX, **given)  # type: ignore[arg-type]


def everything_said(progress: Progress) -> str:
    parts = (rate_sentences, curve_sentences, change_sentences, cold_sentences, alike_sentences)
    said = [sentence for part in parts for sentence in part(progress)]
    return " ".join(said + [one for step in progress.mastered for one in mastered_sentences(step)])


def test_a_dog_without_reps_has_an_empty_answer_in_words() -> None:
    progress = found([])
    assert (progress.reps, progress.course, progress.mastered) == (0, None, ())
    assert "No counted reps at Value at source yet." in everything_said(progress)


@pytest.mark.parametrize("reps", [1, 4])
def test_a_few_reps_give_a_share_and_no_curve(reps: int) -> None:
    progress = found(day_of(0, [1] * reps))
    assert progress.course is None
    assert "a curve is drawn from 5 reps on" in everything_said(progress)


def test_one_session_says_that_sessions_cannot_be_compared() -> None:
    said = everything_said(found(day_of(0, GOOD)))
    assert "One session only" in said
    assert "1 session to compare, 5 are needed" in said


@pytest.mark.parametrize("value", [0, 1])
def test_all_met_or_none_met_still_has_a_curve_and_no_certainty(value: int) -> None:
    progress = found(days(0, [[value] * 10] * 3))
    assert progress.course is not None
    band = progress.course.curve.looking_back
    assert all(
        0 < low < middle < high < 1
        for low, middle, high in zip(band.low, band.middle, band.high, strict=True)
    )
    assert (progress.course.learned is not None) == bool(value)
    assert progress.alike.alike is None


def test_an_improving_dog_has_learned_from_a_rep_with_its_session_and_day() -> None:
    progress = found(
        days(0, [[0, 0, 1, 0, 0, 0, 1, 0, 0, 0], [0, 1, 1, 0, 1, 1, 1, 1, 1, 1], [1] * 15, [1] * 15])
    )
    assert progress.course is not None
    learned = progress.course.learned
    assert learned is not None
    assert 11 <= learned.rep <= 26
    assert (
        f"Learned from rep {learned.rep} ({learned.session}, {learned.started_at[:10]})"
        in everything_said(progress)
    )
    assert progress.changes
    assert 8 <= progress.changes[0].place.rep <= 16


def test_the_live_value_knows_nothing_of_later_reps_and_the_picture_does() -> None:
    low = [0] * 10
    short, longer = (learning_curve(low + more, level=0.6) for more in ([1] * 2, [1] * 20))
    assert short.live.middle[:10] == pytest.approx(longer.live.middle[:10], abs=0.02)
    assert longer.looking_back.middle[9] > short.looking_back.middle[9] + 0.05
    assert short.live.middle[-1] == pytest.approx(short.looking_back.middle[-1])


def test_warm_ups_and_reps_about_something_else_do_not_count() -> None:
    easy = day_of(0, [1, 1], step=3, ask_s=0.1)
    blank = [replace(rep, source="blank") for rep in day_of(0, [1], step=3, begin=3)]
    progress = found([*easy, *blank, *day_of(0, [0, 1, 0, 1, 0, 1], step=3, begin=4)])
    assert (progress.reps, progress.met, progress.left_out) == (6, 3, 3)
    assert progress.cold.begun_cold == 0
    assert "Not counted: 3 reps" in everything_said(progress)
    assert "began with other reps" in everything_said(progress)


def test_a_step_the_programme_does_not_have_is_shown_with_the_usual_levels() -> None:
    progress = found(days(0, [GOOD], step="old-way"))
    assert (progress.known, progress.step_name, progress.level) == (False, "old-way", 0.6)
    assert "does not have this step" in everything_said(progress)


def test_a_step_nobody_knows_and_a_dog_nobody_has_are_refused() -> None:
    with pytest.raises(Unknown, match=r"no step 'sit'.*source-value"):
        found(day_of(0, GOOD), step="sit")
    with pytest.raises(Unknown, match="no rep of a dog named 'Sedge'"):
        found(day_of(0, GOOD, dog="Moss"))


def test_another_step_can_be_looked_at() -> None:
    progress = found([*days(0, [FALLEN]), *days(1, [GOOD], step=2)], step=BOX.steps[1].key)
    assert (progress.step, progress.at_step, progress.reps) == (BOX.steps[1].key, BOX.steps[2].key, 20)


def test_long_records_are_put_together_by_session() -> None:
    progress = found(days(0, [[1, 1, 0, 1, 1]] * 90))
    assert progress.course is not None
    assert progress.reps == 450 > MOST_BINS
    assert len(progress.course.bins) == 90
    assert "put together in 90 points" in everything_said(progress)


# Mastered steps


def test_a_step_not_tried_since_says_so() -> None:
    progress = found([*days(0, [GOOD]), *days(1, [GOOD], step=2)])
    (step,) = progress.mastered
    assert (step.standing, step.reps, step.low) == ("untried", 0, None)
    assert "Not tried since the dog went on (2026-01-06)" in everything_said(progress)
    assert relapse_sentences(progress) == []


def test_a_step_that_is_kept_is_quiet_with_its_count_and_interval() -> None:
    progress = found(
        [*days(0, [GOOD]), *days(1, [GOOD], step=2), *days(2, [GOOD, GOOD]), *days(4, [GOOD], step=2)]
    )
    (step,) = progress.mastered
    assert (step.standing, step.met, step.reps) == ("quiet", 38, 40)
    assert step.low is not None
    assert step.low < 0.95
    assert "38 of 40 reps met since the dog went on" in everything_said(progress)


def test_a_step_that_is_lost_is_told_since_which_rep_and_day() -> None:
    progress = found(
        [*days(0, [GOOD]), *days(1, [GOOD], step=2), *days(2, [GOOD, FALLEN]), *days(4, [GOOD], step=2)]
    )
    (step,) = progress.mastered
    assert step.standing == "relapse"
    assert step.since is not None
    assert step.alarm is not None
    assert (step.since.rep, step.since.session) == (22, "sedge-03")
    assert step.alarm.rep > step.since.rep
    (said,) = relapse_sentences(progress)
    assert "fallen back since rep 22 there (2026-01-08)" in said
    assert "A false alarm about once in 246 reps of a dog at 85%" in said
    assert "one fallen to 60% is noticed after about 15 reps" in said


def test_misses_before_an_alarm_are_watched() -> None:
    progress = found(
        [*days(0, [GOOD]), *days(1, [GOOD], step=2), *days(2, [[1, 1, 0, 0]]), *days(3, [GOOD], step=2)]
    )
    (step,) = progress.mastered
    assert step.standing == "watch"
    assert 0.5 < step.height < 1
    assert "0 of the last 2 met" in everything_said(progress)
    assert relapse_sentences(progress) == []


def test_an_alarm_stands_until_the_raise_is_earned_again() -> None:
    before = [*days(0, [GOOD]), *days(1, [GOOD], step=2), *days(2, [FALLEN])]
    still = found([*before, *days(3, [[1] * 4]), *days(4, [GOOD], step=2)])
    again = found([*before, *days(3, [[1] * 14]), *days(4, [GOOD], step=2)])
    assert still.mastered[0].standing == "relapse"
    assert (again.mastered[0].standing, again.mastered[0].earlier) == ("quiet", 1)
    assert "fallen back once before" in everything_said(again)


def test_a_dog_back_at_a_step_has_not_mastered_it() -> None:
    progress = found([*days(0, [GOOD]), *days(1, [FALLEN], step=2), *days(2, [GOOD, GOOD])])
    assert progress.at_step == BOX.steps[1].key
    assert progress.mastered == ()


def test_easier_warm_ups_at_a_mastered_step_are_not_watched() -> None:
    later = [*day_of(1, [0] * 6, step=1, ask_s=0.1), *day_of(1, GOOD, step=2, begin=7)]
    progress = found([*days(0, [GOOD]), *day_of(1, [1], step=2, begin=0), *later])
    assert progress.mastered[0].standing == "untried"


# Cold reps


def test_cold_reps_that_go_worse_are_told_from_luck_over_sessions() -> None:
    sessions = [[0, 0, 1, 1, 1, 1, 1, 1], [0, 1, 0, 1, 1, 1, 1, 1]] * 5
    found_loss = cold_start(sessions).within
    assert found_loss.difference == pytest.approx(-2 / 3)
    assert found_loss.high is not None
    assert found_loss.high < 0
    assert cold_start(sessions[:4]).within.difference is None


def test_sessions_all_met_do_not_make_a_loss_of_nothing_certain() -> None:
    found_loss = cold_start([[1] * 10] * 6).within
    assert found_loss.difference == 0
    assert found_loss.low is not None
    assert found_loss.low < -0.02


def test_each_session_counts_once_however_long_it_is() -> None:
    short = [[0, 0, 0, 1, 1, 1]] * 4 + [[1, 1, 1, 1, 1, 1]]
    long = [[0, 0, 0, 1, 1, 1]] * 4 + [[1] * 300]
    assert cold_start(short).within.difference == cold_start(long).within.difference


def test_sessions_that_began_warm_say_nothing_of_cold_reps() -> None:
    sessions = [[0, 0, 0, 1, 1, 1]] * 10
    warm = cold_start(sessions, [True] * 5 + [False] * 5)
    assert (warm.within.sessions, warm.since_last.sessions, warm.begun_cold) == (5, 4, 5)


# Refusals


def test_numbers_that_cannot_be_are_refused_in_words() -> None:
    with pytest.raises(OutOfRange, match=r"level of 1 cannot be"):
        learning_curve([1, 0], level=1.0)
    with pytest.raises(OutOfRange, match=r"Bin 2 has 3 of 2 met"):
        learning_curve([1, 3], [2, 2], level=0.5)
    with pytest.raises(OutOfRange, match="at least one bin"):
        learning_curve([], level=0.5)
    with pytest.raises(OutOfRange, match=r"Being 0\.4 sure"):
        learning_curve([1], level=0.5, sure=0.4)
    with pytest.raises(NotEnoughData, match="open start"):
        learning_curve([1] * 9, level=0.5, start="at_first")
    with pytest.raises(OutOfRange, match="bad below good"):
        relapse_watch(good=0.6, bad=0.7)
    with pytest.raises(OutOfRange, match="once in 1 reps"):
        relapse_watch(good=0.8, bad=0.7, false_alarm_reps=1)
    with pytest.raises(OutOfRange, match="2 sessions but 1 beginnings"):
        cold_start([[1], [0]], [True])


def test_a_stricter_alarm_is_later() -> None:
    usual, strict = (relapse_watch(good=0.85, bad=0.6, false_alarm_reps=reps) for reps in (240, 1000))
    assert usual.false_alarm_reps >= 240
    assert strict.false_alarm_reps >= 1000
    assert strict.notice_reps > usual.notice_reps


def test_a_miss_at_the_end_leaves_doubt_and_says_of_which_reps_it_was_certain() -> None:
    progress = found(
        days(0, [[0, 0, 1, 0, 0, 1, 0, 0, 1, 1], [1, 0, *[1] * 8], [1] * 12, [1] * 9 + [0, 0, 0]])
    )
    assert progress.course is not None
    assert progress.course.learned is None
    said = everything_said(progress)
    assert "Not learned for good" in said
    assert "It is that certain of reps" in said


def test_in_a_long_record_changes_are_looked_for_among_the_newest_reps_and_counted_among_all() -> None:
    progress = found([*days(0, [[1, 1, 0, 1, 1] * 10] * 46), *days(46, [[0] * 40])])
    assert (progress.reps, progress.changes_from) == (2340, 341)
    assert abs(progress.changes[-1].place.rep - 2301) <= 2
    assert progress.changes[-1].after.last == 2340
    assert "Looked for from rep 341 on." in everything_said(progress)


def test_mean_asks_of_cold_and_later_reps_stand_beside_the_loss() -> None:
    sessions = [
        [*day_of(day, [1, 1, 0], ask_s=1.0), *day_of(day, [1] * 5, ask_s=2.0, begin=4)] for day in range(6)
    ]
    progress = found([rep for session in sessions for rep in session])
    assert (progress.cold_ask_s, progress.later_ask_s) == (1.0, 2.0)
    assert "Mean ask: 1.0 s cold, 2.0 s later" in everything_said(progress)


def test_few_sessions_count_as_five_and_many_cost_little() -> None:
    assert few_sessions_factor(2) == few_sessions_factor(5) == pytest.approx((2.776 / 1.960) ** 2, rel=0.006)
    assert few_sessions_factor(9) == pytest.approx((2.306 / 1.960) ** 2, rel=0.002)
    assert few_sessions_factor(200) < 1.02


def test_the_level_moves_the_learning_rep_and_never_the_open_curve() -> None:
    met = [0, 0, 1, 0, 0, 1, 0, 1, 1, 1, 1, 0, 1, 1] + [1] * 20
    low, high = (learning_curve(met, level=level) for level in (0.3, 0.8))
    assert low.looking_back.middle == pytest.approx(high.looking_back.middle, abs=1e-9)
    assert low.learned_at is not None
    assert high.learned_at is None or high.learned_at > low.learned_at


def test_an_alarm_says_how_much_oftener_it_goes_where_sessions_differ() -> None:
    half = [1, 0, 1, 0, 1, 1, 0, 1, 0, 0]
    uneven = [[1] * 10, half, [1] * 10, half, [1] * 10, half, [1] * 10]
    progress = found([*days(0, [GOOD]), *days(1, uneven, step=2)])
    assert progress.alike.alike is not None
    assert progress.alike.alike > 0.1
    watch = progress.mastered[0].watch
    assert "where the reps of a session are alike by" in alarm_sentence(watch, progress.alike)
    assert "alike" not in alarm_sentence(watch)
    assert steady_alike(progress) == progress.alike
    learning = found(days(0, [[0] * 10, [0] * 9 + [1], [1] * 10, [1] * 10, [1] * 10]))
    assert steady_alike(learning) is None
    assert "The dog changed over these sessions" in everything_said(learning)
    with pytest.raises(OutOfRange, match="at least one rep a session"):
        uneven_reps_to_alarm(0.9, good=0.9, bad=0.7, line=3.0, alike=0.1, session_reps=0)
