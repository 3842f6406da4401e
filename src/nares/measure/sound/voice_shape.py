"""What a voice sounds like from moment to moment, whatever its loudness and the noise behind it.

Conventions
-----------
One row every 10 ms. The steady background is taken away in each band, the level is told relative to the
loudest moment nearby, and what is left becomes 12 cepstral numbers with their change over 50 ms: what is
said, rather than how loud. Each number is told in what it usually differs by between two sayings of one word.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from nares.measure.sound.voice_levels import BANDS, Levels

Rows = NDArray[np.float32]
Line = NDArray[np.float32]

CEPSTRA = 12
DEEP_DB = 36.0
"""What lies this far below the loudest moment nearby does not count. [dB]"""
NEARBY = 35
"""Frames either side in which the loudest moment is sought."""
FLOOR_WINDOW = 800
FLOOR_STEP = 100
FLOOR_SHARE = 0.1
SILENT_DB = -105.0
FLOOR_BIAS_DB = 2.5
"""The quietest tenth of steady noise lies this far below its mean. [dB]"""


@dataclass(frozen=True, slots=True)
class Shape:
    """What a recording sounds like, frame by frame.

    ``rows``: shape (n, 25). ``loud_db``: level above the background's, all bands, shape (n,). ``level_db``:
    level without the background, dB against full scale, shape (n,). ``risen_db``: the most any of three broad
    bands stands over its background, shape (n,).
    """

    rows: Rows
    loud_db: Line
    level_db: Line
    risen_db: Line

    def __len__(self) -> int:
        return self.level_db.size


def shape_of(levels: Levels) -> Shape:
    """What a recording's band levels sound like.

    Args:
        levels: dB, shape (n, 24), every 10 ms.
    """
    table = levels.astype(np.float32)
    if not table.shape[0]:
        nothing = np.zeros(0, dtype=np.float32)
        return Shape(np.zeros((0, 2 * CEPSTRA + 1), dtype=np.float32), nothing, nothing, nothing)
    power = 10.0 ** (table / 10.0)
    floor = 10.0 ** ((background_db(table) + FLOOR_BIAS_DB) / 10.0)
    clean = np.maximum(power - floor, 1e-3 * floor) * _emphasis()
    total = clean.sum(axis=1)
    level = 10.0 * np.log10(total)
    loud = level - 10.0 * np.log10((floor * _emphasis()).sum(axis=1))
    return Shape(_rows(clean, level), loud, level, _risen(power, floor))


def background_db(table: Rows) -> Rows:
    """The steady background in each band, dB, shape (n, 24): the quietest tenth of 8 s around."""
    table = _without_silence(table)
    count = table.shape[0]
    window = min(FLOOR_WINDOW, count)
    middles = np.arange(0, count + FLOOR_STEP, FLOOR_STEP)
    starts = np.clip(middles - window // 2, 0, count - window)
    low = np.stack([np.quantile(table[a : a + window], FLOOR_SHARE, axis=0) for a in starts])
    at = np.arange(count) / FLOOR_STEP
    left = at.astype(np.intp)
    part = (at - left)[:, None]
    return np.asarray(low[left] * (1 - part) + low[left + 1] * part, dtype=np.float32)


def _without_silence(table: Rows) -> Rows:
    """Frames of digital silence (holes, a gated microphone) say nothing of the background: filled in."""
    silent = table.max(axis=1) < SILENT_DB
    if not silent.any():
        return table
    if silent.all():
        return np.full_like(table, SILENT_DB)
    filled = table.copy()
    filled[silent] = np.quantile(table[~silent], FLOOR_SHARE, axis=0)
    return filled


def _rows(clean: Rows, level: Line) -> Rows:
    from scipy.ndimage import maximum_filter1d, uniform_filter1d

    top = maximum_filter1d(uniform_filter1d(level, 3), 2 * NEARBY + 1)[:, None]
    shown = 10.0 * np.log10(clean * 10.0 ** (-top / 10.0) + 10.0 ** (-(DEEP_DB + 10.0) / 10.0))
    height = np.maximum(level - top[:, 0], -DEEP_DB)[:, None]
    cepstra = np.concatenate([shown @ _cosines(), height], axis=1)
    padded = np.pad(cepstra[:, :CEPSTRA], ((3, 3), (0, 0)), mode="edge")
    n = cepstra.shape[0]
    change = (3 * (padded[6:] - padded[:n]) + 2 * (padded[5 : n + 5] - padded[1 : n + 1])
              + (padded[4 : n + 4] - padded[2 : n + 2])) / 6.0  # fmt: skip
    return np.asarray(np.concatenate([cepstra, change], axis=1) / _spreads(), dtype=np.float32)


def _risen(power: Rows, floor: Rows) -> Line:
    from scipy.ndimage import uniform_filter1d

    broad = np.add.reduceat(power, [0, 8, 16], axis=1) / np.add.reduceat(floor, [0, 8, 16], axis=1)
    return np.asarray(10.0 * np.log10(uniform_filter1d(broad, 3, axis=0).max(axis=1)), dtype=np.float32)


@cache
def _emphasis() -> Line:
    """Higher bands count more: a hiss is faint beside a vowel and says as much. 0 to 12 dB."""
    return np.asarray(10.0 ** (np.linspace(0.0, 12.0, BANDS) / 10.0), dtype=np.float32)


@cache
def _cosines() -> Rows:
    order, band = np.arange(1, CEPSTRA + 1)[None, :], np.arange(BANDS)[:, None]
    return np.asarray(np.cos(np.pi * order * (band + 0.5) / BANDS) / BANDS * 2, dtype=np.float32)


@cache
def _spreads() -> Line:
    """Usual differences between two utterances of one word: higher cepstra are smaller and vary less."""
    order = np.arange(1, CEPSTRA + 1)
    cepstra = 3.5 / (1.0 + order / 6.0)
    return np.concatenate([cepstra, [6.0], 2.2 * cepstra]).astype(np.float32)
