"""Puffs: short swellings of rushing noise that may be air drawn in or let out.

Conventions
-----------
Everything is on frames of 5 ms (`nares.measure.sound.bands`). *Excess* is the level of a group of bands over
a floor that follows the quietest tenth of the 20 s around. Marks are blanked: the frames a click and its
echo cover are bridged from their edges.
"""

from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from nares.measure.sound.bands import HOP_S

Rows = NDArray[np.floating[Any]]
"""Single precision where a whole recording is held, double elsewhere."""
Indices = NDArray[np.intp]

GROUPS = ((0, 4), (4, 6), (6, 8), (8, 10), (10, 12), (12, 14))
"""Bands of the six groups: 0.2, 0.65, 1.2, 2.1, 3.7, 6.7 to 12 kHz."""
RUSH = (8, 14)
"""Bands 2.1 to 12 kHz: where a puff is followed."""
BLANK_S = (0.012, 0.060)
"""Hidden before and after a snap. [s]"""
FLOOR_SHARE = 0.10
EDGE = 0.30
"""A puff begins and ends where its amplitude passes this share of its peak."""
SMOOTH = (np.hanning(7)[1:-1] / np.hanning(7)[1:-1].sum()).astype(np.float32)
LIGHT = np.array([0.25, 0.5, 0.25], dtype=np.float32)
FRAMES_A_SECOND = round(1 / HOP_S)


@dataclass(frozen=True, slots=True)
class Breathing:
    """The air of a session, frame by frame.

    ``excess_db``: shape (t, 6), the groups over their floor. ``rush_db``: shape (t,), smoothed level of
    2.1 to 12 kHz over its floor. ``amplitude``: shape (t,), of the smoothed net rush. ``voiced``: shape (t,).
    ``blanked``: shape (t,), true where a snap hid the sound. ``bands``: shape
    (t, 10), power of the bands from 0.65 kHz up over their floors, hardly smoothed.
    """

    excess_db: Rows
    rush_db: Rows
    amplitude: Rows
    voiced: Rows
    blanked: NDArray[np.bool_]
    bands: NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Puffs:
    """``peak``: frame of each puff's peak. ``start_s``, ``end_s``: its edges. All shape (n,)."""

    peak: Indices
    start_s: Rows
    end_s: Rows

    def __len__(self) -> int:
        return self.peak.size


def breathing(levels: NDArray[np.float16], snaps_s: Rows) -> Breathing:
    """Prepare band levels, shape (t, 15), for finding puffs; the snaps given are blanked."""
    bands = levels[:, :14].astype(np.float32)
    blanked = _bridge(bands, snaps_s)
    rush = range(*RUSH)
    powers = np.stack(
        [_power(bands[:, a:b]) for a, b in GROUPS] + [_power(bands[:, k : k + 1]) for k in rush], axis=1
    )
    smooth = np.stack([np.convolve(column, SMOOTH, "same") for column in powers.T], axis=1)
    ratio = smooth / _floor(smooth)
    # Each band against its own floor: air drawn in is bright, and the bright bands are the quiet ones.
    risen = ratio[:, len(GROUPS) :].mean(axis=1)
    return Breathing(
        10 * np.log10(ratio[:, : len(GROUPS)] + 1e-3),
        10 * np.log10(risen + 1e-3),
        np.sqrt(np.clip(risen - 1.2, 0.0, None)),
        levels[:, 14].astype(np.float64),
        blanked,
        _over_floors(bands),
    )


def find_puffs(air: Breathing) -> Puffs:
    """Every swelling of the rush that stands out by 1.2 dB or more."""
    from scipy.signal import find_peaks

    peaks, _ = find_peaks(air.rush_db, height=1.5, prominence=1.2, distance=9)
    if not peaks.size:
        return Puffs(peaks, np.zeros(0), np.zeros(0))
    valleys = _valleys(air.rush_db, peaks)
    start = [
        edge_frame(air.amplitude, int(k), int(v), EDGE) for k, v in zip(peaks, valleys[:-1], strict=True)
    ]
    end = [edge_frame(air.amplitude, int(k), int(v), EDGE) for k, v in zip(peaks, valleys[1:], strict=True)]
    return Puffs(peaks, (np.array(start) + 0.5) * HOP_S, (np.array(end) + 0.5) * HOP_S)


def _over_floors(bands: Rows) -> NDArray[np.float32]:
    power = 10.0 ** (bands[:, 4:] / 10.0)
    smooth = np.stack([np.convolve(column, LIGHT, "same") for column in power.T], axis=1)
    return (smooth / _floor(smooth)).astype(np.float32)


def _power(db: Rows) -> Rows:
    return np.asarray((10.0 ** (db / 10.0)).sum(axis=1))


def _bridge(bands: Rows, snaps_s: Rows) -> NDArray[np.bool_]:
    """Draw straight lines over the frames that snaps hide; say which those were."""
    blanked = np.zeros(bands.shape[0], dtype=bool)
    for at_s in snaps_s:
        first, last = int((at_s - BLANK_S[0]) / HOP_S), int((at_s + BLANK_S[1]) / HOP_S) + 1
        blanked[max(first, 0) : max(last, 0)] = True
    if blanked.any() and not blanked.all():
        seen = np.flatnonzero(~blanked)
        hidden = np.flatnonzero(blanked)
        for band in range(bands.shape[1]):
            bands[hidden, band] = np.interp(hidden, seen, bands[seen, band])
    return blanked


def _floor(power: Rows) -> Rows:
    """Running low level of each column: the quietest tenth of the 20 s around, shape as given."""
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


def _valleys(rush_db: Rows, peaks: Indices) -> Indices:
    """The lowest frame between neighbouring peaks, within 0.25 s of each, shape (n + 1,)."""
    bounds = np.concatenate([[max(peaks[0] - 50, 0)], peaks, [min(peaks[-1] + 50, rush_db.size - 1)]])
    return np.array(
        [a + int(np.argmin(rush_db[a : b + 1])) for a, b in pairwise(bounds)],
        dtype=np.intp,
    )


def edge_frame(amplitude: Rows, peak: int, valley: int, share: float) -> float:
    """Where an amplitude first falls below a share of its peak on the way to a valley, in frames."""
    step = 1 if valley > peak else -1
    limit = share * amplitude[peak]
    way = amplitude[peak : valley + step if valley + step >= 0 else None : step]
    below = np.flatnonzero(way < limit)
    if not below.size:
        return float(valley)
    k = int(below[0])
    part = (way[k - 1] - limit) / max(way[k - 1] - way[k], 1e-15) if k else 0.0
    return float(peak + step * (k - 1 + part))
