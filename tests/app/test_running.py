"""A session that cannot be run leaves nothing behind: no entry, no file."""

import wave
from pathlib import Path

import numpy as np
import pytest

from nares.app import jobs
from nares.app.deeds import RunSession
from nares.app.desk import Desk
from nares.app.entries import export
from nares.app.recordings import recording_path
from nares.app.verifying import verify_at
from nares.base.errors import NaresError, Refused, Unknown, Unusable, WrongUse
from nares.base.vocab import Region


@pytest.fixture
def hiss(tmp_path: Path) -> Path:
    """Three seconds of quiet noise and no pictures."""
    path = tmp_path / "hiss.wav"
    samples = (np.random.default_rng(3).normal(0, 40, 3 * 48000)).astype("<i2")
    with wave.open(str(path), "wb") as out:
        out.setparams((1, 2, 48000, 0, "NONE", "none"))
        out.writeframes(samples.tobytes())
    return path


def test_a_recording_is_kept_measured_and_proposed(desk: Desk, hiss: Path) -> None:
    said = jobs.run_session(desk, RunSession(hiss, "Moss", "Wren", "2026-03-02T08:00:00Z"))
    page = jobs.session_page(desk, said.session or "")
    assert page.recording is not None
    assert page.reading is not None
    assert page.recording.duration_s == pytest.approx(3.0, abs=0.05)
    assert (desk.recordings / f"{page.recording.sha256}.wav").exists()
    assert page.line.step == "source-value"
    assert said.session == "moss-01"


def test_the_record_says_what_was_listened_for(desk: Desk, hiss: Path) -> None:
    jobs.run_session(desk, RunSession(hiss, "Moss", "Wren", "2026-03-02T08:00:00Z", marker="whistle"))
    kept = desk.store.reading_of("moss-01")
    assert kept is not None
    assert kept.settings["marker"] == "whistle"


def test_the_same_recording_is_not_kept_twice(desk: Desk, hiss: Path) -> None:
    asked = RunSession(hiss, "Moss", "Wren", "2026-03-02T08:00:00Z")
    jobs.run_session(desk, asked)
    before = desk.store.count()
    with pytest.raises(Refused, match=r"already on the record, with session moss-01 \(entry \d+\)"):
        jobs.run_session(desk, asked)
    assert desk.store.count() == before


@pytest.mark.parametrize(
    ("change", "error", "said"),
    [
        ({"dog": "Nobody"}, Unknown, "no dog called 'Nobody'"),
        ({"step": "fly"}, Unknown, "has no step 'fly'"),
        ({"recording": Path("absent.mp4")}, Unusable, r"absent\.mp4"),
        ({"front": Region(0.1, 0.1, 0.2, 0.2)}, Unusable, "has no pictures"),
        ({"started_at": "yesterday"}, NaresError, "is not a date and time"),
        ({"started_at": "2030-01-01T00:00:00Z"}, NaresError, "2030-01-01"),
    ],
    ids=["unknown dog", "unknown step", "no file", "regions without pictures", "no time", "in the future"],
)
def test_what_cannot_be_run_leaves_nothing(
    desk: Desk, hiss: Path, change: dict[str, object], error: type[NaresError], said: str
) -> None:
    before = desk.store.count()
    asked = {"recording": hiss, "dog": "Moss", "by": "Wren", "started_at": "2026-03-02T08:00:00Z"}
    with pytest.raises(error, match=said):
        jobs.run_session(desk, RunSession(**{**asked, **change}))  # type: ignore[arg-type]
    assert desk.store.count() == before
    assert not list(desk.recordings.glob("*"))


def test_a_recording_without_a_suffix_is_found_again(desk: Desk, hiss: Path, tmp_path: Path) -> None:
    jobs.run_session(
        desk, RunSession(hiss.rename(tmp_path / "VOICE0001"), "Moss", "Wren", "2026-03-02T08:00:00Z")
    )
    sha256 = desk.store.recordings()[0].sha256
    assert recording_path(desk, sha256) == desk.recordings / sha256


def test_a_record_whose_recording_is_lost_is_exported_without_it_only_when_asked(
    desk: Desk, hiss: Path, tmp_path: Path
) -> None:
    jobs.run_session(desk, RunSession(hiss, "Moss", "Wren", "2026-03-02T08:00:00Z"))
    recording_path(desk, desk.store.recordings()[0].sha256).unlink()
    with pytest.raises(Unknown, match=r"hiss\.wav .* is not in"):
        export(desk, tmp_path / "out.zip")
    assert not (tmp_path / "out.zip").exists()
    said = export(desk, tmp_path / "out.zip", leave_out_missing=True)
    assert "Left out, for their files are gone: hiss.wav." in said
    assert verify_at(tmp_path / "out.zip").holds


def test_a_file_that_is_no_recording_is_named(desk: Desk, tmp_path: Path) -> None:
    path = tmp_path / "notes.mp4"
    path.write_text("This is a shopping list.", encoding="utf-8")
    with pytest.raises(Unusable, match=r"notes\.mp4"):
        jobs.run_session(desk, RunSession(path, "Moss", "Wren", "2026-03-02T08:00:00Z"))


def test_an_empty_file_is_named(desk: Desk, tmp_path: Path) -> None:
    path = tmp_path / "empty.mp4"
    path.touch()
    with pytest.raises(Unusable, match=r"empty\.mp4"):
        jobs.run_session(desk, RunSession(path, "Moss", "Wren", "2026-03-02T08:00:00Z"))


@pytest.fixture
def more(tmp_path: Path) -> Path:
    """Two further seconds of another noise."""
    path = tmp_path / "more.wav"
    samples = (np.random.default_rng(4).normal(0, 40, 2 * 48000)).astype("<i2")
    with wave.open(str(path), "wb") as out:
        out.setparams((1, 2, 48000, 0, "NONE", "none"))
        out.writeframes(samples.tobytes())
    return path


def test_every_part_of_a_session_is_kept_and_one_reading_made(desk: Desk, hiss: Path, more: Path) -> None:
    asked = RunSession(hiss, "Moss", "Wren", "2026-03-02T08:00:00Z", then=(more,))
    session = jobs.run_session(desk, asked).session or ""
    page = jobs.session_page(desk, session)
    assert page.reading is not None
    assert page.recording is not None
    assert [part.name for part in page.reading.recording.parts] == ["hiss.wav", "more.wav"]
    assert page.recording.sha256 == page.reading.recording.parts[0].sha256
    assert page.recording.duration_s == pytest.approx(5.0, abs=0.05)
    kept = [one for one in desk.store.recordings() if one.session == session]
    assert [one.name for one in kept] == ["hiss.wav", "more.wav"]
    assert [one.duration_s for one in kept] == pytest.approx([3.0, 2.0], abs=0.01)
    assert all(recording_path(desk, one.sha256).is_file() for one in kept)
    assert len(desk.store.readings_of(session)) == 1
    assert jobs.verify_record(desk).holds


def test_a_part_that_is_on_the_record_already_is_refused_and_nothing_is_kept(
    desk: Desk, hiss: Path, more: Path
) -> None:
    jobs.run_session(desk, RunSession(more, "Moss", "Wren", "2026-03-02T08:00:00Z"))
    before, files = desk.store.count(), set(desk.recordings.glob("*"))
    with pytest.raises(Refused, match="already on the record"):
        jobs.run_session(desk, RunSession(hiss, "Moss", "Wren", "2026-03-03T08:00:00Z", then=(more,)))
    assert desk.store.count() == before
    assert set(desk.recordings.glob("*")) == files


def test_parts_the_record_refuses_leave_no_file(desk: Desk, hiss: Path, more: Path) -> None:
    files = set(desk.recordings.glob("*"))
    with pytest.raises(NaresError, match="2030-01-01"):
        jobs.run_session(desk, RunSession(hiss, "Moss", "Wren", "2030-01-01T00:00:00Z", then=(more,)))
    assert set(desk.recordings.glob("*")) == files


def test_a_recording_cannot_stand_beside_itself(desk: Desk, hiss: Path) -> None:
    with pytest.raises(WrongUse, match=r"hiss\.wav cannot stand beside itself"):
        jobs.run_session(desk, RunSession(hiss, "Moss", "Wren", "2026-03-02T08:00:00Z", beside=hiss))
