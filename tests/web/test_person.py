"""Who is acting: shown, changeable, signed, and what entries carry."""

import pytest
from tests.web import samples
from tests.web.conftest import DeskClient
from tests.web.fakes import FakeJobs

from nares.app.deeds import ConfirmReps


def test_the_desk_says_who_acts_at_first(client: DeskClient) -> None:
    assert "<strong>Mara Quill</strong>" in client.get("/").content.decode()


@pytest.mark.parametrize("name", ["Ivo Marram", "Žofie Üst", "潮 汐", "O'Neil; admin"])
def test_another_name_is_taken_and_carried_by_entries(client: DeskClient, fake: FakeJobs, name: str) -> None:
    client.post("/person/", {"person": name, "next": "/record/"})
    client.post(f"/sessions/{samples.SESSION}/confirm/")
    assert fake.asked == [ConfirmReps(samples.SESSION, name)]


def test_a_forged_name_counts_for_nothing(client: DeskClient, fake: FakeJobs) -> None:
    client.post("/person/", {"person": "Ivo Marram", "next": "/"})
    client.cookies["nares_person"] = client.cookies["nares_person"].value.replace("Ivo", "Eve")
    client.post(f"/sessions/{samples.SESSION}/confirm/")
    assert fake.asked == [ConfirmReps(samples.SESSION, "Mara Quill")]


def test_one_goes_back_to_where_one_was(client: DeskClient) -> None:
    answer = client.post("/person/", {"person": "Ivo", "next": "/record/?page=2"})
    assert answer.headers["Location"] == "/record/?page=2"


@pytest.mark.parametrize("to", ["https://evil.example/", "//evil.example/", "javascript:alert(1)", ""])
def test_one_is_never_sent_elsewhere(client: DeskClient, to: str) -> None:
    assert client.post("/person/", {"person": "Ivo", "next": to}).headers["Location"] == "/"


def test_an_empty_name_is_not_taken(client: DeskClient) -> None:
    client.post("/person/", {"person": "  ", "next": "/"})
    page = client.get("/").content.decode()
    assert "Write your name" in page
    assert "<strong>Mara Quill</strong>" in page
