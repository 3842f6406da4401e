"""Nose and hand are found to the frame whatever the phone and the light do."""

import dataclasses

import pytest
from tests.generator.stage import FRONT, SIDE, Play, frame_f1, watched

from nares.base.vocab import Region

NUISANCES = {
    "a phone on a stand": Play(),
    "a phone in a hand": Play(shake_px=3),
    "exposure that drifts": Play(drift=0.25),
    "lamps that flicker": Play(flicker=0.08),
    "a dim kennel": Play(light=0.3, noise=2),
    "a noisy picture": Play(noise=6),
    "full sun": Play(light=1.4),
    "a dark dog before a dark hole": Play(snout=(58.0, -4.0, 3.0)),
    "a hand resting beside the opening": Play(hand_beside=True),
    "a box without texture": Play(texture=1.0),
    "a body in front while the dog works the hand": Play(body=((3.9, 4.5), (6.9, 7.6))),
    "all at once": Play(
        shake_px=2, drift=0.2, flicker=0.05, noise=3, hand_beside=True, body=((6.9, 7.6),), seed=11
    ),
}


@pytest.mark.parametrize("play", NUISANCES.values(), ids=NUISANCES.keys())
def test_nose_and_hand_are_seen_to_the_frame(play: Play) -> None:
    seen = watched(play)
    assert len(seen.nose_in) == len(play.nose)
    assert len(seen.hand_in) == len(play.hand)
    assert frame_f1(seen.nose_in, play.nose, play.length_s) >= 0.95
    assert frame_f1(seen.hand_in, play.hand, play.length_s) >= 0.93
    for span, (start, end) in zip(seen.nose_in, play.nose, strict=True):
        assert abs(span.start_s - start) <= 0.07
        assert abs(span.end_s - end) <= 0.07
        assert 0.5 <= span.sure <= 1


def test_a_shadow_that_wanders_over_both_openings_is_nobody() -> None:
    play = Play(nose=(), hand=(), shadow=True, length_s=9)
    seen = watched(play)
    assert seen.nose_in == ()
    assert seen.hand_in == ()


def test_an_opening_nobody_enters_gives_no_spans_and_says_so() -> None:
    seen = watched(Play(nose=(), hand=(), shake_px=2, noise=4, drift=0.2))
    assert seen.nose_in == seen.hand_in == seen.lost == ()
    assert any("No nose" in note for note in seen.notes)
    assert any("No hand" in note for note in seen.notes)


def test_a_hand_that_is_inside_all_the_time_is_one_span_with_a_note() -> None:
    play = Play(hand_always=True)
    seen = watched(play)
    assert frame_f1(seen.hand_in, ((0.0, play.length_s),), play.length_s) == 1
    assert frame_f1(seen.nose_in, play.nose, play.length_s) >= 0.95
    assert any("every picture" in note for note in seen.notes)
    assert seen.hand_in[0].sure < 0.9


def test_a_hold_that_fills_most_of_the_session_is_not_taken_for_the_empty_opening() -> None:
    play = Play(nose=((1.0, 7.2),), hand=())
    assert frame_f1(watched(play).nose_in, play.nose, play.length_s) >= 0.97


def test_the_body_alone_is_never_a_nose() -> None:
    assert watched(Play(nose=(), hand=(), body=((2.0, 4.0), (5.0, 5.4)))).nose_in == ()


def test_a_phone_turned_away_is_said_and_the_rest_still_measured() -> None:
    play = Play(away=((3.7, 4.7),), shake_px=1)
    seen = watched(play)
    (lost,) = seen.lost
    assert abs(lost.start_s - 3.7) < 0.1
    assert abs(lost.end_s - 4.7) < 0.1
    assert any("lost from 3.7" in note for note in seen.notes)
    assert frame_f1(seen.nose_in, play.nose, play.length_s) >= 0.95


def test_one_opening_alone_is_enough() -> None:
    play = Play()
    assert frame_f1(watched(play, side=None).nose_in, play.nose, play.length_s) >= 0.95
    assert frame_f1(watched(play, front=None).hand_in, play.hand, play.length_s) >= 0.93


def test_brightness_times_a_number_leaves_the_spans_where_they_are() -> None:
    plain, brighter = watched(Play(noise=0.5)), watched(Play(noise=0.5, light=1.25))
    assert len(plain.nose_in) == len(brighter.nose_in)
    for one, other in zip(plain.nose_in + plain.hand_in, brighter.nose_in + brighter.hand_in, strict=True):
        assert one.start_s == pytest.approx(other.start_s, abs=0.012)
        assert one.end_s == pytest.approx(other.end_s, abs=0.012)


def test_a_picture_and_regions_moved_together_give_the_same_spans() -> None:
    play = Play()
    moved = dataclasses.replace(play, move=(16, -9))
    front = dataclasses.replace(FRONT, x=FRONT.x + 16 / 320, y=FRONT.y - 9 / 180)
    side = dataclasses.replace(SIDE, x=SIDE.x + 16 / 320, y=SIDE.y - 9 / 180)
    here, there = watched(play), watched(moved, front=front, side=side)
    for one, other in zip(here.nose_in + here.hand_in, there.nose_in + there.hand_in, strict=True):
        assert one.start_s == pytest.approx(other.start_s, abs=0.012)
        assert one.end_s == pytest.approx(other.end_s, abs=0.012)


@pytest.mark.parametrize(
    ("across", "down", "size"), [(0.25, 0.0, 1.0), (-0.2, 0.15, 1.0), (0.0, 0.0, 1.3), (0.0, 0.0, 0.75)]
)
def test_a_region_drawn_beside_the_opening_still_finds_it(across: float, down: float, size: float) -> None:
    def redrawn(region: Region) -> Region:
        grow = (size - 1) / 2
        x, y = region.x + (across - grow) * region.w, region.y + (down - grow) * region.h
        return Region(x, y, region.w * size, region.h * size)

    play = Play(noise=3)
    seen = watched(play, front=redrawn(FRONT), side=redrawn(SIDE))
    assert frame_f1(seen.nose_in, play.nose, play.length_s) >= 0.95
    assert frame_f1(seen.hand_in, play.hand, play.length_s) >= 0.9


def test_a_hand_that_is_mostly_inside_is_seen_to_leave() -> None:
    play = Play(hand=((-2.0, 2.0), (3.0, 5.4), (6.2, 12.0)), nose=())
    assert frame_f1(watched(play).hand_in, play.hand, play.length_s) >= 0.95
