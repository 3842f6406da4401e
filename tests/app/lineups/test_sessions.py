"""A blind session through the jobs, from the draw to the whole key on the record."""

import pytest
from tests.app.lineups.saltmarsh import EVALUATOR, HANDLER, PLACER, Session

from nares.app import jobs
from nares.app.desk import Desk
from nares.app.lineups.values import EvaluatingPage, HandlingPage, PlacingPage
from nares.base.errors import Refused
from nares.record.verify import verify


def test_a_whole_session_ends_with_the_key_on_the_record(desk: Desk, session: Session) -> None:
    key = session.key()
    for run in range(1, 5):
        session.work(run, run)
    session.close()
    page = jobs.lineup_page(desk, session.lineup)
    assert page.key == key
    assert page.holds is True
    assert [run.state for run in page.runs] == ["open"] * 4
    assert [run.blinding for run in page.runs] == ["double"] * 4
    assert verify(desk.store).holds
    results = desk.store.run_results(session.lineup)
    assert [one.run for one in results] == [1, 2, 3, 4]
    assert results[0].placed == page.runs[0].placed
    desk.store.rebuild()
    assert jobs.lineup_page(desk, session.lineup) == page


def test_each_seat_sees_its_own_page(desk: Desk, session: Session) -> None:
    placing = jobs.seat_page(desk, session.tokens["placer"])
    assert isinstance(placing, PlacingPage)
    assert placing.run == session.run(1)
    handling = jobs.seat_page(desk, session.tokens["handler"])
    assert isinstance(handling, HandlingPage)
    assert (handling.state, handling.said) == ("waiting", None)
    evaluating = jobs.seat_page(desk, session.tokens["evaluator"])
    assert isinstance(evaluating, EvaluatingPage)
    assert evaluating.last is None
    assert set(evaluating.people) >= {PLACER, HANDLER, EVALUATOR}


def test_the_placer_is_on_the_record_before_being_shown_anything(desk: Desk, session: Session) -> None:
    assert desk.store.key_seen(session.lineup) == []
    jobs.seat_page(desk, session.tokens["placer"])
    jobs.seat_page(desk, session.tokens["placer"])
    (seen,) = desk.store.key_seen(session.lineup)
    assert (seen.runs, seen.person) == ((1,), PLACER)


def test_steps_out_of_order_are_refused(session: Session) -> None:
    with pytest.raises(Refused, match="not placed yet"):
        session.begin(1)
    session.place(1)
    with pytest.raises(Refused, match="has not begun"):
        session.call(1)
    with pytest.raises(Refused, match="has not begun"):
        session.observe(1)
    session.begin(1)
    session.call(1)
    with pytest.raises(Refused, match="not written down yet"):
        session.open(1)
    with pytest.raises(Refused, match="neither open nor void"):
        session.place(2)


def test_the_same_call_again_is_the_same_receipt_and_another_is_refused(session: Session) -> None:
    session.place(1)
    session.begin(1)
    assert session.call(1, 2) == session.call(1, 2)
    with pytest.raises(Refused, match="stands already"):
        session.call(1, 3)
    assert session.observe(1, 2) == session.observe(1, 2)
    assert session.open(1) == session.open(1)
    assert session.void(1) == session.void(1)
