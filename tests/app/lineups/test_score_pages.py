"""The pages of scores over a real record: only runs that are open, and only what they came to."""

import pytest
from tests.app.lineups.saltmarsh import Session, sat_down

from nares.app import jobs
from nares.app.desk import Desk
from nares.base.errors import Unknown


def right(session: Session, run: int) -> int | None:
    targets = session.run(run).targets
    return targets[0] if targets else None


def test_a_line_up_is_scored_as_its_runs_open(desk: Desk, session: Session) -> None:
    found = jobs.score_page(desk, session.lineup).found
    assert (found.runs, found.not_opened, found.score.call, found.said.call) == (4, 4, None, None)
    wanted = [right(session, run) for run in range(1, 5)]
    for run in (1, 2, 3):
        session.work(run, wanted[run - 1])
    page = jobs.score_page(desk, session.lineup)
    assert page.found.not_opened == 1
    call = page.found.score.call
    assert call is not None
    targets = sum(place is not None for place in wanted[:3])
    assert (call.runs.runs, call.runs.found.k, call.runs.found.n) == (3, targets, targets)
    assert dict(call.knowing.levels)["double"] == 3
    assert page.found.score.both is not None
    assert page.found.score.both.differ.k == 0


def test_a_void_run_is_listed_with_its_reason_and_not_scored(desk: Desk, session: Session) -> None:
    session.work(1, right(session, 1))
    session.place(2)
    session.begin(2)
    session.void(2)
    session.close(why="rain")
    found = jobs.score_page(desk, session.lineup).found
    assert {(one.run, one.why) for one in found.score.void} >= {(2, "a box fell over")}
    assert found.not_opened == 0
    assert found.score.counted == 1


def test_new_and_used_smells_come_from_what_was_asked(desk: Desk, session: Session) -> None:
    for run in range(1, 5):
        session.work(run, right(session, run))
    call = jobs.score_page(desk, session.lineup).found.score.call
    assert call is not None
    assert {one.smell: one.novel for one in call.smells.lines} == {
        "tape": True,
        "food": False,
        "gloves": None,
    }


def test_a_dog_is_scored_over_its_line_ups(desk: Desk, session: Session) -> None:
    session.work(1, right(session, 1))
    other = sat_down(desk)
    other.work(1, right(other, 1))
    other.work(2, right(other, 2))
    found = jobs.dog_lineups_page(desk, "Teasel").found
    assert [(line.lineup, line.opened) for line in found.lines] == [(other.lineup, 2), (session.lineup, 1)]
    assert (found.score.counted, found.score.lineups) == (3, 2)
    with pytest.raises(Unknown, match="no line-up called"):
        jobs.score_page(desk, "Teasel-99")
    with pytest.raises(Unknown):
        jobs.dog_lineups_page(desk, "Rex")
