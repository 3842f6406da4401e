"""Pages with little or nothing on them say what to do next."""

from dataclasses import replace

import pytest
from tests.web import samples
from tests.web.conftest import DeskClient
from tests.web.fakes import FakeJobs

from nares.app.pages import DogPage, RecordPage

AT = f"/sessions/{samples.SESSION}/"


def test_no_dogs(client: DeskClient, fake: FakeJobs) -> None:
    fake.today = replace(samples.today(), entries=0, head=None)
    page = client.get("/").content.decode()
    assert "No dog is on the record yet" in page
    assert 'href="/add-dog/"' in page


def test_a_dog_without_a_session(client: DeskClient, fake: FakeJobs) -> None:
    fake.today = samples.today(samples.card("Bracken", None, to_confirm=0))
    page = client.get("/").content.decode()
    assert "No session yet" in page
    assert "phone on a stand" in page
    assert 'href="/dogs/Bracken/add-session/"' in page


def test_nothing_confirmed_yet(client: DeskClient, fake: FakeJobs) -> None:
    fake.today = samples.today(samples.card("Bracken", None, to_confirm=4))
    page = client.get("/").content.decode()
    assert "Nothing confirmed yet" in page
    assert "Look through the reps" in page


def test_a_dog_page_with_nothing(client: DeskClient, fake: FakeJobs) -> None:
    card = samples.card("Bracken", None, to_confirm=0)
    fake.dog = DogPage(card, samples.dog().steps, (), None, None, None)
    page = client.get("/dogs/Bracken/").content.decode()
    assert page.count("No plot yet") == 2
    assert "Add the first recorded one." in page


def test_a_session_without_a_recording(client: DeskClient, fake: FakeJobs) -> None:
    lines = tuple(replace(line, measured=None, kept=samples.row(line.rep)) for line in samples.session().reps)
    fake.session = replace(samples.session(), recording=None, reading=None, reading_entry=None, reps=lines)
    page = client.get(AT).content.decode()
    assert "No recording is kept with this session" in page
    assert "not measured: no recording was measured for this rep" in page
    assert 'id="film"' not in page


def test_a_recording_without_pictures(client: DeskClient, fake: FakeJobs) -> None:
    shown = samples.session()
    assert shown.recording is not None
    assert shown.reading is not None
    fake.session = replace(
        shown,
        recording=replace(shown.recording, frames_per_s=None, media_type="audio/mp4"),
        reading=replace(shown.reading, nose_in=(), hand_in=()),
    )
    page = client.get(AT).content.decode()
    assert "This recording has no pictures." in page
    assert "<audio" in page
    assert "Hand in: not measured" in page


def test_a_recording_in_which_no_rep_was_found(client: DeskClient, fake: FakeJobs) -> None:
    fake.session = replace(samples.session(), reps=(), line=samples.line(to_confirm=0))
    page = client.get(AT).content.decode()
    assert "No rep was found" in page
    assert "Check that the phone stood still" in page


def test_a_recording_not_measured_yet(client: DeskClient, fake: FakeJobs) -> None:
    fake.session = replace(samples.session(), reading=None, reading_entry=None, reps=())
    assert client.get(AT).status_code == 200


def test_an_empty_record(client: DeskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    empty = RecordPage((), 0, 1, 1, (), "", None, None)
    monkeypatch.setattr("nares.app.jobs.record_page", lambda desk, **asked: empty)
    page = client.get("/record/").content.decode()
    assert "The record is empty." in page
    assert "Add the first dog." in page


def test_a_value_that_is_missing_says_why(client: DeskClient) -> None:
    page = client.get(AT).content.decode()
    assert "not measured" in page
    assert "Inhalations not counted: rain was louder than the breath." in page


def test_a_kept_value_stands_beside_the_measured_one(client: DeskClient) -> None:
    page = client.get(f"{AT}reps/4/").content.decode()
    assert "0.70\xa0s" in page
    assert "proposed 0.90\xa0s" in page
    assert "The nose slid out before the mark." in page
    assert '<a href="/record/entries/41/">entry 41</a>' in page


def test_certainty_is_told_in_words_and_numbers(client: DeskClient) -> None:
    page = client.get(AT).content.decode()
    assert "<title>Mark at 3.90 s, 62 % sure</title>" in page
    assert '<span class="sure unsure">62\xa0%' in page
    assert "less sure: look twice" in page
