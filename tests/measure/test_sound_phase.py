"""Sniffing and drawing in at a moment: three answers from the rhythm before it."""

import numpy as np
import pytest

from nares.base.vocab import Bout, Span
from nares.measure.sound.phase import cycle_s, inhaling_at, run_before, sniffing_at


def run(
    first_s: float, count: int, cycle: float = 0.2, drawn: float = 0.09, sure: float = 0.95
) -> list[Span]:
    return [Span(first_s + k * cycle, first_s + k * cycle + drawn, sure) for k in range(count)]


INHALES = run(2.0, 6)
BOUTS = [Bout(2.0, 3.2, 0.99)]


@pytest.mark.parametrize(
    ("at_s", "answer"),
    [(2.5, "yes"), (3.15, "yes"), (1.0, "no"), (5.0, "no"), (3.3, "unclear"), (1.97, "unclear")],
)
def test_sniffing_inside_near_and_away(at_s: float, answer: str) -> None:
    assert sniffing_at(at_s, BOUTS, INHALES) == answer


def test_a_mark_that_hides_the_next_intake_is_still_on_sniffing() -> None:
    # Sound after the mark is hidden: the bout seems to end with the intake before it.
    assert sniffing_at(2.95, [Bout(2.0, 2.89, 0.99)], run(2.0, 5)) == "yes"


def test_what_cannot_be_heard_is_unclear() -> None:
    assert sniffing_at(2.5, None, None) == "unclear"
    assert inhaling_at(2.5, None, None) == "unclear"


def test_a_doubtful_bout_is_unclear() -> None:
    assert sniffing_at(2.5, [Bout(2.0, 3.2, 0.3)], INHALES) == "unclear"


@pytest.mark.parametrize(
    ("at_s", "answer"),
    [(2.845, "yes"), (3.045, "yes"), (2.945, "no"), (2.80, "unclear"), (2.89, "unclear"), (9.0, "no")],
)
def test_drawing_in_is_told_from_the_rhythm(at_s: float, answer: str) -> None:
    assert inhaling_at(at_s, BOUTS, INHALES) == answer


def test_one_intake_makes_no_rhythm() -> None:
    assert inhaling_at(2.15, [Bout(2.0, 2.3, 0.9)], run(2.0, 1)) == "unclear"


def test_nothing_after_the_moment_is_used() -> None:
    later = [*INHALES[:3], Span(2.62, 2.64, 0.9)]
    assert inhaling_at(2.64, BOUTS, later) == inhaling_at(2.64, BOUTS, INHALES[:3])


def test_an_answer_given_is_nearly_always_right() -> None:
    chance, right, given = np.random.default_rng(3), 0, 0
    for _ in range(600):
        cycles = 0.2 * (1 + 0.07 * chance.standard_normal(9))
        starts = 1.0 + np.concatenate([[0.0], np.cumsum(cycles)])
        mark = float(chance.uniform(starts[3], starts[8]))
        shift = 0.006 * chance.standard_normal(10)
        spans = [Span(float(a + e), float(a + e) + 0.09, 0.9) for a, e in zip(starts, shift, strict=True)]
        known = [span for span in spans if span.start_s < mark - 0.005]
        truth = bool(np.any((starts <= mark) & (mark < starts + 0.09)))
        said = inhaling_at(mark, [Bout(1.0, float(starts[-1]), 0.99)], known)
        given += said != "unclear"
        right += (said == "yes") == truth and said != "unclear"
    assert given >= 250
    assert right / given >= 0.93


def test_runs_end_at_a_pause() -> None:
    assert len(run_before(6.1, [*run(1.0, 4), *run(5.0, 5)])) == 5
    assert cycle_s(run(0.0, 4)) == pytest.approx(0.2)
    assert run_before(9.0, INHALES) == []
