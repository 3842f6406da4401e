"""Sniffing and drawing in at a moment: three answers from the rhythm before it."""

import numpy as np
import pytest

from nares.base.errors import OutOfRange
from nares.base.vocab import Bout, Span
from nares.measure.sound.phase import (
    SniffTime,
    cycle_s,
    inhaling_at,
    run_before,
    sniffing_at,
    sniffing_within,
)


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


VISITS = [
    Bout(1.0, 2.0, 0.9, sniffs=5, rate_hz=5.0, duty=0.5),
    Bout(3.0, 3.5, 0.9, sniffs=2),
    Bout(4.0, 6.0, 0.3, sniffs=9, rate_hz=6.0, duty=0.5),
    Bout(7.0, 7.5, 0.8, sniffs=3, rate_hz=6.0, duty=0.5),
]


@pytest.mark.parametrize(
    ("from_s", "to_s", "sniffing_s", "rate_hz"),
    [
        (0.0, 9.0, 2.0, 5.33),  # all bouts that are likelier than not; the rate by time, where there is one
        (1.5, 3.25, 0.75, 5.0),
        (3.0, 3.5, 0.5, None),
        (4.0, 6.0, 0.0, None),  # a bout that is more likely none
        (2.2, 2.8, 0.0, None),
        (1.2, 1.2, 0.0, None),
    ],
)
def test_sniffing_during_a_visit(
    from_s: float, to_s: float, sniffing_s: float, rate_hz: float | None
) -> None:
    assert sniffing_within(from_s, to_s, VISITS) == SniffTime(sniffing_s, rate_hz)


def test_sniffing_during_a_visit_is_unknown_where_breath_is() -> None:
    assert sniffing_within(1.0, 2.0, None) is None
    assert sniffing_within(1.0, 2.0, []) == SniffTime(0.0, None)


def test_a_visit_that_ends_before_it_starts_is_refused() -> None:
    with pytest.raises(OutOfRange, match="before it starts"):
        sniffing_within(2.0, 1.0, VISITS)
