"""Every container puts a sound where it was, to a tenth of a millisecond."""

from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest
from tests.media.clips import (
    LENGTH_S,
    PULSES_S,
    errors_ms,
    patch_box,
    pulses,
    report_of,
    sound_of,
    write_clip,
)

from nares.base.errors import Unusable
from nares.media import open_recording
from nares.media.clock import unstated_priming_s
from nares.media.container import opened

NEAR_MS = 0.1

CASES = [
    ("clip.wav", "wav", "pcm_s16le", 48_000, None),
    ("clip.wav", "wav", "pcm_s16le", 44_100, None),
    ("clip.m4a", "ipod", "aac", 48_000, None),
    ("clip.m4a", "ipod", "aac", 44_100, None),
    ("clip.mp4", "mp4", "aac", 48_000, "libx264"),
    ("clip.mp4", "mp4", "aac", 44_100, "libx264"),
    ("clip.mov", "mov", "aac", 44_100, "libx264"),
    ("clip.mkv", "matroska", "aac", 44_100, "libx264"),
    ("clip.mkv", "matroska", "aac", 48_000, None),
    ("clip.webm", "webm", "libopus", 48_000, "libvpx"),
    ("clip.webm", "webm", "libopus", 48_000, None),
    ("clip.ogg", "ogg", "libopus", 48_000, None),
    ("clip.mp3", "mp3", "libmp3lame", 44_100, None),
    ("clip.mp3", "mp3", "libmp3lame", 48_000, None),
    ("clip.aac", "adts", "aac", 44_100, None),
    ("clip.aac", "adts", "aac", 48_000, None),
    ("clip.flac", "flac", "flac", 44_100, None),
]


@pytest.mark.parametrize(
    ("name", "kind", "coding", "rate_hz", "pictures"), CASES, ids=lambda value: str(value)
)
def test_pulses_are_heard_where_they_were(
    tmp_path: Path, name: str, kind: str, coding: str, rate_hz: int, pictures: str | None
) -> None:
    path = write_clip(tmp_path / name, kind=kind, sound=coding, rate_hz=rate_hz, pictures=pictures)
    assert np.abs(errors_ms(sound_of(path))).max() < NEAR_MS


@pytest.mark.parametrize(
    ("name", "kind", "coding", "video"),
    [
        ("late.mp4", "mp4", "aac", "libx264"),
        ("late.mov", "mov", "aac", "libx264"),
        ("late.mkv", "matroska", "aac", "libx264"),
        ("late.webm", "webm", "libopus", "libvpx"),
    ],
)
def test_sound_that_starts_after_the_pictures_keeps_its_delay(
    tmp_path: Path, name: str, kind: str, coding: str, video: str
) -> None:
    # An mp4 writes the delay in steps of its movie clock, here fine enough; Matroska and webm round the one
    # stamp that counts here, and the padding taken off it, to a millisecond each.
    fine = {"movie_timescale": "48000"} if kind in ("mp4", "mov") else {}
    near_ms = NEAR_MS if fine else 1.1
    start_s = Fraction(3, 10)
    path = write_clip(
        tmp_path / name, kind=kind, sound=coding, pictures=video, sound_from_s=start_s, options=fine
    )
    later = [at + 0.3 for at in PULSES_S]
    assert np.abs(errors_ms(sound_of(path), later)).max() < near_ms


def test_sound_alone_that_starts_late_in_a_movie_keeps_its_delay(tmp_path: Path) -> None:
    path = write_clip(
        tmp_path / "late.m4a",
        kind="mp4",
        sound_from_s=Fraction(3, 10),
        options={"movie_timescale": "48000"},
    )
    assert np.abs(errors_ms(sound_of(path), [at + 0.3 for at in PULSES_S])).max() < NEAR_MS


def test_an_edit_list_that_cuts_the_beginning_moves_every_time(tmp_path: Path) -> None:
    path = write_clip(tmp_path / "cut.m4a", kind="ipod", rate_hz=48_000)
    cut_samples = 9600
    # One entry of a version 0 list: count (4), length (4), then where in the track to begin.
    patch_box(path, b"elst", 12, (1024 + cut_samples).to_bytes(4, "big"))
    earlier = [at - cut_samples / 48_000 for at in PULSES_S]
    assert np.abs(errors_ms(sound_of(path), earlier)).max() < NEAR_MS


def test_a_lost_piece_of_sound_does_not_pull_the_rest_forward(tmp_path: Path) -> None:
    whole = write_clip(tmp_path / "whole.mkv", kind="matroska", rate_hz=44_100)
    holed = tmp_path / "holed.mkv"
    with av.open(whole) as source, av.open(holed, "w", format="matroska") as target:
        track = source.streams.audio[0]
        copy = target.add_stream_from_template(track)
        for number, packet in enumerate(source.demux(track)):
            if packet.size and not 70 <= number < 80:
                packet.stream = copy
                target.mux(packet)
    kept = sound_of(holed)
    assert np.abs(errors_ms(kept)).max() < 1.0
    missing_s = 10 * 1024 / 44_100
    assert any(f"sound is missing for {missing_s:.2f} s in one place" in n for n in report_of(holed).notes)


def test_no_sample_is_lost_at_the_end_of_a_resampled_recording(tmp_path: Path) -> None:
    path = write_clip(tmp_path / "clip.wav", kind="wav", sound="pcm_s16le", rate_hz=44_100)
    assert abs(len(sound_of(path)) - LENGTH_S * 48_000) <= 1


def test_channels_are_averaged_and_stay_within_one(tmp_path: Path) -> None:
    path = tmp_path / "two.wav"
    loud = np.vstack([np.full(48_000, 0.9), np.full(48_000, 0.7)]).astype(np.float32)
    with av.open(path, "w", format="wav") as file:
        stream = file.add_stream("pcm_f32le", rate=48_000, layout="stereo")
        frame = av.AudioFrame.from_ndarray(np.ascontiguousarray(loud.T).reshape(1, -1), "flt", "stereo")
        frame.rate, frame.pts, frame.time_base = 48_000, 0, Fraction(1, 48_000)
        file.mux(stream.encode(frame))
    assert sound_of(path) == pytest.approx(0.8)


def test_an_mp3_that_hides_its_padding_says_so(tmp_path: Path) -> None:
    path = write_clip(tmp_path / "bare.mp3", kind="mp3", sound="libmp3lame", options={"write_xing": "0"})
    assert any("does not say where its sound starts" in note for note in report_of(path).notes)


def test_raw_aac_is_corrected_and_says_so(tmp_path: Path) -> None:
    path = write_clip(tmp_path / "raw.aac", kind="adts")
    assert any("does not say where its sound starts" in note for note in report_of(path).notes)


@pytest.mark.published(source="apple-tn2258", at="encoder delay", seen="read")
@pytest.mark.parametrize(("rate_hz", "printed_ms"), [(48_000, 21.33), (44_100, 23.22)])
def test_raw_aac_gives_up_the_least_priming_of_1024_samples(
    tmp_path: Path, rate_hz: int, printed_ms: float
) -> None:
    path = write_clip(tmp_path / "raw.aac", kind="adts", rate_hz=rate_hz)
    with opened(path) as container:
        assert 1000 * float(unstated_priming_s(container, rate_hz)) == pytest.approx(printed_ms, abs=0.005)


def test_stamps_that_start_again_are_counted_on(tmp_path: Path) -> None:
    from nares.media.report import SoundTally
    from nares.media.sound import SoundReader

    tally = SoundTally()
    reader = SoundReader(Fraction(0), Fraction(1, 48_000), tally)
    wave = pulses(48_000)
    blocks = []
    for number in range(100):
        piece = np.ascontiguousarray(wave[None, number * 1024 : (number + 1) * 1024])
        frame = av.AudioFrame.from_ndarray(piece, format="fltp", layout="mono")
        frame.rate, frame.pts = 48_000, (number if number < 60 else number - 60) * 1024
        blocks += list(reader.read(frame))
    assert [block.first for block in blocks] == [1024 * n for n in range(100)]
    assert tally.clock_jumps == 1


def test_stamps_that_drift_are_followed_without_giving_a_sample_twice() -> None:
    from nares.media.report import SoundTally
    from nares.media.sound import SoundReader

    reader = SoundReader(Fraction(0), Fraction(1, 48_000), SoundTally())
    silence = np.zeros((1, 1024), np.float32)
    given = 0
    for number in range(3000):
        frame = av.AudioFrame.from_ndarray(silence, format="fltp", layout="mono")
        frame.rate, frame.pts = 48_000, round(number * 1024 * 0.9998)
        for block in reader.read(frame):
            assert block.first >= given
            assert abs(block.first - number * 1024 * 0.9998) < 0.004 * 48_000
            given = block.first + len(block.samples)
    assert given == pytest.approx(3000 * 1024 * 0.9998, abs=0.006 * 48_000)


def test_both_streams_share_one_clock(tmp_path: Path) -> None:
    path = write_clip(tmp_path / "clip.mp4", pictures="libx264")
    with open_recording(path) as recording:
        pieces = list(recording.play())
    assert {type(piece).__name__ for piece in pieces[:12]} == {"SoundBlock", "Picture"}


def test_a_damaged_stamp_a_day_ahead_is_not_believed() -> None:
    from nares.media.report import SoundTally
    from nares.media.sound import SoundReader

    tally = SoundTally()
    reader = SoundReader(Fraction(0), Fraction(1, 48_000), tally, declared_s=4.0)
    silence = np.zeros((1, 1024), np.float32)
    firsts = []
    for number in range(10):
        frame = av.AudioFrame.from_ndarray(silence, format="fltp", layout="mono")
        frame.rate, frame.pts = 48_000, number * 1024 + (86_400 * 48_000 if number == 5 else 0)
        firsts += [block.first for block in reader.read(frame)]
    assert firsts == [1024 * number for number in range(10)]
    assert tally.clock_jumps == 2


def test_more_channels_than_a_recorder_has_are_refused(tmp_path: Path) -> None:
    import wave

    path = tmp_path / "sixteen.wav"
    with wave.open(str(path), "wb") as file:
        file.setnchannels(16)
        file.setsampwidth(2)
        file.setframerate(48_000)
        file.writeframes(bytes(16 * 2 * 48_000))
    with pytest.raises(Unusable, match=r"Nothing in sixteen\.wav can be decoded"):
        sound_of(path)
