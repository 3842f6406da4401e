"""Kept recordings for a browser: a file it can play, and the sound's outline for drawing."""

from pathlib import Path
from typing import Any

import msgspec

from nares.app.desk import Desk
from nares.app.files import write_whole
from nares.app.recordings import recording_path
from nares.media import make_proxy, plays_in_browser, waveform_peaks

PEAKS_PER_S = 100
"""Outline points a second: finer than a pixel at any zoom the page offers. [1/s]"""


def media_file(desk: Desk, sha256: str) -> tuple[Path, str]:
    """The recording a browser can play: the original where it can, else a copy made once.

    Raises:
        Unknown: If no such recording is kept.
    """
    original = recording_path(desk, sha256)
    kept = desk.store.recording(sha256)
    assert kept is not None  # recording_path has looked
    if plays_in_browser(original):
        # Browsers play these files but not under the name that phones give them.
        return original, "video/mp4" if kept.media_type == "video/quicktime" else kept.media_type
    copy = desk.data / "copies" / f"{sha256}.mp4"
    if not copy.exists():
        copy.parent.mkdir(parents=True, exist_ok=True)
        make_proxy(original, copy)
    return copy, "video/mp4"


def waveform(desk: Desk, sha256: str) -> dict[str, Any]:
    """The sound's outline: ``{"rate_hz": points a second, "peaks": [0..1, …]}``; computed once, then kept."""
    kept = desk.data / "copies" / f"{sha256}.peaks.json"
    if not kept.exists():
        peaks = [
            round(peak, 3) for peak in waveform_peaks(recording_path(desk, sha256), per_second=PEAKS_PER_S)
        ]
        text = msgspec.json.encode({"rate_hz": PEAKS_PER_S, "peaks": peaks})
        write_whole(kept, lambda partial: _fill(partial, text))
    outline: dict[str, Any] = msgspec.json.decode(kept.read_bytes())
    return outline


def _fill(partial: Path, text: bytes) -> None:
    partial.write_bytes(text)
