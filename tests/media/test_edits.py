"""Slow motion that an edit list asks for is said; what is no edit list is passed over."""

from pathlib import Path

import pytest
from tests.media.clips import PULSES_S, errors_ms, patch_box, report_of, sound_of, write_clip

from nares.media.edits import edit_rates

RATE_AT = 8 + 8
"""Bytes from the name of a version 0 edit list to the rate of its first entry."""


def fixed(rate: float) -> bytes:
    return round(rate * 65_536).to_bytes(4, "big", signed=True)


@pytest.mark.parametrize("name", ["a.mp4", "a.mov"])
def test_an_ordinary_recording_asks_for_no_other_speed(tmp_path: Path, name: str) -> None:
    path = write_clip(tmp_path / name, kind=name[2:], pictures="libx264")
    assert edit_rates(path) == ()
    assert report_of(path).notes == ()


def test_a_slow_edit_is_said_and_times_stay_those_of_the_file(tmp_path: Path) -> None:
    path = write_clip(tmp_path / "a.mp4", pictures="libx264")
    patch_box(path, b"elst", RATE_AT, fixed(0.25))
    assert edit_rates(path) == (0.25,)
    assert any(
        note.startswith("slow motion: the file asks to be played in places at 0.25")
        for note in report_of(path).notes
    )
    assert abs(errors_ms(sound_of(path), PULSES_S)).max() < 0.1


@pytest.mark.parametrize("held", [0.0, 1.0])
def test_a_held_picture_is_no_slow_motion(tmp_path: Path, held: float) -> None:
    path = write_clip(tmp_path / "a.mp4", pictures="libx264")
    patch_box(path, b"elst", RATE_AT, fixed(held))
    assert edit_rates(path) == ()


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"\x00\x00\x00",
        b"moov",
        b"\x00\x00\x00\x04moov",
        b"\xff\xff\xff\xffmoovtrak",
        b"RIFF\x00\x00\x00\x00WAVE",
    ],
)
def test_what_is_not_built_of_boxes_has_no_edit_list(tmp_path: Path, body: bytes) -> None:
    (tmp_path / "a.mp4").write_bytes(body)
    assert edit_rates(tmp_path / "a.mp4") == ()


def test_the_long_form_is_read_too(tmp_path: Path) -> None:
    entry = (600).to_bytes(8, "big") + (0).to_bytes(8, "big") + fixed(0.5)
    elst = b"elst" + b"\x01\x00\x00\x00" + (2).to_bytes(4, "big") + entry + entry[:16] + fixed(2)
    boxes = elst
    for name in (b"edts", b"trak", b"moov"):
        boxes = name + (len(boxes) + 4).to_bytes(4, "big") + boxes
    wide = b"\x00\x00\x00\x01mdat" + (20).to_bytes(8, "big") + b"abcd"
    (tmp_path / "a.mp4").write_bytes(wide + (len(boxes) + 4).to_bytes(4, "big") + boxes)
    assert edit_rates(tmp_path / "a.mp4") == (0.5, 2.0)
