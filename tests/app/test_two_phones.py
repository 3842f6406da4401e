"""Two phones on one session: one clock from the marks, and whatever was heard better."""

import wave
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from tests.generator.sessions import Soundscape, draw_session

from nares.app.measuring import measure_recording
from nares.base.errors import Unusable

RATE_HZ, OFFSET_S, DRIFT, HISS = 48_000, 7.3, 50e-6, 0.01
Sound = NDArray[np.float64]


def write(path: Path, sound: Sound) -> Path:
    with wave.open(str(path), "wb") as out:
        out.setparams((1, 2, RATE_HZ, 0, "NONE", "none"))
        out.writeframes((20_000 * np.clip(sound / np.abs(sound).max(), -1, 1)).astype("<i2").tobytes())
    return path


def elsewhere(sound: Sound) -> Sound:
    """What a phone hears that began `OFFSET_S` later and whose clock runs slow by `DRIFT`."""
    at = OFFSET_S + np.arange(int((len(sound) / RATE_HZ - OFFSET_S) / (1 + DRIFT) * RATE_HZ)) / RATE_HZ * (
        1 + DRIFT
    )
    return np.interp(at, np.arange(len(sound)) / RATE_HZ, sound)


@pytest.fixture(scope="module")
def scape() -> Soundscape:
    return draw_session(22_004, length_s=75.0, click_db=38.0, breath_db=18.0, events_a_minute=4.0)


@pytest.fixture(scope="module")
def phones(scape: Soundscape, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A phone far off, in some hiss, and one near."""
    folder = tmp_path_factory.mktemp("phones")
    hiss = np.random.default_rng(5).normal(size=len(scape.sound)) * HISS * np.abs(scape.sound).max()
    return write(folder / "far.wav", scape.sound + hiss), write(folder / "near.wav", elsewhere(scape.sound))


def test_the_clocks_are_found_and_the_better_phone_is_named(
    scape: Soundscape, phones: tuple[Path, Path]
) -> None:
    far, near = phones
    reading = measure_recording(far, beside=near)
    beside = reading.recording.beside
    assert beside is not None
    assert beside.name == "near.wav"
    assert beside.offset_s == pytest.approx(OFFSET_S, abs=0.003)
    assert beside.drift_ppm == pytest.approx(1e6 * DRIFT, abs=40)
    assert beside.marks >= 3
    assert beside.spread_s < 0.005
    assert any("near.wav begins 7.3" in note for note in reading.recording.notes)
    assert "marks are taken from near.wav, which heard the marker better." in reading.recording.notes
    true = [at for at in scape.marks_s if at > OFFSET_S + 0.2]
    found = np.array([mark.at_s for mark in reading.marks if mark.sure > 0.3])
    assert sum(np.abs(found - at).min() < 0.01 for at in true) >= 0.8 * len(true)


def test_the_better_phone_first_stays_first(phones: tuple[Path, Path]) -> None:
    far, near = phones
    reading = measure_recording(near, beside=far)
    assert reading.recording.beside is not None
    assert reading.recording.beside.offset_s == pytest.approx(-OFFSET_S, abs=0.01)
    alone = measure_recording(near)
    assert reading.marks == alone.marks
    assert reading.inhales == alone.inhales
    assert alone.recording.beside is None


def test_another_session_is_refused(phones: tuple[Path, Path], tmp_path: Path) -> None:
    other = draw_session(22_005, length_s=40.0, click_db=38.0, events_a_minute=2.0)
    with pytest.raises(Unusable, match=r"other\.wav agrees? with the first recording.*"):
        measure_recording(phones[1], beside=write(tmp_path / "other.wav", other.sound))


def test_a_phone_without_sound_cannot_stand_beside(phones: tuple[Path, Path], tmp_path: Path) -> None:
    from tests.media.clips import write_clip

    mute = write_clip(tmp_path / "mute.mp4", sound=None, pictures="libx264")
    with pytest.raises(Unusable, match=r"mute\.mp4 has no sound"):
        measure_recording(phones[1], beside=mute)
