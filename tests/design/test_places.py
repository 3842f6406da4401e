"""Bias for a position: the expected shares follow where the target lay."""

import pytest
from tests.design.scored_runs import run, walked

from nares.base.errors import OutOfRange
from nares.design.scoring.answers import answers_of
from nares.design.scoring.multinomial import fit_test
from nares.design.scoring.places import places_of


def test_a_position_that_held_the_target_is_expected_to_take_fewer_false_alerts() -> None:
    runs = [run(k, "Tbb", 2) for k in range(1, 7)] + [run(k, "bbT", 1) for k in range(7, 9)]
    found = places_of(answers_of(runs, "call"), confidence=0.95).false_alerts
    assert [(one.chosen, one.expected, one.open_runs) for one in found.positions] == [
        (2, 1.0, 2),
        (6, 4.0, 8),
        (0, 3.0, 6),
    ]
    assert found.test is not None
    assert found.test.chi_square == pytest.approx(1 + 1 + 3)
    # By hand: with u at position 2 above 3 of 6 and v at position 1 above 1 of 2, chi-square is
    # v*v + (u-v)**2/4 + u*u/3; it reaches 5 where u is 3 or -3 only, and is 5 at (3, 1) and (-3, -1).
    assert found.test.p_exact == pytest.approx(2 / 64)
    assert found.test.p_mid == pytest.approx(2 / 64 - 2 / 64 / 4 / 2)


def test_a_position_the_dog_comes_to_more_often_is_expected_to_take_more() -> None:
    runs = [run(k, "bbbT", 1, observed=walked(k, "1", 1)) for k in range(1, 5)]
    runs += [run(k, "bbbT", 4, observed=walked(k, "1234", 4)) for k in range(5, 7)]
    found = places_of(answers_of(runs, "alert"), confidence=0.95).false_alerts
    # 4 false alerts, all at position 1, which the dog came to 6 times of 10
    assert [(one.chosen, one.open_runs) for one in found.positions] == [(4, 6), (0, 2), (0, 2), (0, 0)]
    assert [one.expected for one in found.positions] == pytest.approx([2.4, 0.8, 0.8, 0.0])


def test_a_dog_of_the_left_side_is_seen() -> None:
    runs = [run(k, "bbbbbb", 1) for k in range(1, 9)]
    found = places_of(answers_of(runs, "call"), confidence=0.95).false_alerts
    assert found.test is not None
    assert found.test.p_exact == pytest.approx(6 / 6**8)


def test_nothing_to_test_says_so() -> None:
    found = places_of(answers_of([run(1, "Tb", 1)], "call"), confidence=0.95)
    assert (found.false_alerts.test, found.first, found.hits.test) == (None, None, None)
    assert "there were none" in found.false_alerts.why
    forced = places_of(answers_of([run(1, "Tb", 2)], "call"), confidence=0.95).false_alerts
    assert "only one place to choose" in forced.why


def test_where_the_dog_begins_is_a_question_of_its_own() -> None:
    runs = [run(k, "bbbT", 4, observed=walked(k, "14", 4)) for k in range(1, 7)]
    found = places_of(answers_of(runs, "alert"), confidence=0.95)
    assert found.first is not None
    assert [one.chosen for one in found.first.positions] == [6, 0, 0, 0]
    assert found.first.test is not None
    assert found.first.test.p_exact == pytest.approx(4 / 4**6)


def test_hits_by_position_count_targets_the_dog_came_to() -> None:
    runs = [
        *(run(k, "Tbb", 1) for k in range(1, 5)),
        *(run(k, "bbT", None) for k in range(5, 9)),
        run(9, "bTb", 1, observed=walked(9, "1", 1)),
    ]
    hits = places_of(answers_of(runs, "call"), confidence=0.95).hits
    assert [(place, rate.k, rate.n) for place, rate in hits.positions] == [(1, 4, 4), (3, 0, 4)]
    assert hits.test is not None
    assert hits.test.p_exact == pytest.approx(2 / 70)


def test_a_place_that_could_not_be_chosen_is_refused() -> None:
    with pytest.raises(OutOfRange, match="could not be"):
        fit_test((1, 0), [(0.0, 1.0)])
    with pytest.raises(OutOfRange, match="do not belong together"):
        fit_test((1, 1), [(0.5, 0.5)])
