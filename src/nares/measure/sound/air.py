"""The air of a session: how far each band stands above its own floor, frame by frame.

Conventions
-----------
Frames of 5 ms, 14 bands from 200 Hz to 12 kHz (`nares.measure.sound.bands`). The *floor* of a band follows
the quietest tenth of the 20 s around, so that a steady background, whatever its colour, is flat.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from nares.measure.sound.bands import HOP_S, Frames

Rows = NDArray[np.floating[Any]]
Seen = NDArray[np.float32]

FRAMES_A_SECOND = round(1 / HOP_S)
BANDS = 14
HEARD = slice(6, 12)
"""Bands from 1.2 to 6.7 kHz: where the level of breath is measured."""
FLOOR_SHARE = 0.10
LEAST_DB, MOST_DB = -6.0, 45.0
SMOOTH = 5
"""Frames over which a band is smoothed before its floor is taken."""


def excess(levels: Frames) -> Seen:
    """Levels over the floor in tens of decibels, and voicing, shape (t, 15) to (t, 15)."""
    seen = levels.astype(np.float32)
    over_db = np.clip(seen[:, :BANDS] - floor_db(seen[:, :BANDS]), LEAST_DB, MOST_DB)
    return np.concatenate([over_db / np.float32(10.0), seen[:, BANDS:]], axis=1)


def floor_db(levels_db: Seen) -> Seen:
    """Running low level of each band: the quietest tenth of the 20 s around, shape as given. [dB]"""
    power = 10.0 ** (levels_db / 10.0)
    even = np.full(SMOOTH, 1.0 / SMOOTH, dtype=np.float32)
    smooth = np.stack([np.convolve(column, even, "same") for column in power.T], axis=1)
    return np.asarray(10.0 * np.log10(_floor(smooth)), dtype=np.float32)


def breath_power(levels: Frames) -> Rows:
    """Power between 1.2 and 6.7 kHz of each frame, shape (t, 15) to (t,)."""
    return np.asarray((10.0 ** (levels[:, HEARD].astype(np.float64) / 10.0)).sum(axis=1))


def _floor(power: Rows) -> Rows:
    frames, columns = power.shape
    blocks = max(1, -(-frames // FRAMES_A_SECOND))
    padded = np.pad(power, ((0, blocks * FRAMES_A_SECOND - frames), (0, 0)), mode="edge")
    # Twenty ordered values stand for the 200 frames of a second.
    ordered = np.sort(padded.reshape(blocks, FRAMES_A_SECOND, columns), axis=1)[:, 5::10]
    low = np.empty((blocks, columns))
    for block in range(blocks):
        around = ordered[max(block - 10, 0) : block + 11].reshape(-1, columns)
        alive = around[around[:, -1] > 1e-10]  # digital silence is no floor
        low[block] = np.quantile(alive if alive.shape[0] >= 20 else around, FLOOR_SHARE, axis=0)
    middles = (np.arange(blocks) + 0.5) * FRAMES_A_SECOND
    at = np.arange(frames)
    return np.stack([np.interp(at, middles, column).astype(np.float32) for column in low.T], axis=1) + 1e-12
