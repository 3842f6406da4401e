"""Amending an entry from the page Record."""

import pytest
from tests.web.conftest import DeskClient
from tests.web.fakes import FakeJobs

from nares.app.deeds import Amend
from nares.base.errors import Refused

GIVEN = {"entry": "39", "field": "/reps/0/hold_s", "new": "1.25", "why": "Read off the film."}


def test_one_value_is_corrected(client: DeskClient, fake: FakeJobs) -> None:
    answer = client.post("/record/amend/", GIVEN)
    assert fake.asked == [Amend(39, "/reps/0/hold_s", 1.25, "Read off the film.", "Mara Quill")]
    assert answer.headers["Location"] == "/record/"


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("true", True), ("null", None), ("Spaniel", "Spaniel"), ('"12"', "12"), ("", ""), ("NaN", "NaN")],
)
def test_a_typed_value_is_read_as_it_looks(
    client: DeskClient, fake: FakeJobs, typed: str, meant: object
) -> None:
    client.post("/record/amend/", {**GIVEN, "new": typed})
    asked = fake.asked[0]
    assert isinstance(asked, Amend)
    assert asked.new == meant
    assert type(asked.new) is type(meant)


@pytest.mark.parametrize("wrong", [{"why": ""}, {"entry": "0"}, {"entry": "x"}, {"field": "breed"}])
def test_a_faulty_form_writes_nothing(client: DeskClient, fake: FakeJobs, wrong: dict[str, str]) -> None:
    answer = client.post("/record/amend/", {**GIVEN, **wrong})
    assert answer.status_code == 422
    assert "<details open>" in answer.content.decode()
    assert fake.asked == []


def test_a_refusal_is_said_in_place(client: DeskClient, fake: FakeJobs) -> None:
    fake.refuse = Refused("That value is not amended. Keep the changed programme as a new entry.")
    answer = client.post("/record/amend/", GIVEN)
    assert answer.status_code == 409
    assert "That value is not amended." in answer.content.decode()
    assert 'value="Read off the film."' in answer.content.decode()
