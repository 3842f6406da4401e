"""The page Record: paging, filter, verification, links both ways."""

import pytest
from tests.web import samples
from tests.web.conftest import DeskClient
from tests.web.fakes import FakeJobs


def test_page_and_kind_are_passed_on(client: DeskClient, fake: FakeJobs) -> None:
    client.get("/record/?page=3&kind=amended")
    assert fake.pages == [{"page": 3, "kind": "amended", "verify": False}]


def test_verify_now_shows_the_answer(client: DeskClient, fake: FakeJobs) -> None:
    page = client.get("/record/?verify=1").content.decode()
    assert fake.pages[-1]["verify"] is True
    assert "The record holds" in page


def test_a_broken_record_is_said_plainly(
    client: DeskClient, fake: FakeJobs, monkeypatch: pytest.MonkeyPatch
) -> None:
    broken = samples.record(verification=samples.BROKEN)
    monkeypatch.setattr("nares.app.jobs.record_page", lambda desk, **asked: broken)
    page = client.get("/record/?verify=1").content.decode()
    assert "The record does not hold" in page
    assert "The first entry that does not hold is 12." in page


@pytest.mark.parametrize("number", ["0", "-1", "x", "1.5", "9" * 40, "²"])
def test_a_page_that_cannot_be_is_not_found(client: DeskClient, fake: FakeJobs, number: str) -> None:
    assert client.get("/record/", {"page": number}).status_code == 404


def test_head_digest_is_shown_whole(client: DeskClient) -> None:
    assert samples.HEAD in client.get("/record/").content.decode()


def test_amendments_are_linked_both_ways(client: DeskClient) -> None:
    page = client.get("/record/").content.decode()
    assert 'Corrects <a href="/record/entries/39/">entry 39</a>' in page
    assert 'Corrected by <a href="/record/entries/41/">entry 41</a>' in page


def test_a_late_entry_is_marked(client: DeskClient) -> None:
    assert client.get("/record/").content.decode().count("8.5 h late") == 1


@pytest.mark.parametrize(("number", "page"), [(41, 1), (38, 1), (37, 2), (1, 11)])
def test_an_entry_is_found_on_its_page(client: DeskClient, number: int, page: int) -> None:
    answer = client.get(f"/record/entries/{number}/")
    assert answer.headers["Location"] == f"/record/?page={page}#entry-{number}"


def test_an_entry_that_is_not_there_is_not_found(client: DeskClient) -> None:
    assert client.get("/record/entries/42/").status_code == 404
