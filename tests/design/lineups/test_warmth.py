"""Places that keep odour: what is no blank any more, how many true blanks stay, when a draw is refused."""

import pytest
from tests.design.lineups.briefs import SEED, brief, seed

from nares.base.errors import OutOfRange
from nares.design.lineups import draw_lineup

ROOM = brief(10, 6, shape="room")


def test_a_position_that_held_a_target_is_warm_in_every_later_run() -> None:
    for number in range(50):
        held: set[int] = set()
        for run in draw_lineup(ROOM, seed(number)).runs:
            assert {one.position for one in run.placed if one.holds == "warm"} == held - set(run.targets)
            assert not {one.position for one in run.placed if one.holds in ("distractor", "control")} & held
            held |= set(run.targets)


def test_containers_are_not_swapped_where_nothing_can_be() -> None:
    assert {one.container for run in draw_lineup(ROOM, SEED).runs for one in run.placed} == {""}


def test_every_run_keeps_a_true_blank() -> None:
    for number in range(60):
        for run in draw_lineup(ROOM, seed(number)).runs:
            assert any(one.holds == "blank" for one in run.placed)


def test_more_runs_than_the_place_bears_are_refused_whatever_chance_would_have_made() -> None:
    said = r"keeps odour: in 7 runs .* Draw 6 runs at most, or add positions"
    for number in range(5):
        with pytest.raises(OutOfRange, match=said):
            draw_lineup(brief(10, 7, shape="room"), seed(number))


def test_warm_ones_from_earlier_count_and_tested_ones_do_not() -> None:
    with pytest.raises(OutOfRange, match="Draw 4 runs at most"):
        draw_lineup(brief(10, 5, shape="room", warm=(3, 7)), SEED)
    runs = draw_lineup(brief(10, 4, shape="room", warm=(3, 7)), SEED).runs
    assert {one.position for one in runs[0].placed if one.holds == "warm"} == {3, 7} - set(runs[0].targets)
    assert len(draw_lineup(brief(10, 6, shape="room", warm=()), SEED).runs) == 6


def test_a_room_with_no_place_for_a_blank_says_what_to_do() -> None:
    with pytest.raises(OutOfRange, match="Add positions, test those that are warm, or leave out"):
        draw_lineup(brief(4, 1, shape="room"), SEED)


def test_who_may_see_the_key_is_told_how_many_true_blanks_each_run_has() -> None:
    drawn = draw_lineup(ROOM, SEED)
    for run in drawn.runs:
        said = [one for one in drawn.sealed_findings if one.where == f"run {run.run}"]
        warm = sum(one.holds == "warm" for one in run.placed)
        blanks = sum(one.holds == "blank" for one in run.placed)
        assert any(f"{blanks} true blank" in one.text for one in said) == (warm > 0)
        assert any(one.rule == "warm-blank-run" for one in said) == (warm > 0 and not run.targets)


def test_what_everybody_may_see_tells_nothing_of_the_key() -> None:
    told = {draw_lineup(ROOM, seed(number)).findings for number in range(30)}
    sealed = {draw_lineup(ROOM, seed(number)).sealed_findings for number in range(30)}
    assert len(told) == 1
    assert len(sealed) > 1


def test_swapped_containers_leave_no_warm_place() -> None:
    drawn = draw_lineup(brief(), SEED)
    assert drawn.sealed_findings == ()
    assert all(one.holds != "warm" for run in drawn.runs for one in run.placed)
