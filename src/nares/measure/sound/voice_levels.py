"""How loud a voice is in each band, every ten milliseconds.

Conventions
-----------
24 bands of equal width on the mel scale from 90 Hz to 7.6 kHz, power in dB against full scale, from 27 ms of
sound around the middle of each 10 ms step. Half precision: 4.8 kB for each second is all that is kept.
"""

from functools import cache

import numpy as np
from numpy.typing import NDArray

from nares.measure.sound.stream import LEAD, RATE_HZ, STRETCH_S, Stretch

HOP_S = 0.01
HOP = 480
WINDOW = 1280
SIZE = 1536
BANDS = 24
LOW_HZ, HIGH_HZ = 90.0, 7600.0
FRAMES = STRETCH_S * RATE_HZ // HOP
QUIET = 1e-11

Levels = NDArray[np.float16]


def voice_levels(stretch: Stretch) -> Levels:
    """Band levels of a stretch, dB, shape (200, 24)."""
    from scipy.fft import rfft

    starts = LEAD + HOP // 2 - WINDOW // 2 + HOP * np.arange(FRAMES)
    pieces = stretch.sound[starts[:, None] + np.arange(WINDOW)] * _window()
    spectrum = rfft(pieces, SIZE, axis=1)[:, : _bank().shape[0]]
    power = (spectrum.real**2 + spectrum.imag**2) @ _bank()
    return np.asarray(10.0 * np.log10(power + QUIET), dtype=np.float16)


def join_levels(parts: list[Levels]) -> Levels:
    """Levels of consecutive stretches as one table."""
    return np.concatenate(parts) if parts else np.zeros((0, BANDS), dtype=np.float16)


@cache
def _window() -> NDArray[np.float32]:
    window = 0.5 - 0.5 * np.cos(2 * np.pi * (np.arange(WINDOW) + 0.5) / WINDOW)
    return np.asarray(window / np.sqrt(np.sum(window**2) * SIZE / 2), dtype=np.float32)


@cache
def _bank() -> NDArray[np.float32]:
    """Triangles on the mel scale (O'Shaughnessy's formula, from memory), shape (bins, 24)."""
    low, high = (float(2595.0 * np.log10(1.0 + hz / 700.0)) for hz in (LOW_HZ, HIGH_HZ))
    mel = np.linspace(low, high, BANDS + 2)
    edges = 700.0 * (10 ** (mel / 2595.0) - 1.0)
    hz = np.arange(int(HIGH_HZ * SIZE / RATE_HZ) + 2) * RATE_HZ / SIZE
    rise = (hz[:, None] - edges[None, :-2]) / np.diff(edges)[:-1]
    fall = (edges[None, 2:] - hz[:, None]) / np.diff(edges)[1:]
    return np.asarray(np.clip(np.minimum(rise, fall), 0.0, None), dtype=np.float32)
