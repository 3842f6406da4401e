"""Scoring: one-to-one, the largest pairing, honest about nothing."""

import pytest

from nares.base.errors import OutOfRange
from nares.measure.scoring import event_scores, frame_scores, pair_events


def test_two_found_for_one_true_count_once() -> None:
    scores = event_scores([1.0], [0.99, 1.01], 0.025)
    assert (scores.paired, scores.precision, scores.recall) == (1, 0.5, 1.0)


def test_the_nearest_first_would_lose_a_pair() -> None:
    # 1.02 is nearest to 1.03, but only the crossing-free pairing serves both.
    assert pair_events([1.0, 1.03], [1.02, 1.05], 0.025) == [(0, 0), (1, 1)]


def test_a_constant_shift_shows_as_bias_not_as_spread() -> None:
    scores = event_scores([1.0, 2.0, 3.0], [1.012, 2.012, 3.012], 0.025)
    assert scores.f1 == 1.0
    assert scores.bias_s == pytest.approx(0.012)


def test_the_window_is_closed() -> None:
    assert event_scores([1.0], [1.025], 0.025).f1 == 1.0
    assert event_scores([1.0], [1.0251], 0.025).f1 == 0.0


def test_nothing_found_where_nothing_was_is_full_agreement() -> None:
    assert event_scores([], [], 0.02).f1 == 1.0
    assert event_scores([], [], 0.02).bias_s is None
    assert frame_scores([], [], 1.0, 0.02).f1 == 1.0


def test_something_found_where_nothing_was_is_none() -> None:
    assert event_scores([], [1.0], 0.02).f1 == 0.0
    assert event_scores([1.0], [], 0.02).f1 == 0.0
    assert frame_scores([], [(0.0, 0.5)], 1.0, 0.02).f1 == 0.0


def test_frames_count_by_their_middle_and_overlaps_once() -> None:
    scores = frame_scores([(0.0, 0.5)], [(0.25, 0.4), (0.3, 0.5)], 1.0, 0.1)
    assert scores.frames == 10
    assert scores.precision == 1.0
    assert scores.recall == pytest.approx(3 / 5)


@pytest.mark.parametrize(("duration", "frame"), [(0.0, 0.02), (1.0, 0.0), (0.01, 0.02)])
def test_nothing_to_judge_is_refused(duration: float, frame: float) -> None:
    with pytest.raises(OutOfRange, match="no frame"):
        frame_scores([], [], duration, frame)


def test_a_negative_window_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"-0\.1 s cannot be"):
        event_scores([1.0], [1.0], -0.1)
