"""Narrow tones, moment by moment: where one stands out of its surroundings, and how purely.

Conventions
-----------
Every 10 ms, from 21 ms of sound, up to three tones between 0.7 and 20 kHz. A tone is a peak of the spectrum
that stands over the mean level (in dB) of the 2.2 kHz around it. What is kept of each is one line of seven
numbers, about 8 kB for each second of sound.
"""

from functools import cache

import numpy as np
from numpy.typing import NDArray

from nares.measure.sound.stream import LEAD, RATE_HZ, STRETCH_S, Stretch

HOP = 480
HOP_S = 0.01
WINDOW = 1024
BIN_HZ = RATE_HZ / WINDOW
LOW_BIN, HIGH_BIN = int(700 / BIN_HZ), int(20_000 / BIN_HZ)
MOST = 3
AROUND = 24
"""Bins either side that a tone is held against."""
NEAR = 12
APART = 6
STANDS_DB = 9.0
QUIET = 1e-12

HZ, LEVEL, STANDS, PURE, HALF, THIRD, DOUBLE = range(7)
"""Columns: pitch [Hz]; level [dB]; over its surroundings [dB]; share of the power within 560 Hz; level at
half, at a third and at twice its pitch, relative to its own [dB]."""

Tones = NDArray[np.float32]


def tones(stretch: Stretch) -> Tones:
    """The tones of a stretch, shape (200, 3, 7); a place without a tone has 0 Hz."""
    from scipy.fft import rfft

    starts = LEAD + HOP // 2 - WINDOW // 2 + HOP * np.arange(STRETCH_S * RATE_HZ // HOP)
    spectrum = rfft(stretch.sound[starts[:, None] + np.arange(WINDOW)] * _window(), axis=1)
    power = spectrum.real**2 + spectrum.imag**2
    db = 10.0 * np.log10(power[:, : HIGH_BIN + AROUND + 2] + np.float32(QUIET))
    stands = _stands(db)
    heaped = np.zeros((power.shape[0], power.shape[1] + 1))
    np.cumsum(power, axis=1, out=heaped[:, 1:])
    found = np.zeros((power.shape[0], MOST, 7), dtype=np.float32)
    for place in range(MOST):
        peak = np.argmax(stands, axis=1) + LOW_BIN
        found[:, place] = _described(db, stands, heaped, peak)
        reach = np.clip(peak[:, None] - LOW_BIN + np.arange(-APART, APART + 1), 0, stands.shape[1] - 1)
        np.put_along_axis(stands, reach, -99.0, axis=1)
    return found


def _stands(db: Tones) -> Tones:
    """How far each peak from 0.7 to 20 kHz stands over its surroundings; -99 where there is no peak."""
    total = np.zeros((db.shape[0], db.shape[1] + 1), dtype=np.float64)
    np.cumsum(db, axis=1, out=total[:, 1:])
    bins = np.arange(LOW_BIN, HIGH_BIN)
    low, high = np.maximum(bins - AROUND, 2), bins + AROUND + 1
    mean = (total[:, high] - total[:, low]) / (high - low)
    here = db[:, LOW_BIN:HIGH_BIN]
    peak = (here >= db[:, LOW_BIN - 1 : HIGH_BIN - 1]) & (here > db[:, LOW_BIN + 1 : HIGH_BIN + 1])
    return np.where(peak, here - mean, -99.0).astype(np.float32)


def _described(db: Tones, stands: Tones, heaped: NDArray[np.float64], peak: NDArray[np.intp]) -> Tones:
    rows = np.arange(db.shape[0])
    over = stands[rows, peak - LOW_BIN]
    left, mid, right = (db[rows, peak + k].astype(np.float64) for k in (-1, 0, 1))
    bend = np.minimum(left - 2 * mid + right, -1e-3)
    hz = (peak + np.clip(0.5 * (left - right) / bend, -0.5, 0.5)) * BIN_HZ

    def within(centre: NDArray[np.intp], reach: int) -> NDArray[np.float64]:
        top = heaped.shape[1] - 1
        low, high = np.clip(centre - reach, 0, top), np.minimum(centre + reach + 1, top)
        return np.asarray(heaped[rows, high] - heaped[rows, low])

    tone = within(peak, 3) + QUIET
    level = 10.0 * np.log10(tone)
    others = [within(np.rint(peak * share).astype(np.intp), 2) for share in (0.5, 1 / 3, 2.0)]
    beside = [np.clip(10.0 * np.log10(other + QUIET) - level, -60.0, 20.0) for other in others]
    line = np.column_stack([hz, level, over, tone / (within(peak, NEAR) + QUIET), *beside])
    line[over < STANDS_DB] = 0.0
    return line.astype(np.float32)


@cache
def _window() -> NDArray[np.float32]:
    window = 0.5 - 0.5 * np.cos(2 * np.pi * (np.arange(WINDOW) + 0.5) / WINDOW)
    return np.asarray(window / np.sqrt(np.sum(window**2) * WINDOW / 2), dtype=np.float32)
