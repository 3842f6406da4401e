"""Confirming reps: one, all, and what cannot be."""

from tests.web import samples
from tests.web.conftest import DeskClient
from tests.web.fakes import FakeJobs

from nares.app.deeds import ConfirmReps
from nares.base.errors import Refused

AT = f"/sessions/{samples.SESSION}"


def test_one_rep_is_confirmed_as_proposed_and_the_next_opened(client: DeskClient, fake: FakeJobs) -> None:
    answer = client.post(f"{AT}/reps/1/confirm/")
    assert fake.asked == [ConfirmReps(samples.SESSION, "Mara Quill", (samples.row(1),))]
    assert answer.headers["Location"] == f"{AT}/reps/2/"


def test_all_reps_are_confirmed_at_once(client: DeskClient, fake: FakeJobs) -> None:
    answer = client.post(f"{AT}/confirm/")
    assert fake.asked == [ConfirmReps(samples.SESSION, "Mara Quill")]
    assert answer.headers["Location"] == f"{AT}/"


def test_a_rep_without_a_proposal_is_not_confirmed(client: DeskClient, fake: FakeJobs) -> None:
    answer = client.post(f"{AT}/reps/5/confirm/")
    assert answer.status_code == 409
    assert "Correct it, or set it aside" in answer.content.decode()
    assert fake.asked == []


def test_a_refusal_stands_on_the_session_page(client: DeskClient, fake: FakeJobs) -> None:
    fake.refuse = Refused("Nothing is left to confirm.")
    answer = client.post(f"{AT}/confirm/")
    assert answer.status_code == 409
    assert "Nothing is left to confirm." in answer.content.decode()
    assert 'id="rep-panel"' in answer.content.decode()


def test_an_unknown_rep_is_not_found(client: DeskClient, fake: FakeJobs) -> None:
    answer = client.post(f"{AT}/reps/77/confirm/")
    assert answer.status_code == 404
    assert "has no rep 77" in answer.content.decode()
