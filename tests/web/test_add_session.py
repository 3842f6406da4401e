"""Adding a recorded session: upload, measuring in the background, progress, errors."""

import time
from pathlib import Path
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from tests.web import samples
from tests.web.conftest import DeskClient
from tests.web.fakes import FakeJobs

from nares.app.deeds import RunSession
from nares.base.errors import Unusable
from nares.base.vocab import Region

AT = "/dogs/Bracken/add-session/"


def film(name: str = "IMG 0412.MOV", size: int = 300_000) -> SimpleUploadedFile:
    return SimpleUploadedFile(name, b"f" * size, content_type="video/quicktime")


def given(**changed: Any) -> dict[str, Any]:
    form = {"recording": film(), "started_at": "2026-03-14T09:30", "zone_min": "60", "step": "hand-side"}
    form |= {"asks": "1 1.5, 2", "front": "0.42,0.42,0.05,0.15", "side": "", "note": "Windy."}
    return {**form, **changed}


def finished(client: DeskClient, address: str) -> dict[str, Any]:
    for _ in range(200):
        state: dict[str, Any] = client.get(address.rstrip("/") + ".json").json()
        if state["state"] in ("done", "failed"):
            return state
        time.sleep(0.01)
    raise AssertionError(f"Not finished: {state}")


def test_a_recording_is_taken_and_measured(client: DeskClient, fake: FakeJobs) -> None:
    answer = client.post(AT, given())
    state = finished(client, answer.headers["Location"])
    asked = fake.asked[0]
    assert isinstance(asked, RunSession)
    assert (asked.dog, asked.by, asked.name) == ("Bracken", "Mara Quill", "IMG 0412.MOV")
    assert asked.started_at == "2026-03-14T08:30:00.000Z"
    assert asked.asks_s == (1.0, 1.5, 2.0)
    assert (asked.front, asked.side, asked.step) == (Region(0.42, 0.42, 0.05, 0.15), None, "hand-side")
    assert fake.kept_bytes == 300_000
    assert state["session"] == samples.SESSION


def test_cues_of_ones_own_are_ticked_and_others_written(client: DeskClient, fake: FakeJobs) -> None:
    page = client.get(AT).content.decode()
    assert 'name="own" value="rain"' in page
    assert "now: target hand" in page
    finished(client, client.post(AT, given(own=["rain"], cues="box:2 rain")).headers["Location"])
    asked = fake.asked[0]
    assert isinstance(asked, RunSession)
    assert asked.cues == ("box:2", "rain")


def test_a_cue_that_cannot_be_is_said_and_the_ticks_stay(client: DeskClient) -> None:
    answer = client.post(AT, given(own=["rain"], cues="a:b:c"))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "is no name of a cue" in page
    assert 'value="rain" checked' in page


def test_the_progress_page_goes_on_to_the_session(client: DeskClient, fake: FakeJobs) -> None:
    address = client.post(AT, given()).headers["Location"]
    finished(client, address)
    assert client.get(address).headers["Location"] == f"/sessions/{samples.SESSION}/"


def test_the_uploaded_file_is_gone_afterwards(client: DeskClient, fake: FakeJobs) -> None:
    finished(client, client.post(AT, given(clicker=film("click.wav", 2000))).headers["Location"])
    asked = fake.asked[0]
    assert isinstance(asked, RunSession)
    assert asked.clicker is not None
    assert asked.recording.suffix == ".MOV"
    for _ in range(100):
        if not asked.recording.parent.exists():
            break
        time.sleep(0.01)
    assert not asked.recording.parent.exists()


def test_what_it_was_marked_with_is_asked_for(client: DeskClient, fake: FakeJobs) -> None:
    finished(client, client.post(AT, given(marker="whistle")).headers["Location"])
    asked = fake.asked[0]
    assert isinstance(asked, RunSession)
    assert asked.marker == "whistle"


def test_a_word_without_examples_of_it_is_refused_and_nothing_measured(
    client: DeskClient, fake: FakeJobs
) -> None:
    answer = client.post(AT, given(marker="word"))
    assert answer.status_code == 422
    assert "A word is found from examples." in answer.content.decode()
    assert fake.asked == []


NAMES = ["../../etc/cron.d/x.mp4", "..\\..\\x.mp4", "a\nb.mp4", "-rf.mp4", ".hidden", "🐕.mp4"]


@pytest.mark.parametrize("name", [*NAMES, "x" * 300 + ".mp4"])
def test_no_file_name_leads_anywhere(client: DeskClient, fake: FakeJobs, name: str) -> None:
    finished(client, client.post(AT, given(recording=film(name, 10))).headers["Location"])
    asked = fake.asked[0]
    assert isinstance(asked, RunSession)
    assert asked.recording.parent.name.startswith("nares-upload-")
    assert "/" not in asked.recording.name
    assert not asked.recording.name.startswith((".", "-"))


def test_a_file_that_cannot_be_measured_is_said_so(client: DeskClient, fake: FakeJobs) -> None:
    fake.refuse = Unusable("This is a text file. Give a film or a sound.")
    address = client.post(AT, given()).headers["Location"]
    assert finished(client, address)["state"] == "failed"
    page = client.get(address)
    assert page.status_code == 422
    assert "This is a text file." in page.content.decode()


def test_a_fault_while_measuring_shows_no_traceback(client: DeskClient, fake: FakeJobs) -> None:
    fake.refuse = RuntimeError("secret inside")
    address = client.post(AT, given()).headers["Location"]
    assert finished(client, address)["state"] == "failed"
    assert "secret inside" not in client.get(address).content.decode()


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"recording": ""}, "This field is required."),
        ({"recording": SimpleUploadedFile("e.mp4", b"")}, "The submitted file is empty."),
        ({"started_at": "yesterday"}, "Enter a valid date/time."),
        ({"zone_min": "100000"}, "marked field"),
        ({"asks": "1 two"}, "is not a number of seconds"),
        ({"asks": "nan"}, "cannot be"),
        ({"asks": "-1"}, "cannot be"),
        ({"front": "1,2"}, "is not a region"),
        ({"front": "0.9,0.9,0.5,0.5"}, "does not lie inside the picture"),
        ({"side": "nan,0,1,1"}, "does not lie inside the picture"),
        ({"step": "no-such-step"}, "Select a valid choice."),
    ],
)
def test_each_fault_is_said_in_place(
    client: DeskClient, fake: FakeJobs, wrong: dict[str, Any], said: str
) -> None:
    answer = client.post(AT, given(**wrong))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert said in page
    assert "Windy." in page
    assert fake.asked == []


def test_without_scripts_the_time_is_utc(client: DeskClient, fake: FakeJobs) -> None:
    finished(client, client.post(AT, given(zone_min="")).headers["Location"])
    asked = fake.asked[0]
    assert isinstance(asked, RunSession)
    assert asked.started_at == "2026-03-14T09:30:00.000Z"


def test_the_regions_of_the_last_session_are_offered(client: DeskClient) -> None:
    assert 'value="0.42,0.42,0.05,0.15"' in client.get(AT).content.decode()


def test_a_waiting_measurement_refreshes_without_scripts(
    client: DeskClient, fake: FakeJobs, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("nares.app.jobs.run_session", lambda *asked: time.sleep(0.3))
    page = client.get(client.post(AT, given()).headers["Location"]).content.decode()
    assert '<noscript><meta http-equiv="refresh" content="3"></noscript>' in page
    assert "<progress" in page


def test_an_upload_streams_to_disk(
    client: DeskClient, fake: FakeJobs, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[type] = []
    from nares.web.dogs import add_session

    real = add_session.moved

    def spy(upload: Any, folder: Path, prefix: str = "") -> Path:
        seen.append(type(upload))
        return real(upload, folder, prefix)

    monkeypatch.setattr(add_session, "moved", spy)
    client.post(AT, given(recording=film(size=20)))
    assert [kind.__name__ for kind in seen] == ["TemporaryUploadedFile"]
