"""How loud each band of the sound is, and how voiced it is, every five milliseconds.

Conventions
-----------
14 bands from 200 Hz to 12 kHz, power in dB against full scale, half precision: 6 kB for each second of
sound is all that is kept. ``voiced`` runs from 0 (noise) to 1 (a clear pitch of 80 to 400 Hz).
"""

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from nares.measure.sound.stream import LEAD, RATE_HZ, STRETCH_S, Stretch

HOP_S = 0.005
HOP = 240
WINDOW = 512
BAND_EDGES_HZ = np.geomspace(200.0, 12_000.0, 15)
FRAMES = STRETCH_S * RATE_HZ // HOP
QUIET = 1e-11
THIN = 8

Frames = NDArray[np.float16]


def band_levels(stretch: Stretch) -> Frames:
    """Band levels and voicing of a stretch, shape (400, 15): 14 bands in dB, then voicing."""
    from scipy.fft import rfft

    first = LEAD + HOP // 2 - WINDOW // 2
    starts = first + HOP * np.arange(FRAMES)
    pieces = stretch.sound[starts[:, None] + np.arange(WINDOW)] * _window(WINDOW)
    spectrum = rfft(pieces, axis=1)
    power = (spectrum.real**2 + spectrum.imag**2) / (WINDOW * WINDOW / 8)
    edges = np.round(BAND_EDGES_HZ / (RATE_HZ / WINDOW)).astype(int)
    levels = 10.0 * np.log10(np.add.reduceat(power, edges, axis=1)[:, :-1] + QUIET)
    return np.concatenate([levels, voicing(stretch)[:, None]], axis=1).astype(np.float16)


def voicing(stretch: Stretch) -> NDArray[np.float64]:
    """Highest self-similarity of 43 ms of sound at 80 to 400 Hz, shape (400,), 0 to 1."""
    from scipy.fft import irfft, rfft

    spare = LEAD - 1600
    low = thinned(stretch.sound[spare : stretch.sound.size - spare])
    starts = 200 + 15 - 128 + 60 * np.arange(FRAMES // 2)
    pieces = low[starts[:, None] + np.arange(256)] * _window(256)
    power = np.abs(rfft(pieces, 512, axis=1)) ** 2
    power[:, :7] = 0.0  # below 80 Hz: hum, wind and handling
    likeness = irfft(power, axis=1)[:, :80]
    taper = np.correlate(_window(256), _window(256), "full")[255 : 255 + 80]
    pitched = (likeness / (taper / taper[0]))[:, 15:76].max(axis=1) / (likeness[:, 0] + 1e-9)
    return np.repeat(np.clip(pitched, 0.0, 1.0), 2)


def thinned(sound: NDArray[np.float32]) -> NDArray[np.float32]:
    """Every eighth sample of a sound without what lies above 3 kHz; its length must divide by 8.

    One matrix product of all taps with all samples, added up along the taps: a tenth of the work of filtering
    sample by sample.
    """
    taps = _taps()
    reach = taps.shape[1] // 2
    rows = np.pad(sound.reshape(-1, THIN), ((reach, reach), (0, 0)))
    products = taps.T @ rows.T
    count = sound.size // THIN
    return np.asarray(sum(products[k, k : k + count] for k in range(taps.shape[1])), np.float32)


@lru_cache(maxsize=1)
def _taps() -> NDArray[np.float32]:
    """A low pass of 161 taps around each eighth sample, shape (8, 21)."""
    from scipy.signal import firwin

    taps = firwin(20 * THIN + 1, 1 / THIN, window=("kaiser", 5.0))
    return np.pad(taps, (0, THIN - 1)).reshape(-1, THIN).T.astype(np.float32)


def _window(length: int) -> NDArray[np.float32]:
    return (0.5 - 0.5 * np.cos(2 * np.pi * (np.arange(length) + 0.5) / length)).astype(np.float32)
