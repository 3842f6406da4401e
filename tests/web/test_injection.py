"""Names and notes are text, whatever they say."""

from dataclasses import replace
from typing import Any

import pytest
from tests.web import samples
from tests.web.conftest import DeskClient
from tests.web.fakes import FakeJobs

from nares.app import pages

EVIL = '"><script>alert(1)</script><img src=x onerror=alert(1)>{{ 7|add:7 }}'


def holds_it_as_text(page: str) -> bool:
    return "<script>alert" not in page and "<img" not in page and "&lt;script&gt;" in page


def test_a_dog_called_like_a_script(client: DeskClient, fake: FakeJobs) -> None:
    card = replace(samples.card(), name=EVIL, breed=EVIL, last_session=EVIL)
    fake.today = samples.today(card)
    assert holds_it_as_text(client.get("/").content.decode())
    fake.dog = replace(samples.dog(), card=card)
    page = client.get("/dogs/" + "x/").content.decode()
    assert "<script>alert" not in page


def test_a_dog_page_of_such_a_dog(client: DeskClient, fake: FakeJobs) -> None:
    fake.dog = replace(samples.dog(), card=replace(samples.card(), name=EVIL, breed=EVIL))
    from django.urls import reverse

    page = client.get(reverse("dog", args=[EVIL]))
    assert page.status_code == 200
    assert holds_it_as_text(page.content.decode())


def test_a_session_full_of_it(client: DeskClient, fake: FakeJobs) -> None:
    change = pages.Change(EVIL, EVIL, EVIL, EVIL, EVIL, EVIL, 41)
    read = samples.reading().reps[0]
    rep = replace(samples.row(1), step=EVIL, cues=(EVIL,))
    line = pages.RepLine(1, replace(read, notes=(EVIL,)), rep, rep, rep, "corrected", False, (change,))
    recording = pages.RecordingView(samples.SHA, EVIL, "video/mp4", 10.0, 25.0, (EVIL,))
    fake.session = replace(samples.session(), note=EVIL, reps=(line,), recording=recording)
    assert holds_it_as_text(client.get(f"/sessions/{samples.SESSION}/").content.decode())


def test_a_record_full_of_it(client: DeskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    entry = replace(samples.entry(1), summary=EVIL, by=EVIL, site=EVIL, payload_text=EVIL, happened_at=EVIL)
    page = replace(samples.record(), entries=(entry,), kinds=(EVIL,), kind=EVIL)
    monkeypatch.setattr("nares.app.jobs.record_page", lambda desk, **asked: page)
    assert holds_it_as_text(client.get("/record/").content.decode())


def test_a_name_to_act_under(client: DeskClient) -> None:
    client.post("/person/", {"person": EVIL[:60], "next": "/"})
    assert holds_it_as_text(client.get("/").content.decode())


@pytest.mark.parametrize("typed", [EVIL, "\x00", "‮evil", "a" * 5000])
def test_typed_text_comes_back_as_text(client: DeskClient, fake: FakeJobs, typed: str) -> None:
    given: dict[str, Any] = {"entry": "x", "field": typed, "new": typed, "why": typed}
    answer = client.post("/record/amend/", given)
    assert answer.status_code == 422
    assert "<script>alert" not in answer.content.decode()
