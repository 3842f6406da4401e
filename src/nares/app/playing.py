"""Kept recordings for a browser: a file it can play, and the sound's outline for drawing."""

from functools import partial
from pathlib import Path
from typing import Any

import msgspec

from nares.app.desk import Desk
from nares.app.files import write_whole
from nares.app.recordings import parts_of, recording_path
from nares.base.errors import Unknown
from nares.media import Joined, Recording, make_proxy, open_parts, plays_in_browser, waveform_peaks
from nares.media.spectrogram import COLUMNS_PER_S, TILE_S, TOP_HZ, spectrogram_of

PEAKS_PER_S = 200
"""Outline points a second: fine enough to see where a click begins. [1/s]"""


def media_file(desk: Desk, sha256: str) -> tuple[Path, str]:
    """The recording a browser can play: the original where it can, else a copy made once.

    A session in parts plays as one copy of all of them, under the first one's digest, on the reading's clock.

    Raises:
        Unknown: If no such recording is kept.
    """
    original = recording_path(desk, sha256)
    kept = desk.store.recording(sha256)
    assert kept is not None  # recording_path has looked
    parts = parts_of(desk, sha256)
    if parts is not None:
        return _copied(desk, f"{sha256}.joined.mp4", open_parts(*parts)), "video/mp4"
    if plays_in_browser(original):
        # Browsers play these files but not under the name that phones give them.
        return original, "video/mp4" if kept.media_type == "video/quicktime" else kept.media_type
    return _copied(desk, f"{sha256}.mp4", original), "video/mp4"


def _copied(desk: Desk, name: str, recording: Path | Recording | Joined) -> Path:
    copy = desk.data / "copies" / name
    if not copy.exists():
        copy.parent.mkdir(parents=True, exist_ok=True)
        make_proxy(recording, copy)
    return copy


def waveform(desk: Desk, sha256: str) -> dict[str, Any]:
    """The sound's outline: ``{"rate_hz": points a second, "peaks": [0..1, …]}``; computed once, then kept."""
    kept = desk.data / "copies" / f"{sha256}.peaks.json"
    if not kept.exists():
        parts = parts_of(desk, sha256)
        recording = recording_path(desk, sha256) if parts is None else open_parts(*parts)
        peaks = [round(peak, 3) for peak in waveform_peaks(recording, per_second=PEAKS_PER_S)]
        text = msgspec.json.encode({"rate_hz": PEAKS_PER_S, "peaks": peaks})
        write_whole(kept, lambda partial: _fill(partial, text))
    outline: dict[str, Any] = msgspec.json.decode(kept.read_bytes())
    return outline


def spectrogram(desk: Desk, sha256: str) -> dict[str, Any]:
    """What the pictures of the sound's pitches are: how many tiles, how long each, up to which pitch.

    Raises:
        Unknown: If no such recording is kept.
    """
    tiles = len(_tiles(desk, sha256))
    return {"tiles": tiles, "tile_s": TILE_S, "columns_per_s": COLUMNS_PER_S, "top_hz": TOP_HZ}


def spectrogram_tile(desk: Desk, sha256: str, number: int) -> bytes:
    """One picture of the sound's pitches, a PNG; computed once for all tiles, then kept.

    Raises:
        Unknown: If no such recording is kept, or it is shorter.
    """
    tiles = _tiles(desk, sha256)
    if not 0 <= number < len(tiles):
        raise Unknown(f"The sound of {sha256[:12]}… has {len(tiles)} pictures, none of number {number}.")
    return tiles[number].read_bytes()


def _tiles(desk: Desk, sha256: str) -> list[Path]:
    folder = desk.data / "copies" / f"{sha256}.spectrogram"
    if not (folder / "whole").exists():
        drawn = spectrogram_of(recording_path(desk, sha256)).tiles()
        for number, picture in enumerate(drawn):
            write_whole(folder / f"{number:04d}.png", partial(_fill, text=picture))
        # Written last: whoever finds it finds every tile.
        write_whole(folder / "whole", partial(_fill, text=b""))
    return sorted(folder.glob("*.png"))


def _fill(to: Path, text: bytes) -> None:
    to.write_bytes(text)
