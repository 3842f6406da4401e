"""Bad input gets one clear sentence; damaged input gives what it can and a note."""

import zipfile
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import av
import numpy as np
import pytest
from tests.media.clips import errors_ms, levels, pictures_of, report_of, sound_of, write_clip

from nares.base.errors import Unusable
from nares.media import open_recording, plays_in_browser, sha256_of, waveform_peaks
from nares.media.proxy import make_proxy


def missing(folder: Path) -> Path:
    return folder / "absent.mp4"


def a_folder(folder: Path) -> Path:
    return folder


def empty(folder: Path) -> Path:
    (folder / "empty.mp4").touch()
    return folder / "empty.mp4"


def text(folder: Path) -> Path:
    (folder / "notes.txt").write_text("Rep 1: good.\n" * 500)
    return folder / "notes.txt"


def text_named_mp4(folder: Path) -> Path:
    (folder / "notes.mp4").write_text("Rep 1: good.\n" * 500)
    return folder / "notes.mp4"


def zip_file(folder: Path) -> Path:
    with zipfile.ZipFile(folder / "a.zip", "w") as file:
        file.writestr("clip.mp4", b"x" * 5000)
    return folder / "a.zip"


def still(folder: Path) -> Path:
    av.VideoFrame.from_ndarray(np.zeros((48, 64, 3), np.uint8), format="rgb24").save(folder / "still.png")
    return folder / "still.png"


def noise(folder: Path) -> Path:
    (folder / "noise.mov").write_bytes(np.random.default_rng(1).bytes(20_000))
    return folder / "noise.mov"


def playlist(folder: Path) -> Path:
    whole = write_clip(folder / "whole.mp4")
    (folder / "list.m3u8").write_text(f"#EXTM3U\n#EXT-X-TARGETDURATION:4\n#EXTINF:4,\n{whole.name}\n")
    return folder / "list.m3u8"


def cut_before_index(folder: Path) -> Path:
    whole = write_clip(folder / "whole.mp4", pictures="libx264")
    data = whole.read_bytes()
    (folder / "cut.mp4").write_bytes(data[: data.index(b"moov") - 100])
    return folder / "cut.mp4"


REFUSED = [
    (missing, "There is no file .*absent.mp4. Check the name"),
    (a_folder, "is a folder, not a recording"),
    (empty, r"empty.mp4 is empty \(0 bytes\)"),
    (text, "notes.txt is not a recording. Give an mp4"),
    (text_named_mp4, "notes.mp4 is not a recording. Give an mp4"),
    (zip_file, "a.zip is not a recording"),
    (still, "still.png is not a recording"),
    (noise, "noise.mov is not a recording"),
    (playlist, "list.m3u8 is not a recording"),
    (cut_before_index, "cut.mp4 breaks off before its index"),
]


@pytest.mark.parametrize(("make", "words"), REFUSED, ids=[make.__name__ for make, _ in REFUSED])
def test_a_bad_file_is_refused_in_plain_words(
    tmp_path: Path, make: Callable[[Path], Path], words: str
) -> None:
    path = make(tmp_path)
    for job in (open_recording, plays_in_browser, waveform_peaks):
        with pytest.raises(Unusable, match=words) as refusal:
            job(path)
        assert len(str(refusal.value).splitlines()) == 1
    with pytest.raises(Unusable, match=words):
        make_proxy(path, tmp_path / "proxy.mp4")
    assert not list(tmp_path.glob("*proxy*"))


def test_a_digest_of_nothing_is_refused(tmp_path: Path) -> None:
    with pytest.raises(Unusable, match="There is no file"):
        sha256_of(tmp_path / "absent")


def test_a_digest_is_that_of_the_bytes(tmp_path: Path) -> None:
    (tmp_path / "abc").write_bytes(b"abc")
    # FIPS 180-4, first example of SHA-256.
    assert sha256_of(tmp_path / "abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


def test_no_sound_is_a_note(tmp_path: Path) -> None:
    path = write_clip(tmp_path / "mute.mp4", sound=None, pictures="libx264")
    with open_recording(path) as recording:
        facts = recording.facts()
        assert list(recording.play(pictures=False)) == []
    assert facts.streams == ("video",)
    assert facts.notes == ("no sound",)
    assert waveform_peaks(path) == []


def test_no_pictures_is_a_note(tmp_path: Path) -> None:
    path = write_clip(tmp_path / "voice.m4a", kind="ipod")
    with open_recording(path) as recording:
        facts = recording.facts()
        assert list(recording.play(sound=False)) == []
    assert (facts.streams, facts.frames_per_s, facts.notes) == (("audio",), None, ("no pictures",))
    assert facts.duration_s == pytest.approx(4, abs=0.03)


def test_a_cover_picture_is_not_a_moving_picture(tmp_path: Path) -> None:
    path = tmp_path / "song.mp3"
    with av.open(path, "w", format="mp3") as file:
        ear = file.add_stream("libmp3lame", rate=48_000, layout="mono")
        cover = file.add_stream("png")
        cover.width, cover.height, cover.pix_fmt = 64, 48, "rgb24"
        cover.disposition = av.stream.Disposition.attached_pic
        frame = av.VideoFrame.from_ndarray(np.zeros((48, 64, 3), np.uint8), format="rgb24")
        file.mux(cover.encode(frame))
        file.mux(cover.encode(None))
        sound = av.AudioFrame.from_ndarray(np.zeros((1, 96_000), np.float32), format="fltp", layout="mono")
        sound.rate = 48_000
        file.mux(ear.encode(sound))
        file.mux(ear.encode(None))
    with open_recording(path) as recording:
        assert recording.report().streams == ("audio",)


def truncated(folder: Path, share: float) -> Path:
    """An mp4 with its index in front, cut off after a share of its bytes."""
    whole = write_clip(
        folder / "whole.mp4",
        pictures="libx264",
        frames=_grainy(120),
        stamps_ms=[round(1000 * i / 30) for i in range(120)],
        options={"movflags": "+faststart"},
    )
    data = whole.read_bytes()
    (folder / "cut.mp4").write_bytes(data[: round(share * len(data))])
    return folder / "cut.mp4"


def _grainy(count: int) -> list[np.ndarray[tuple[int, ...], np.dtype[np.uint8]]]:
    chance = np.random.default_rng(2)
    return [frame + chance.integers(0, 40, frame.shape, dtype=np.uint8) for frame in levels(count)]


def test_a_file_that_breaks_off_gives_what_it_has_and_says_so(tmp_path: Path) -> None:
    path = truncated(tmp_path, 0.6)
    report = report_of(path)
    early = [note for note in report.notes if note.startswith("the file ends early")]
    assert len(early) == 1
    assert early[0].endswith("s of 4.0 s could be read")
    assert 1.0 < report.duration_s < 3.5
    assert report.duration_s == pytest.approx(pictures_of(path)[-1].at.seconds, abs=0.3)
    assert np.abs(errors_ms(sound_of(path), [0.5, 1.2345])).max() < 0.1


def test_a_file_that_breaks_off_is_known_without_decoding(tmp_path: Path) -> None:
    with open_recording(truncated(tmp_path, 0.6)) as recording:
        assert any(note.startswith("the file ends early") for note in recording.facts().notes)


def test_a_file_cut_right_after_its_index_is_refused(tmp_path: Path) -> None:
    whole = truncated(tmp_path, 1.0)
    data = whole.read_bytes()
    cut = tmp_path / "headless.mp4"
    cut.write_bytes(data[: data.index(b"mdat") + 4])
    with (
        pytest.raises(Unusable, match=r"Nothing in headless\.mp4 can be decoded"),
        open_recording(cut) as recording,
    ):
        list(recording.play())


def test_a_wav_that_breaks_off_gives_what_it_has(tmp_path: Path) -> None:
    whole = write_clip(tmp_path / "whole.wav", kind="wav", sound="pcm_s16le")
    cut = tmp_path / "cut.wav"
    cut.write_bytes(whole.read_bytes()[:200_000])
    assert report_of(cut).duration_s == pytest.approx(200_000 / 96_000, abs=0.01)
    assert np.abs(errors_ms(sound_of(cut), [0.5, 1.2345])).max() < 0.1


def test_damaged_pieces_are_counted_and_the_rest_is_read(tmp_path: Path) -> None:
    path = truncated(tmp_path, 1.0)
    data = bytearray(path.read_bytes())
    start = data.index(b"mdat") + len(data) // 3
    data[start : start + 3000] = np.random.default_rng(3).bytes(3000)
    path.write_bytes(data)
    report = report_of(path)
    assert report.corrupt_pictures + report.corrupt_sound > 0
    assert any("damaged piece" in note for note in report.notes)
    assert np.abs(errors_ms(sound_of(path), [0.5, 3.3])).max() < 0.1


@pytest.mark.parametrize("seed", range(12))
def test_no_damage_whatever_leads_to_another_error(tmp_path: Path, seed: int) -> None:
    chance = np.random.default_rng(seed)
    kind, name = [("mp4", "a.mp4"), ("matroska", "a.mkv"), ("mp3", "a.mp3")][seed % 3]
    path = write_clip(
        tmp_path / name,
        kind=kind,
        sound="libmp3lame" if kind == "mp3" else "aac",
        pictures=None if kind == "mp3" else "libx264",
    )
    data = bytearray(path.read_bytes())
    for at in chance.integers(0, len(data), 40):
        data[at] = chance.integers(0, 256)
    path.write_bytes(data)
    with suppress(Unusable):
        report_of(path)


def test_slow_motion_that_the_phone_wrote_down_is_said(tmp_path: Path) -> None:
    path = write_clip(
        tmp_path / "slow.mp4",
        pictures="libx264",
        metadata={"com.android.capture.fps": "240"},
        options={"movflags": "use_metadata_tags"},
    )
    assert any(
        note.startswith("slow motion: taken at 240 pictures a second and played at 30, so times here are 8.0")
        for note in report_of(path).notes
    )


def test_sound_that_stops_before_the_pictures_is_said(tmp_path: Path) -> None:
    half = np.zeros(96_000, np.float32)
    path = write_clip(tmp_path / "half.mp4", pictures="libx264", samples=half)
    assert any(note == "the sound ends at 2.0 s of 4.0 s" for note in report_of(path).notes)
