"""Reps from hand-written lanes: every case the trainer meets, and every lane that may be missing."""

from collections.abc import Sequence

import pytest

from nares.base.errors import OutOfRange
from nares.base.vocab import Bout, Mark, MeasuredRep, Span
from nares.measure.reps import assemble_reps


def spans(*edges: tuple[float, float]) -> tuple[Span, ...]:
    return tuple(Span(a, b, 0.9) for a, b in edges)


def marks(*times: float) -> tuple[Mark, ...]:
    return tuple(Mark(at, 0.95) for at in times)


def reps(
    *,
    mark: Sequence[Mark] = (),
    nose: Sequence[Span] | None = (),
    hand: Sequence[Span] | None = (),
    inhales: Sequence[Span] | None = (),
    bouts: Sequence[Bout] | None = (),
    duration_s: float = 60.0,
    lost: Sequence[Span] = (),
    doubtful: Sequence[Mark] = (),
    skew_s: float | None = None,
    start_block_s: Sequence[float] = (),
) -> tuple[MeasuredRep, ...]:
    return assemble_reps(
        marks=mark,
        inhales=inhales,
        bouts=bouts,
        nose_in=nose,
        hand_in=hand,
        duration_s=duration_s,
        lost=lost,
        doubtful_marks=doubtful,
        skew_s=skew_s,
        skew_within_s=None if skew_s is None else 0.03,
        start_block_s=start_block_s,
    )


def sniffs(start_s: float, count: int) -> tuple[Span, ...]:
    return spans(*((start_s + 0.2 * i, start_s + 0.2 * i + 0.09) for i in range(count)))


def test_a_marked_and_paid_hold_fills_every_field() -> None:
    intakes = sniffs(10.8, 12)
    (rep,) = reps(
        mark=marks(12.04),
        nose=spans((10.68, 14.14)),
        hand=spans((12.59, 13.99)),
        inhales=intakes,
        bouts=(Bout(10.75, 13.2, 0.9),),
    )
    assert rep.rep == 1
    assert (rep.nose_in_s, rep.nose_out_s, rep.mark_s) == (10.68, 14.14, 12.04)
    assert rep.mark_delay_s == pytest.approx(1.36)
    assert rep.hold_s == pytest.approx(1.36)
    assert rep.ended_by == "mark"
    assert rep.inhales_before_mark == 7
    assert rep.sniffing_at_mark == "yes"
    assert rep.pay_s == 12.59
    assert rep.pay_delay_s == pytest.approx(0.55)
    assert rep.pay_place == "inside"
    assert rep.sure == pytest.approx(0.9 * 0.95)
    assert rep.notes == ()


def test_a_dog_that_leaves_unmarked_ended_the_hold_itself() -> None:
    (rep,) = reps(nose=spans((5.0, 5.5)))
    assert rep.ended_by == "dog"
    assert rep.hold_s == pytest.approx(0.5)
    assert rep.mark_s is rep.mark_delay_s is rep.pay_s is None
    assert (rep.pay_place, rep.inhales_before_mark) == (None, None)
    assert rep.sniffing_at_mark == "unclear"


def test_a_mark_with_nobody_in_is_a_rep_without_a_nose() -> None:
    first, second = reps(mark=marks(3.0, 11.0), nose=spans((10.0, 12.0)))
    assert first.nose_in_s is first.hold_s is first.mark_delay_s is None
    assert first.mark_s == 3.0
    assert first.ended_by == "unknown"
    assert "No nose was in at the mark." in first.notes
    assert (second.rep, second.mark_s) == (2, 11.0)


def test_a_mark_pressed_again_counts_once_and_is_noted() -> None:
    (rep,) = reps(mark=marks(11.0, 11.5, 12.1), nose=spans((10.0, 11.7)))
    assert rep.mark_s == 11.0
    assert "Marked again at 11.50, 12.10 s: the first mark counts." in rep.notes


def test_a_mark_pressed_again_with_nobody_in_is_one_rep() -> None:
    (rep,) = reps(mark=marks(3.0, 3.4))
    assert rep.mark_s == 3.0


def test_two_visits_a_second_apart_keep_their_own_marks() -> None:
    first, second = reps(mark=marks(10.9, 11.9), nose=spans((10.0, 11.0), (11.5, 12.5)))
    assert (first.mark_s, second.mark_s) == (10.9, 11.9)


def test_a_mark_a_moment_before_the_nose_belongs_to_it_and_is_called_anticipated() -> None:
    (rep,) = reps(mark=marks(9.9), nose=spans((10.0, 12.0)))
    assert rep.mark_delay_s == pytest.approx(-0.1)
    assert rep.hold_s == 0
    assert any("anticipated" in note for note in rep.notes)


def test_a_mark_well_before_the_nose_is_a_rep_of_its_own() -> None:
    early, late = reps(mark=marks(9.7), nose=spans((10.0, 12.0)))
    assert early.nose_in_s is None
    assert late.mark_s is None


def test_a_mark_as_the_nose_leaves_belongs_to_it_and_the_hold_ends_with_the_nose() -> None:
    (rep,) = reps(mark=marks(12.06), nose=spans((10.0, 12.0)))
    assert rep.hold_s == pytest.approx(2.0)
    assert rep.mark_delay_s == pytest.approx(2.06)
    assert any("as the nose left" in note for note in rep.notes)


def test_a_late_mark_leaves_a_dog_ended_rep_and_a_rep_without_a_nose() -> None:
    left, marked = reps(mark=marks(12.8), nose=spans((10.0, 12.0)))
    assert (left.ended_by, left.mark_s) == ("dog", None)
    assert (marked.nose_in_s, marked.mark_s) == (None, 12.8)


def test_a_flicker_of_the_nose_is_one_visit() -> None:
    (rep,) = reps(mark=marks(12.0), nose=spans((10.0, 11.0), (11.1, 13.0)))
    assert (rep.nose_in_s, rep.nose_out_s) == (10.0, 13.0)


def test_a_nose_drawn_back_for_a_quarter_of_a_second_makes_two_reps() -> None:
    first, second = reps(mark=marks(12.0), nose=spans((10.0, 11.0), (11.25, 13.0)))
    assert (first.nose_out_s, second.nose_in_s) == (11.0, 11.25)


def test_a_short_absence_with_the_mark_in_it_is_not_bridged() -> None:
    first, second = reps(mark=marks(11.15), nose=spans((10.0, 11.0), (11.3, 13.0)))
    assert first.nose_out_s == 11.0
    assert second.mark_s == 11.15


def test_a_hand_inside_all_the_time_has_no_moment_of_pay() -> None:
    (rep,) = reps(mark=marks(11.0), nose=spans((10.0, 12.0)), hand=spans((0.0, 60.0)))
    assert rep.pay_s is rep.pay_delay_s is None
    assert rep.pay_place == "inside"
    assert any("moment of pay cannot be seen" in note for note in rep.notes)


def test_pay_outside_is_told_by_the_hand_that_never_came_in() -> None:
    (rep,) = reps(mark=marks(11.0), nose=spans((10.0, 11.6)), hand=spans((30.0, 31.0)))
    assert rep.pay_s is None
    assert rep.pay_place == "outside"
    assert any("paid outside, or not paid" in note for note in rep.notes)


def test_the_hand_of_the_next_rep_does_not_pay_this_one() -> None:
    first, second = reps(
        mark=marks(11.0, 14.0), nose=spans((10.0, 11.5), (13.0, 15.0)), hand=spans((14.4, 14.9))
    )
    assert first.pay_s is None
    assert second.pay_s == 14.4


def test_a_hand_that_pays_an_unmarked_nose_points_at_a_missed_mark() -> None:
    (rep,) = reps(nose=spans((10.0, 12.0)), hand=spans((11.2, 11.9)))
    assert rep.ended_by == "unknown"
    assert rep.hold_s is None
    assert any("a mark may have been missed" in note for note in rep.notes)


def test_a_dog_at_the_hand_before_the_nose_goes_in_changes_nothing() -> None:
    (rep,) = reps(mark=marks(11.0), nose=spans((10.0, 12.0)), hand=spans((8.0, 8.4), (11.4, 11.9)))
    assert rep.pay_s == 11.4


def test_sound_alone_gives_reps_from_marks_and_says_what_is_missing() -> None:
    first, second = reps(mark=marks(3.0, 9.0), nose=None, hand=None, inhales=None, bouts=None)
    for rep in (first, second):
        assert rep.nose_in_s is rep.hold_s is rep.pay_s is None
        assert rep.sniffing_at_mark == rep.inhaling_at_mark == "unclear"
        assert any("front opening was not watched" in note for note in rep.notes)
        assert any("side opening was not watched" in note for note in rep.notes)


def test_breath_that_the_sound_does_not_carry_is_null_with_a_note() -> None:
    (rep,) = reps(mark=marks(11.0), nose=spans((10.0, 12.0)), inhales=None, bouts=None)
    assert rep.inhales_before_mark is None
    assert any("inhalations are unknown" in note for note in rep.notes)


def test_visits_cut_by_the_ends_of_the_recording_have_no_hold() -> None:
    first, last = reps(mark=marks(1.0), nose=spans((0.0, 2.0), (58.0, 60.0)))
    assert first.mark_delay_s is first.hold_s is first.inhales_before_mark is None
    assert (last.ended_by, last.hold_s, last.nose_out_s) == ("unknown", None, None)
    assert any("its leaving was not seen" in note for note in last.notes)


def test_a_mark_while_the_box_was_lost_does_not_say_that_nobody_was_in() -> None:
    (rep,) = reps(mark=marks(20.0), lost=spans((19.0, 22.0)))
    assert rep.notes[0].startswith("The box was not in the picture")


def test_two_marks_at_one_time_are_one() -> None:
    (rep,) = reps(mark=(Mark(11.0, 0.4), Mark(11.0, 0.9)), nose=spans((10.0, 12.0)))
    assert rep.sure == pytest.approx(0.81)
    assert rep.notes == ("No hand went in after the mark: paid outside, or not paid.",)


def test_lanes_in_any_order_give_the_same_reps() -> None:
    ordered = reps(mark=marks(3, 11), nose=spans((2, 4), (10, 12)), hand=spans((3.5, 3.9), (11.5, 11.9)))
    shuffled = reps(mark=marks(11, 3), nose=spans((10, 12), (2, 4)), hand=spans((11.5, 11.9), (3.5, 3.9)))
    assert ordered == shuffled


def test_a_span_that_ends_before_it_starts_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"ends at 4 s, before it starts at 5 s"):
        reps(nose=spans((5.0, 4.0)))


def test_a_mark_outside_the_recording_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"mark at 61 s lies outside the recording of 60 s"):
        reps(mark=marks(61.0))


def test_nothing_heard_and_nothing_seen_is_no_rep() -> None:
    assert reps() == ()


def test_every_time_of_a_rep_states_how_far_it_may_be_off() -> None:
    visit = Span(10.0, 12.0, 0.9, 0.03, 0.04)
    (rep,) = reps(mark=(Mark(11.0, 0.95, 0.02),), nose=(visit,), hand=(Span(11.5, 12.0, 0.9, 0.06, 0.06),))
    assert rep.within_s == {
        "nose_in_s": 0.03,
        "nose_out_s": 0.04,
        "mark_s": 0.02,
        "mark_delay_s": pytest.approx((0.03**2 + 0.02**2 + 0.024**2) ** 0.5),
        "hold_s": pytest.approx((0.03**2 + 0.02**2 + 0.024**2) ** 0.5),
        "pay_s": 0.06,
        "pay_delay_s": pytest.approx((0.06**2 + 0.02**2 + 0.024**2) ** 0.5),
    }


def test_a_hold_the_dog_ended_is_as_uncertain_as_its_two_edges() -> None:
    (rep,) = reps(nose=(Span(10.0, 12.0, 0.9, 0.03, 0.04),))
    assert rep.within_s["hold_s"] == pytest.approx(0.05)


def test_a_doubtful_mark_makes_it_doubtful_that_the_dog_ended_the_rep() -> None:
    (clear,) = reps(nose=spans((5.0, 7.0)))
    (doubted,) = reps(nose=spans((5.0, 7.0)), doubtful=(Mark(6.0, 0.4), Mark(20.0, 0.4)))
    assert clear.sure_of["ended_by"] == 1.0
    assert doubted.sure_of["ended_by"] == pytest.approx(0.6)
    assert doubted.sure == pytest.approx(0.9 * 0.6)


def test_a_mark_on_the_very_edge_of_a_visit_is_an_even_chance() -> None:
    (rep,) = reps(mark=(Mark(10.0, 1.0),), nose=(Span(10.0, 12.0, 1.0),))
    assert rep.sure_of["ended_by"] == pytest.approx(0.5)
    assert rep.sure == pytest.approx(0.5)


def test_an_unlikely_visit_is_no_rep_until_a_mark_falls_in_it() -> None:
    shadow = (Span(10.0, 12.0, 0.3),)
    assert reps(nose=shadow) == ()
    (rep,) = reps(mark=marks(11.0), nose=shadow)
    assert rep.nose_in_s == 10.0
    assert rep.sure < 0.3


def test_the_skew_of_sound_and_picture_is_taken_out_of_every_delay() -> None:
    """The picture is 0.2 s late: what was seen at 10.0 s happened when the sound said 9.8 s."""
    (rep,) = reps(
        mark=marks(10.9),
        nose=spans((10.0, 12.0)),
        hand=spans((11.5, 11.9)),
        inhales=spans((9.82, 9.9), (10.05, 10.13)),
        bouts=(Bout(9.82, 11.5, 0.9),),
        skew_s=0.2,
    )
    assert (rep.nose_in_s, rep.mark_s) == (10.0, 10.9)
    assert rep.mark_delay_s == pytest.approx(1.1)
    assert rep.hold_s == pytest.approx(1.1)
    assert rep.pay_delay_s == pytest.approx(0.4)
    assert rep.inhales_before_mark == 2


def test_a_skew_that_may_be_none_changes_no_delay() -> None:
    (rep,) = reps(mark=marks(10.9), nose=spans((10.0, 12.0)), skew_s=0.02)
    assert rep.mark_delay_s == pytest.approx(0.9)


def test_the_marks_of_a_start_block_are_no_reps() -> None:
    (rep,) = reps(mark=marks(2, 3, 4, 5, 11), nose=spans((10.0, 12.0)), start_block_s=(2.0, 3.0, 4.0, 5.0))
    assert rep.mark_s == 11


def test_sniffing_at_a_source_the_dog_left_without_an_alert_is_timed() -> None:
    (rep,) = reps(nose=spans((5.0, 7.0)), bouts=(Bout(5.5, 6.3, 0.9, 4, 5.0, 0.45),), inhales=sniffs(5.5, 4))
    assert rep.sniffing_s == pytest.approx(0.8)
    assert rep.sniff_rate_hz == 5.0
    (silent,) = reps(nose=spans((5.0, 7.0)), bouts=None, inhales=None)
    assert silent.sniffing_s is silent.sniff_rate_hz is None
