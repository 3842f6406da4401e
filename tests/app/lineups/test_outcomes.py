"""What the handler is told once a run is open: whether to pay, in every case, and never a count."""

import re
from typing import cast

import pytest
from tests.app.lineups.saltmarsh import Session

from nares.app import jobs
from nares.app.lineups.values import HandlingPage

CASES = [
    # targets of the run, what the handler called, where the dog alerted, what is said
    ("target", "target", "target", r"pay, the target was at \d\.$"),
    ("target", "other", "target", r"pay, the target was at \d\. Your call was another\.$"),
    ("target", "clear", "target", r"pay, the target was at \d\. Your call was another\.$"),
    ("target", "target", "none", r"your call was right, but the dog did not alert there\. Do not pay\.$"),
    ("target", "other", "other", r"do not pay, the call was not right\.$"),
    ("target", "clear", "none", r"do not pay, the call was not right\.$"),
    ("blank", "clear", "none", r"right, there was no target\. Pay the search as you do, at no position\.$"),
    ("blank", "clear", "other", r"your call was right, but the dog did not alert there\. Do not pay\.$"),
    ("blank", "other", "other", r"do not pay, the call was not right\.$"),
]


def handler_of(session: Session) -> HandlingPage:
    return cast(HandlingPage, jobs.seat_page(session.desk, session.tokens["handler"]))


@pytest.mark.parametrize(("held", "called", "alerted", "says"), CASES)
def test_what_the_handler_is_told(session: Session, held: str, called: str, alerted: str, says: str) -> None:
    runs = {bool(session.run(number).targets): number for number in (4, 3, 2, 1)}
    number = runs[held == "target"]
    for before in range(1, number):
        session.void(before)
    targets = session.run(number).targets
    other = next(position for position in range(1, 7) if position not in targets)
    at = {"target": targets[0] if targets else None, "other": other, "clear": None, "none": None}
    session.place(number)
    session.begin(number)
    session.call(number, at[called])
    session.observe(number, at[alerted])
    assert handler_of(session).said is None
    session.open(number)
    said = handler_of(session).said or ""
    assert re.search(says, said), said
    assert said.startswith(f"Run {number}: ")


def test_a_void_run_is_said_to_be_void_and_nothing_of_it(session: Session) -> None:
    session.place(1)
    session.begin(1)
    session.void(1)
    assert handler_of(session).said == "Run 1 is void. Nothing is paid or held against the dog."


def test_the_outcome_goes_when_the_next_run_begins(session: Session) -> None:
    session.work(1)
    assert handler_of(session).said is not None
    session.place(2)
    assert handler_of(session).said is not None
    session.begin(2)
    assert handler_of(session).said is None


def test_the_handlers_page_never_counts(session: Session) -> None:
    for number in range(1, 5):
        session.work(number)
        page = handler_of(session)
        assert not re.search(r"\d+ of \d+|%|right so far", f"{page.says} {page.said}")
    assert handler_of(session).says == "Every run is done. Thank you."
