"""The stuff invented sounds are made of: noise of any colour, envelopes, mixing, levels. 48 kHz, mono."""

from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.signal import butter, sosfilt

RATE_HZ = 48_000
Sound = NDArray[np.float64]
Chance = np.random.Generator


def band(sound: Sound, low_hz: float, high_hz: float) -> Sound:
    """Sound between two frequencies."""
    return np.asarray(sosfilt(_between(float(low_hz), float(high_hz)), sound))


@cache
def _between(low_hz: float, high_hz: float) -> NDArray[np.float64]:
    return np.asarray(butter(2, [low_hz, high_hz], "bandpass", fs=RATE_HZ, output="sos"))


def coloured(chance: Chance, length: int, slope: float) -> Sound:
    """Noise whose power falls by ``slope`` dB an octave above 100 Hz, RMS 1."""
    size = int(2 ** np.ceil(np.log2(max(length, 256))))
    hz = np.fft.rfftfreq(size, 1 / RATE_HZ)
    spectrum = np.fft.rfft(chance.standard_normal(size)) * np.maximum(hz, 100.0) ** (-slope / 6.02)
    sound = np.fft.irfft(spectrum)[:length]
    return np.asarray(sound / np.sqrt(np.mean(sound**2) + 1e-20))


def add(into: Sound, sound: Sound, at_s: float) -> None:
    """Mix a sound into a longer one, cut where it does not fit."""
    first = round(at_s * RATE_HZ)
    start, end = max(first, 0), min(first + sound.size, into.size)
    if end > start:
        into[start:end] += sound[start - first : end - first]


def hump(length: int, sharpness: float, lean: float) -> Sound:
    """An envelope that rises from 0 and falls back to 0, peak 1."""
    x = ((np.arange(length) + 0.5) / length) ** lean
    return np.asarray(np.sin(np.pi * x) ** sharpness)


def slow(chance: Chance, length: int, hz: float, spread_db: float) -> Sound:
    """A level that wanders: knots at twice ``hz`` with a spread in dB."""
    knots = chance.standard_normal(int(length / RATE_HZ * hz * 2) + 3) * spread_db / 2
    return np.asarray(10 ** (np.interp(np.arange(length), np.linspace(0, length, knots.size), knots) / 20))


def level(sound: Sound, low_hz: float, high_hz: float) -> float:
    """RMS between two frequencies."""
    return float(np.sqrt(np.mean(band(sound, low_hz, high_hz) ** 2)))
