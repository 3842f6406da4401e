"""Calls from paper: typed in later, with the times of the paper, and the record says so."""

from dataclasses import replace

import pytest
from tests.app.lineups.saltmarsh import EVALUATOR, HANDLER, PLACER, Session

from nares.app import jobs
from nares.app.desk import Desk
from nares.app.lineups.requests import TypeCalls
from nares.base.errors import Refused, Unusable
from nares.base.lineups import Called

AT = "2026-03-02T10:30:00+01:00"  # half an hour after the seal by the test's clock
CALLS = tuple(Called(run, position, HANDLER, AT) for run, position in ((1, 2), (2, None), (4, 3)))


@pytest.fixture
def on_paper(desk: Desk, session: Session) -> Session:
    """A session an hour after it was sealed."""
    desk.now.at = desk.now.at.replace(hour=11)  # type: ignore[attr-defined]
    return session


def typed(session: Session, *calls: Called) -> TypeCalls:
    return TypeCalls(session.lineup, "Mara Quill", calls or CALLS)


def test_calls_stand_with_the_times_of_the_paper(desk: Desk, on_paper: Session) -> None:
    said = jobs.type_calls(desk, replace(typed(on_paper), why="no signal")).said
    assert said == "3 calls of teasel-lineup-01 typed in from paper."
    runs = jobs.lineup_page(desk, on_paper.lineup).runs
    assert [run.state for run in runs] == ["called", "called", "waiting", "called"]
    assert runs[0].called == Called(1, 2, HANDLER, "2026-03-02T09:30:00.000Z")
    entry = desk.store.entry(desk.store.runs_of(on_paper.lineup)[0].called_entry or 0)
    assert (entry.payload["on_paper"], entry.payload["note"]) == (True, "no signal")
    assert (entry.by, entry.happened_at) == ("Mara Quill", "2026-03-02T09:30:00.000Z")
    assert entry.entered_at > "2026-03-02T11"


def test_who_was_there_is_not_known_of_a_run_on_paper(desk: Desk, on_paper: Session) -> None:
    jobs.type_calls(desk, typed(on_paper))
    on_paper.close("on paper, run 3 was left out")
    page = jobs.lineup_page(desk, on_paper.lineup)
    assert [run.state for run in page.runs] == ["open", "open", "void", "open"]
    assert [run.blinding for run in page.runs] == [None] * 4
    assert page.runs[0].because == (
        "It is not stated who was present.",
        "The call was typed in from paper: only the paper vouches for its time.",
    )
    assert [one.called is None for one in desk.store.run_results(on_paper.lineup)] == [
        False,
        False,
        True,
        False,
    ]


def test_one_call_from_paper_in_a_run_that_was_begun_is_judged_by_who_was_there(
    desk: Desk, on_paper: Session
) -> None:
    on_paper.place(1)
    on_paper.begin(1)
    at = jobs.lineup_page(desk, on_paper.lineup).runs[0].began_at
    jobs.type_calls(desk, typed(on_paper, Called(1, 2, HANDLER, at or "")))
    on_paper.observe(1, 2)
    on_paper.open(1)
    run = jobs.lineup_page(desk, on_paper.lineup).runs[0]
    assert run.blinding == "double"
    assert "only the paper vouches" in run.because[-1]


def test_a_handler_who_was_ever_shown_the_key_counts_as_knowing_on_paper(
    desk: Desk, on_paper: Session
) -> None:
    jobs.seat_page(desk, on_paper.tokens["placer"])
    jobs.type_calls(desk, typed(on_paper, Called(1, 2, PLACER, AT)))
    assert jobs.lineup_page(desk, on_paper.lineup).runs[0].blinding == "known"


def test_the_same_sheet_again_changes_nothing(desk: Desk, on_paper: Session) -> None:
    first = jobs.type_calls(desk, typed(on_paper))
    again = jobs.type_calls(desk, typed(on_paper))
    assert (again.entry, again.said) == (first.entry, "0 calls of teasel-lineup-01 typed in from paper.")
    with pytest.raises(Refused, match="stands already"):
        jobs.type_calls(desk, typed(on_paper, replace(CALLS[0], position=5)))


def test_every_fault_of_a_sheet_is_named_and_nothing_is_written(desk: Desk, on_paper: Session) -> None:
    count = desk.store.count()
    bad = (
        CALLS[0],
        Called(1, 3, HANDLER, AT),
        Called(9, 1, HANDLER, AT),
        Called(3, 7, HANDLER, AT),
        Called(4, 1, " ", AT),
        Called(2, 1, EVALUATOR, "noon"),
        Called(3, 1, EVALUATOR, "2026-03-01T09:00:00Z"),
    )
    with pytest.raises(Unusable) as refused:
        jobs.type_calls(desk, typed(on_paper, *bad))
    said = str(refused.value)
    for text in (
        "row 2: Run 1 is there twice",
        "row 3: There is no run 9",
        "row 4: There is no position 7",
        "row 5: It does not say who called",
        "row 6: 'noon' is not a date",
        "row 7: It was called at 2026-03-01T09:00:00.000Z, before the key was sealed",
    ):
        assert text in said
    assert desk.store.count() == count


def test_a_call_from_paper_after_the_opening_is_refused(desk: Desk, on_paper: Session) -> None:
    on_paper.work(1, 2)
    with pytest.raises(Refused, match="open already"):
        jobs.type_calls(desk, typed(on_paper, Called(1, 3, HANDLER, AT)))


def test_an_empty_sheet_is_refused(desk: Desk, on_paper: Session) -> None:
    with pytest.raises(Refused, match="holds no call"):
        jobs.type_calls(desk, TypeCalls(on_paper.lineup, "Mara Quill", ()))
