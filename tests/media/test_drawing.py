"""Waveform outlines and browser proxies keep the clock of the measurement."""

from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from tests.media.clips import (
    PULSES_S,
    errors_ms,
    levels,
    pictures_of,
    report_of,
    set_matrix,
    sound_of,
    write_clip,
)

from nares.base.errors import OutOfRange, Unusable
from nares.media import make_proxy, plays_in_browser, waveform_peaks


@pytest.mark.parametrize("per_second", [7, 100, 441])
def test_peaks_stand_where_the_pulses_are(tmp_path: Path, per_second: int) -> None:
    path = write_clip(tmp_path / "a.wav", kind="wav", sound="pcm_s16le")
    peaks = waveform_peaks(path, per_second)
    assert len(peaks) == 4 * per_second
    for at_s in PULSES_S:
        near = peaks[max(0, int(at_s * per_second) - 1) : int(at_s * per_second) + 2]
        assert max(near) == pytest.approx(0.8, abs=0.02)
    assert max(peaks[: int(0.45 * per_second)]) < 0.001


def test_peaks_are_the_largest_magnitude_of_each_bin(tmp_path: Path) -> None:
    wave = np.random.default_rng(4).uniform(-0.9, 0.9, 48_000).astype(np.float32)
    path = write_clip(tmp_path / "a.wav", kind="wav", sound="pcm_f32le", samples=wave)
    assert waveform_peaks(path, 100) == pytest.approx(np.abs(wave).reshape(100, 480).max(axis=1).tolist())


def test_peaks_begin_at_time_zero_when_the_sound_is_late(tmp_path: Path) -> None:
    path = write_clip(tmp_path / "a.mp4", pictures="libx264", sound_from_s=Fraction(1))
    peaks = waveform_peaks(path, 100)
    assert max(peaks[:95]) == 0
    assert max(peaks[148:153]) == pytest.approx(0.8, abs=0.1)


def test_too_few_or_too_many_peaks_are_refused(tmp_path: Path) -> None:
    path = write_clip(tmp_path / "a.wav", kind="wav", sound="pcm_s16le")
    with pytest.raises(OutOfRange, match="0 peaks a second"):
        waveform_peaks(path, 0)


@pytest.mark.parametrize(
    ("name", "kind", "sound", "pictures", "plays"),
    [
        ("a.mp4", "mp4", "aac", "libx264", True),
        ("a.mov", "mov", "aac", "libx264", True),
        ("a.mp4", "mp4", "aac", "libx265", False),
        ("a.mov", "mov", "pcm_s16le", "libx264", False),
        ("a.mp4", "mp4", "aac", "mpeg4", False),
        ("a.webm", "webm", "libopus", "libvpx", True),
        ("a.webm", "webm", "libopus", "libvpx-vp9", True),
        ("a.mkv", "matroska", "aac", "libx264", False),
        ("a.m4a", "ipod", "aac", None, True),
        ("a.mp3", "mp3", "libmp3lame", None, True),
        ("a.wav", "wav", "pcm_s16le", None, True),
        ("a.ogg", "ogg", "libopus", None, True),
    ],
)
def test_what_a_browser_plays(
    tmp_path: Path, name: str, kind: str, sound: str, pictures: str | None, plays: bool
) -> None:
    path = write_clip(tmp_path / name, kind=kind, sound=sound, pictures=pictures)
    assert plays_in_browser(path) is plays


def test_ten_bit_h264_is_not_trusted_to_a_browser(tmp_path: Path) -> None:
    frames = [np.full((72, 64), 400, np.uint16)] * 3
    path = write_clip(
        tmp_path / "a.mp4",
        pictures="libx264",
        frames=frames,  # type: ignore[arg-type]
        stamps_ms=[0, 33, 67],
        pix_fmt="yuv420p10le",
    )
    assert not plays_in_browser(path)


def test_a_proxy_plays_and_keeps_every_time(tmp_path: Path) -> None:
    stamps = [0, 33, 67, 167, 180, 400, 433, 500, 1234, 1250]
    path = write_clip(tmp_path / "a.mov", kind="mov", pictures="libx265", frames=levels(10), stamps_ms=stamps)
    proxy = tmp_path / "proxy.mp4"
    make_proxy(path, proxy)
    assert plays_in_browser(proxy)
    assert np.abs(errors_ms(sound_of(proxy))).max() < 0.1
    assert [round(1000 * picture.at.seconds) for picture in pictures_of(proxy)] == stamps
    assert [p.luma.mean() for p in pictures_of(proxy)] == pytest.approx(
        [40 + 4 * i for i in range(10)], abs=3
    )


def test_a_proxy_keeps_the_delay_of_late_sound(tmp_path: Path) -> None:
    path = write_clip(
        tmp_path / "a.mp4",
        pictures="libx265",
        sound_from_s=Fraction(3, 10),
        options={"movie_timescale": "48000"},
    )
    make_proxy(path, tmp_path / "proxy.mp4")
    assert np.abs(errors_ms(sound_of(tmp_path / "proxy.mp4"), [at + 0.3 for at in PULSES_S])).max() < 0.1


def test_a_proxy_stands_upright_and_is_reduced(tmp_path: Path) -> None:
    wide = [np.full((120 * 3 // 2, 200), 100, np.uint8)] * 3
    path = write_clip(tmp_path / "a.mp4", pictures="libx265", frames=wide, stamps_ms=[0, 33, 67])
    set_matrix(path, 0, 1, -1, 0)
    make_proxy(path, tmp_path / "proxy.mp4", width=101)
    report = report_of(tmp_path / "proxy.mp4")
    assert (report.width, report.height, report.rotation_deg) == (62, 102, 0)


def test_a_proxy_of_sound_alone_and_of_pictures_alone(tmp_path: Path) -> None:
    voice = write_clip(tmp_path / "a.flac", kind="flac", sound="flac")
    mute = write_clip(tmp_path / "a.mkv", kind="matroska", sound=None, pictures="libx265")
    for path, streams in ((voice, ("audio",)), (mute, ("video",))):
        make_proxy(path, tmp_path / "proxy.mp4")
        assert report_of(tmp_path / "proxy.mp4").streams == streams


def test_a_proxy_that_fails_leaves_the_old_one_and_nothing_else(tmp_path: Path) -> None:
    proxy = tmp_path / "proxy.mp4"
    proxy.write_bytes(b"the old one")
    whole = write_clip(tmp_path / "a.mp4", pictures="libx264", options={"movflags": "+faststart"})
    data = whole.read_bytes()
    whole.write_bytes(data[: data.index(b"mdat") + 4])
    with pytest.raises(Unusable, match=r"Nothing in a\.mp4 can be decoded"):
        make_proxy(whole, proxy)
    assert proxy.read_bytes() == b"the old one"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a.mp4", "proxy.mp4"]


def test_a_proxy_broken_off_half_way_leaves_nothing(tmp_path: Path) -> None:
    def stop(share: float) -> None:
        if share > 0.5:
            raise KeyboardInterrupt

    path = write_clip(tmp_path / "a.mp4", pictures="libx264")
    with pytest.raises(KeyboardInterrupt):
        make_proxy(path, tmp_path / "proxy.mp4", progress=stop)
    assert [left.name for left in tmp_path.iterdir()] == ["a.mp4"]


def test_a_proxy_in_a_folder_that_is_not_there_is_refused(tmp_path: Path) -> None:
    path = write_clip(tmp_path / "a.mp4", pictures="libx264")
    with pytest.raises(Unusable, match=r"No proxy of a\.mp4 could be written"):
        make_proxy(path, tmp_path / "nowhere" / "proxy.mp4")
