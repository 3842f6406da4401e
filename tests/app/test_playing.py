"""A kept recording plays, its outline is drawn, and a lost file is said to be lost."""

import wave
from pathlib import Path

import numpy as np
import pytest

from nares.app import jobs
from nares.app.deeds import RunSession
from nares.app.desk import Desk
from nares.app.verifying import verify_at
from nares.base.errors import Unknown
from nares.media import open_recording


@pytest.fixture
def kept(desk: Desk, tmp_path: Path) -> str:
    """The digest of a kept two-second tone that grows."""
    path = tmp_path / "tone.wav"
    at = np.arange(2 * 48000) / 48000
    samples = (16000 * at / 2 * np.sin(2 * np.pi * 440 * at)).astype("<i2")
    with wave.open(str(path), "wb") as out:
        out.setparams((1, 2, 48000, 0, "NONE", "none"))
        out.writeframes(samples.tobytes())
    said = jobs.run_session(desk, RunSession(path, "Moss", "Wren", "2026-03-02T08:00:00Z"))
    page = jobs.session_page(desk, said.session or "")
    assert page.recording is not None
    return page.recording.sha256


def test_the_original_is_played_where_a_browser_can(desk: Desk, kept: str) -> None:
    path, media_type = jobs.media_file(desk, kept)
    assert path.parent == desk.recordings
    assert media_type.startswith("audio/")


def test_the_outline_follows_the_sound_and_is_kept(desk: Desk, kept: str) -> None:
    outline = jobs.waveform(desk, kept)
    peaks = outline["peaks"]
    assert len(peaks) == pytest.approx(2 * outline["rate_hz"], abs=2)
    assert peaks[40] < peaks[200] < peaks[380]
    (desk.recordings / f"{kept}.wav").rename(desk.data / "moved.wav")
    assert jobs.waveform(desk, kept) == outline


def test_a_lost_file_is_named_and_the_record_still_knows_it(desk: Desk, kept: str) -> None:
    (desk.recordings / f"{kept}.wav").unlink()
    with pytest.raises(Unknown, match=r"The file of tone\.wav \(session moss-01\) is not in"):
        jobs.media_file(desk, kept)
    assert jobs.verify_record(desk).holds


def test_a_digest_nobody_kept_is_unknown(desk: Desk) -> None:
    with pytest.raises(Unknown, match="No recording ffffffffffff"):
        jobs.media_file(desk, "f" * 64)


def test_a_changed_recording_is_found_and_its_entry_named(desk: Desk, kept: str) -> None:
    file = desk.recordings / f"{kept}.wav"
    file.write_bytes(file.read_bytes()[:-1] + b"\x01")
    found = verify_at(desk.data)
    entry = desk.store.recordings()[0].entry
    assert (found.holds, found.first_bad) == (False, entry)
    assert "tone.wav (session moss-01) was changed" in found.findings[0]


def test_a_missing_recording_is_said_and_the_record_holds(desk: Desk, kept: str) -> None:
    (desk.recordings / f"{kept}.wav").unlink()
    found = verify_at(desk.data)
    assert found.holds
    assert "tone.wav (session moss-01" in found.notes[0]


def test_a_session_in_parts_plays_as_one_on_the_readings_clock(desk: Desk, tmp_path: Path) -> None:
    paths = []
    for number, at in enumerate((0.5, 1.0)):
        samples = np.random.default_rng(number).normal(0, 20, 96_000)
        samples[round(at * 48_000) : round((at + 0.01) * 48_000)] += 20_000
        path = tmp_path / f"{number}.wav"
        with wave.open(str(path), "wb") as out:
            out.setparams((1, 2, 48000, 0, "NONE", "none"))
            out.writeframes(samples.astype("<i2").tobytes())
        paths.append(path)
    said = jobs.run_session(
        desk, RunSession(paths[0], "Moss", "Wren", "2026-03-02T08:00:00Z", then=(paths[1],))
    )
    page = jobs.session_page(desk, said.session or "")
    assert page.recording is not None
    first = page.recording.sha256
    path, media_type = jobs.media_file(desk, first)
    assert media_type == "video/mp4"
    with open_recording(path) as joined:
        assert joined.report().duration_s == pytest.approx(4.0, abs=0.05)
    outline = jobs.waveform(desk, first)
    loud = [k / outline["rate_hz"] for k, peak in enumerate(outline["peaks"]) if peak > 0.3]
    assert loud[0] == pytest.approx(0.5, abs=0.011)
    assert loud[-1] == pytest.approx(3.0, abs=0.021)
    second = next(one for one in desk.store.recordings() if one.sha256 != first)
    alone, _ = jobs.media_file(desk, second.sha256)
    assert alone.parent == desk.recordings
