"""Which pitches a recording's sound holds, as small pictures for a timeline.

Conventions
-----------
Levels are dB of power in a Hann window of `WINDOW` samples every `HOP` samples, from 0 to `TOP_HZ` in `ROWS`
rows, the highest pitch first. A picture holds levels as opacity, 0 at the recording's own background and
255 at `RANGE_DB` above it, so that a page draws it in the ink of its theme. Tiles hold `TILE_S` each.

Sources:
    PNG, third edition (W3C), clauses 5.3 and 11.2: chunks, grey with alpha.
"""

import struct
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from nares.measure.inputs import SoundBlock
from nares.media.recording import open_recording
from nares.media.sound import RATE_HZ

WINDOW = 1024
HOP = 480
TOP_HZ = 12_000
ROWS = 96
TILE_S = 60
COLUMNS_PER_S = RATE_HZ // HOP
RANGE_DB = 45.0
BACKGROUND = 0.4
"""Share of a row's levels that lie under its background: a session is mostly pauses. [-]"""
FLOOR_DB = -110.0

Levels = NDArray[np.float32]
_BINS = TOP_HZ * WINDOW // RATE_HZ
_TAPER = np.hanning(WINDOW).astype(np.float32)


@dataclass(frozen=True, slots=True)
class Spectrogram:
    """Levels over the whole recording, shape (columns, ROWS), lowest pitch first. [dB]"""

    levels_db: Levels

    def tiles(self) -> Iterator[bytes]:
        """One PNG for each `TILE_S`, in time order."""
        background = np.quantile(self.levels_db, BACKGROUND, axis=0) if len(self.levels_db) else 0.0
        shown = np.clip((self.levels_db - background) * (255 / RANGE_DB), 0, 255).astype(np.uint8)
        for first in range(0, len(shown), TILE_S * COLUMNS_PER_S):
            yield png_of(shown[first : first + TILE_S * COLUMNS_PER_S].T[::-1])


def spectrogram_of(path: Path) -> Spectrogram:
    """Read the sound once; no columns where there is none.

    Raises:
        Unusable: If the recording cannot be read.
    """
    rows: list[Levels] = []
    with open_recording(path) as recording:
        if recording.header.audio is not None:
            rows.extend(_columns(recording.play(pictures=False)))
    return Spectrogram(np.concatenate(rows) if rows else np.zeros((0, ROWS), np.float32))


def _columns(pieces: Iterator[object]) -> Iterator[Levels]:
    """Levels of one stretch after another; a gap is silence, a column lies at the middle of its window."""
    held = np.zeros(WINDOW // 2, np.float32)
    first = -(WINDOW // 2)
    for piece in pieces:
        if not isinstance(piece, SoundBlock):
            continue
        gap = max(piece.first - (first + len(held)), 0)
        held = np.concatenate([held, np.zeros(gap, np.float32), piece.samples.astype(np.float32)])
        whole = (len(held) - WINDOW) // HOP + 1
        if whole > 0:
            yield levels_of(held[: (whole - 1) * HOP + WINDOW])
            held, first = held[whole * HOP :], first + whole * HOP
    if len(held) > WINDOW // 2:
        yield levels_of(np.concatenate([held, np.zeros(WINDOW, np.float32)])[: len(held) + WINDOW // 2])


def levels_of(samples: NDArray[np.float32]) -> Levels:
    """Levels of samples at 48 kHz, a column for every whole window, shape (columns, ROWS). [dB]"""
    windows = np.lib.stride_tricks.sliding_window_view(samples, WINDOW)[::HOP]
    power = np.abs(np.fft.rfft(windows * _TAPER, axis=1)[:, :_BINS]) ** 2 / np.sum(_TAPER) ** 2 * 4
    rows = np.add.reduceat(power, np.arange(ROWS) * _BINS // ROWS, axis=1)
    levels: Levels = np.maximum(10 * np.log10(rows + 1e-20), FLOOR_DB).astype(np.float32)
    return levels


def png_of(opacity: NDArray[np.uint8]) -> bytes:
    """A PNG of black with this opacity, shape (height, width)."""
    high, wide = opacity.shape
    lines = np.zeros((high, 1 + 2 * wide), np.uint8)  # each line begins with its filter: none
    lines[:, 2::2] = opacity
    head = struct.pack(">IIBBBBB", wide, high, 8, 4, 0, 0, 0)
    body = zlib.compress(lines.tobytes(), 6)
    return b"\x89PNG\r\n\x1a\n" + _chunk(b"IHDR", head) + _chunk(b"IDAT", body) + _chunk(b"IEND", b"")


def _chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
