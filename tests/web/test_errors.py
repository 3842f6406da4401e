"""Every error is a page with one sentence, never a traceback."""

import pytest
from tests.web.conftest import DeskClient
from tests.web.fakes import FakeJobs

from nares.base.errors import NotEnoughData, OutOfRange, Refused, Unknown, Unusable

SAID = [
    (Unknown("No dog is called Rex."), 404),
    (Refused("The record holds that already."), 409),
    (Unusable("The file cannot be read."), 422),
    (NotEnoughData("Two reps are too few."), 422),
    (OutOfRange("That cannot be."), 422),
]


@pytest.mark.parametrize(("error", "status"), SAID, ids=[type(error).__name__ for error, _ in SAID])
def test_a_readable_error_is_said_with_its_status(
    client: DeskClient, monkeypatch: pytest.MonkeyPatch, error: Exception, status: int
) -> None:
    def fails(desk: object) -> None:
        raise error

    monkeypatch.setattr("nares.app.jobs.today_page", fails)
    page = client.get("/")
    assert page.status_code == status
    assert str(error) in page.content.decode()
    twin = client.get("/today.json")
    assert twin.status_code == status
    assert twin.json()["error"] == str(error)
    assert twin.json()["schema"] == "error/1"


def test_a_program_fault_shows_no_traceback(client: DeskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(desk: object) -> None:
        raise RuntimeError("secret inside")

    monkeypatch.setattr("nares.app.jobs.today_page", fails)
    answer = client.get("/")
    assert answer.status_code == 500
    assert "could not answer this" in answer.content.decode()
    assert "secret inside" not in answer.content.decode()
    assert "Traceback" not in answer.content.decode()


@pytest.mark.parametrize(
    "address", ["/nowhere/", "/dogs/Rex/", "/sessions/none/", "/measuring/none/", "/sessions/none/reps/1/"]
)
def test_what_is_not_there_is_a_page_in_the_same_style(client: DeskClient, address: str) -> None:
    answer = client.get(address)
    assert answer.status_code == 404
    assert 'class="wordmark"' in answer.content.decode()


def test_a_twin_that_is_not_there_says_so_in_json(client: DeskClient) -> None:
    answer = client.get("/dogs/Rex.json")
    assert answer.status_code == 404
    assert answer.json()["error"].startswith("No dog is called 'Rex'")


def test_an_address_without_its_slash_still_works(client: DeskClient, fake: FakeJobs) -> None:
    assert client.get("/dogs/Bracken").headers["Location"] == "/dogs/Bracken/"
