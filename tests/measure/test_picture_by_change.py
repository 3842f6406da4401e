"""Where the judge is unsure and in and out are plain by change alone, change decides."""

from dataclasses import replace

import pytest
from tests.generator.stage import FRONT, SIDE, Play, performed

from nares.base.vocab import Span
from nares.measure.picture.by_change import BOTH, CHANGE_ALONE, UNSURE, changes, settled
from nares.measure.picture.eye import Eye
from nares.measure.picture.opening import Opening, opening_of


@pytest.fixture(scope="module")
def front() -> Opening:
    """The front opening of a play with two visits: 1.5 to 3.5 s and 5.0 to 6.5 s."""
    eye = Eye(FRONT, SIDE)
    for picture in performed(Play()):
        eye.see(picture)
    return opening_of(eye._track(0))


def spans(sure: float, *edges: tuple[float, float]) -> tuple[Span, ...]:
    return tuple(Span(a, b, sure) for a, b in edges)


def test_change_alone_finds_both_visits_where_they_are(front: Opening) -> None:
    found = changes(front)
    assert found is not None
    assert [span.start_s for span in found] == pytest.approx([1.5, 5.0], abs=0.05)
    assert [span.end_s for span in found] == pytest.approx([3.5, 6.5], abs=0.05)


def test_a_sure_judge_is_left_alone(front: Opening) -> None:
    told = spans(UNSURE + 0.02, (1.5, 3.5))
    assert settled(front, told) == told


def test_an_unsure_judge_gives_way_and_what_it_missed_carries_low_certainty(front: Opening) -> None:
    told = settled(front, spans(0.7, (1.4, 3.6)))
    assert len(told) == 2
    assert [span.sure for span in told] == [BOTH, CHANGE_ALONE]


def test_what_only_an_unsure_judge_saw_is_dropped(front: Opening) -> None:
    told = settled(front, spans(0.6, (0.2, 0.8), (1.5, 3.5), (5.0, 6.5)))
    assert len(told) == 2
    assert all(span.sure == BOTH for span in told)


def test_where_change_is_not_plain_the_judge_stands(front: Opening) -> None:
    filled = replace(front, filled=True)
    told = spans(0.5, (1.5, 3.5))
    assert changes(filled) is None
    assert settled(filled, told) == told


def test_no_visit_of_the_judge_is_no_visit(front: Opening) -> None:
    assert settled(front, ()) == ()
