"""Invented rooms and phones: what the air and the recording do to a sound."""

import numpy as np
from scipy.signal import butter, lfilter, sosfilt
from tests.generator.soundcraft import RATE_HZ, Chance, Sound


def draw_room(chance: Chance) -> Sound:
    """Impulse response of a room: the direct sound, a few reflections, a decaying tail."""
    reverb_s, direct_db = chance.uniform(0.15, 0.8), chance.uniform(0, 12)
    time_s = np.arange(int(0.5 * RATE_HZ)) / RATE_HZ
    tail = chance.standard_normal(time_s.size) * np.exp(-6.9 * time_s / reverb_s)
    tail[: int(chance.uniform(0.001, 0.006) * RATE_HZ)] = 0.0
    tail = lfilter([0.5, 0.3], [1, -0.2], tail)
    tail *= 10 ** (-direct_db / 20) / np.sqrt(np.sum(tail**2))
    tail[0] = 1.0
    return np.asarray(tail)


def through_phone(chance: Chance, sound: Sound, kind: str) -> Sound:
    """What a phone does: ``narrow`` (7 kHz), ``codec`` (15 kHz), ``clipped``, ``gain`` or ``plain``."""
    if kind in ("narrow", "codec"):
        edge_hz = 7000.0 if kind == "narrow" else 15_000.0
        return np.asarray(sosfilt(butter(8, edge_hz, fs=RATE_HZ, output="sos"), sound))
    if kind == "clipped":
        top = np.abs(sound).max() * 10 ** (-chance.uniform(3, 12) / 20)
        return np.asarray(np.clip(sound, -top, top) / top)
    if kind == "gain":
        fast = np.sqrt(np.asarray(lfilter([0.0005], [1, -0.9995], sound**2)) + 1e-9)
        return np.asarray(sound / (fast + 0.3 * fast.max())) * 0.3 * float(fast.max())
    return sound
