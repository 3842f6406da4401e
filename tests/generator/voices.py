"""Invented voices: syllables without sense."""

import numpy as np
from scipy.signal import lfilter
from tests.generator.soundcraft import RATE_HZ, Chance, Sound, add, band, coloured, hump


def speech(chance: Chance, length_s: float = 0.0) -> Sound:
    """A few syllables: voiced vowels with formants, plosives with a burst, hissing consonants."""
    length_s = length_s or chance.uniform(0.4, 2.2)
    sound, at_s, pitch = np.zeros(int((length_s + 0.5) * RATE_HZ)), 0.0, chance.uniform(85, 260)
    while at_s < length_s:
        kind = chance.random()
        if kind < 0.35:
            burst = band(coloured(chance, int(0.05 * RATE_HZ), 3), 400, chance.uniform(3000, 9000))
            burst *= np.exp(-np.arange(burst.size) / RATE_HZ / chance.uniform(0.003, 0.02))
            add(sound, burst * chance.uniform(0.5, 3.0), at_s)
            at_s += chance.uniform(0.02, 0.06)
        elif kind < 0.6:
            low = chance.uniform(1500, 5000)
            hiss = band(
                chance.standard_normal(int(chance.uniform(0.05, 0.16) * RATE_HZ)),
                low,
                chance.uniform(low + 2000, 12_000),
            )
            add(sound, hiss * hump(hiss.size, 0.7, 1.0) * chance.uniform(0.4, 1.5), at_s)
            at_s += hiss.size / RATE_HZ
        voiced = vowel(chance, pitch * chance.uniform(0.85, 1.2), chance.uniform(0.07, 0.25))
        add(sound, voiced, at_s)
        at_s += voiced.size / RATE_HZ + chance.choice([0.0, 0.03, 0.15], p=[0.6, 0.3, 0.1])
    return sound


def vowel(chance: Chance, pitch_hz: float, length_s: float) -> Sound:
    """One voiced sound with formants, RMS about 1."""
    length = int(length_s * RATE_HZ)
    glide = pitch_hz * np.exp(np.linspace(0, chance.uniform(-0.2, 0.2), length))
    pulses = np.diff(np.floor(np.cumsum(glide) / RATE_HZ), prepend=0.0)
    source = lfilter([1], [1, -0.97], pulses) + 0.02 * chance.standard_normal(length)
    for hz in (chance.uniform(300, 850), chance.uniform(900, 2300), chance.uniform(2300, 3300), 3800.0):
        radius = np.exp(-np.pi * chance.uniform(60, 160) / RATE_HZ)
        around = 2 * radius * np.cos(2 * np.pi * hz / RATE_HZ)
        source = source + 0.8 * lfilter([1 - radius], [1, -around, radius**2], source)
    source = source * hump(length, 0.4, 0.8)
    return np.asarray(source / np.sqrt(np.mean(source**2) + 1e-12))
