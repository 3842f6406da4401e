"""One pass: progress, repeated and broken-off passes, and memory that does not grow."""

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from tests.media.clips import levels, write_clip

from nares.media import open_recording

GROWTH_KIB = 5_000

PEAK = """
import sys
from pathlib import Path
from nares.media import open_recording
with open_recording(Path(sys.argv[1])) as recording:
    pieces = sum(1 for _ in recording.play())
    recording.facts()
status = Path("/proc/self/status").read_text()
print(pieces, status.partition("VmHWM:")[2].split()[0])
"""
"""The kernel's own high-water mark of this program: `getrusage` would pass on that of the test run."""


def long_clip(path: Path, length_s: int) -> Path:
    frames = levels(30 * length_s)
    return write_clip(
        path,
        sound="pcm_s16le",
        kind="mov",
        samples=np.zeros(48_000 * length_s, np.float32),
        pictures="mpeg4",
        frames=frames,
    )


def peak_of(path: Path) -> tuple[int, int]:
    """How many pieces a process of its own was given, and the most memory it held. [KiB]"""
    said = subprocess.run([sys.executable, "-c", PEAK, str(path)], capture_output=True, text=True, check=True)
    pieces, peak_kib = said.stdout.split()
    return int(pieces), int(peak_kib)


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="needs the kernel's account of memory")
def test_memory_does_not_grow_with_length(tmp_path: Path) -> None:
    # Sixty seconds kept whole would be 19 MB: 11.5 MB of sound and 1,800 pictures of 4.6 kB.
    short, short_kib = peak_of(long_clip(tmp_path / "short.mov", 6))
    long, long_kib = peak_of(long_clip(tmp_path / "long.mov", 60))
    assert long > 9 * short
    assert long_kib - short_kib < GROWTH_KIB


def test_progress_never_falls_and_ends_at_one(tmp_path: Path) -> None:
    told: list[float] = []
    with open_recording(write_clip(tmp_path / "a.mp4", pictures="libx264")) as recording:
        for _ in recording.play(progress=told.append):
            pass
    assert told == sorted(told)
    assert told[-1] == 1.0
    assert len(told) > 10
    assert all(0 <= share <= 1 for share in told)


def test_progress_does_not_fall_where_the_file_is_out_of_order(tmp_path: Path) -> None:
    from types import SimpleNamespace

    from nares.media.packets import Shares

    (tmp_path / "file").write_bytes(bytes(100))
    told: list[float] = []
    shares = Shares(tmp_path / "file", told.append)
    for pos in (10, 50, 20, None, 60, 400):
        shares.at(SimpleNamespace(pos=pos))
    assert told == [0.1, 0.5, 0.6, 1.0]


def test_sound_and_pictures_come_about_together(tmp_path: Path) -> None:
    from nares.measure.inputs import SoundBlock

    heard_s = seen_s = apart_s = 0.0
    with open_recording(write_clip(tmp_path / "a.mp4", pictures="libx264")) as recording:
        for piece in recording.play():
            if isinstance(piece, SoundBlock):
                heard_s = piece.first / piece.rate_hz
            else:
                seen_s = piece.at.seconds
            if 0.7 < min(heard_s, seen_s):
                apart_s = max(apart_s, abs(heard_s - seen_s))
    assert apart_s < 1.5


def test_a_recording_can_be_played_again_and_broken_off(tmp_path: Path) -> None:
    with open_recording(write_clip(tmp_path / "a.mp4", pictures="libx264")) as recording:
        playing = recording.play()
        next(playing)
        recording.close()
        assert list(playing) == []
        assert len(list(recording.play(sound=False))) == 120


def test_a_report_is_the_same_before_and_after_a_pass(tmp_path: Path) -> None:
    with open_recording(write_clip(tmp_path / "a.mp4", pictures="libx264")) as recording:
        before = recording.report()
        for _ in recording.play():
            pass
        assert recording.report() == before


def test_opening_the_package_does_not_load_the_decoder() -> None:
    code = "import sys, nares.media; print('av' in sys.modules)"
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert said.stdout.strip() == "False"


@pytest.mark.shared
@pytest.mark.parametrize(("name", "pictures", "per_s"), [("c1", 2700, 30), ("c3", 1500, 25)])
def test_the_shared_recordings_are_read_whole(shared: Path, name: str, pictures: int, per_s: int) -> None:
    with open_recording(shared / "recordings" / f"{name}.mp4") as recording:
        assert sum(1 for _ in recording.play(sound=False)) == pictures
        facts = recording.facts()
    assert facts.frames_per_s == per_s
    assert facts.notes == ()


@pytest.mark.shared
@pytest.mark.parametrize("name", ["c1", "c3"])
def test_the_snaps_of_the_shared_recordings_lie_at_their_true_times(shared: Path, name: str) -> None:
    import json

    from scipy.signal import butter, sosfiltfilt
    from tests.media.clips import sound_of

    truth = json.loads((shared / "recordings" / f"{name}.truth.json").read_text())
    high = butter(4, 2500, "high", fs=48_000, output="sos")
    loud = np.abs(sosfiltfilt(high, sound_of(shared / "recordings" / f"{name}.mp4")))
    for mark_s in truth["mark_s"]:
        window = loud[round((mark_s - 0.02) * 48_000) :][:1920]
        rise_s = np.argmax(window > 0.4 * window.max()) / 48_000 - 0.02
        assert abs(rise_s) < 0.001


def test_a_frame_is_let_go_of_once_its_picture_is_made(tmp_path: Path) -> None:
    # A frame that refers to itself is freed only now and then: hundreds of megabytes at a phone's size.
    import gc

    import av

    path = write_clip(tmp_path / "a.mp4", sound=None, pictures="libx264")
    gc.collect()
    gc.disable()
    try:
        with open_recording(path) as recording:
            shown = sum(1 for _ in recording.play())
        held = sum(issubclass(type(one), av.VideoFrame) for one in gc.get_objects())
    finally:
        gc.enable()
    assert shown == 120
    assert held < 10
