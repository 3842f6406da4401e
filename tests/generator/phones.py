"""Invented phones: what the recording does to a sound."""

import numpy as np
from scipy.signal import butter, lfilter, sosfilt
from tests.generator.codec import through_aac
from tests.generator.soundcraft import RATE_HZ, Chance, Sound

KINDS = ("plain", "codec", "aac", "narrow", "clipped", "gain", "quiet")


def through_phone(chance: Chance, sound: Sound, kind: str) -> Sound:
    """What a phone does to a session.

    ``narrow`` (7 kHz), ``codec`` (15 kHz), ``aac`` (really coded), ``clipped``, ``gain`` (a level that
    follows the sound), ``quiet`` (so soft that the steps of 16 bits show) or ``plain``.
    """
    if kind in ("narrow", "codec"):
        edge_hz = 7000.0 if kind == "narrow" else 15_000.0
        return np.asarray(sosfilt(butter(8, edge_hz, fs=RATE_HZ, output="sos"), sound))
    if kind == "aac":
        return through_aac(sound, int(chance.choice([48, 64, 96, 128])))
    if kind == "clipped":
        top = np.abs(sound).max() * 10 ** (-chance.uniform(3, 12) / 20)
        return np.asarray(np.clip(sound, -top, top) / top)
    if kind == "gain":
        fast = np.sqrt(np.asarray(lfilter([0.0005], [1, -0.9995], sound**2)) + 1e-9)
        return np.asarray(sound / (fast + 0.3 * fast.max())) * 0.3 * float(fast.max())
    if kind == "quiet":
        soft = sound / np.abs(sound).max() * 10 ** (-chance.uniform(20, 40) / 20)
        return np.asarray(np.round(soft * 32_768) / 32_768)
    return sound
