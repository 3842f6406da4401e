"""Invented rooms: what the air does to a sound."""

import numpy as np
from scipy.signal import lfilter
from tests.generator.phones import through_phone as through_phone
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


def elsewhere(chance: Chance, room: Sound) -> Sound:
    """The same room heard from another place: as lively, with other reflections."""
    tail = chance.standard_normal(room.size) * np.sqrt(np.asarray(lfilter([0.02], [1, -0.98], room**2)))
    tail[:48] = 0.0
    tail *= np.sqrt(np.sum(room[1:] ** 2) / max(np.sum(tail**2), 1e-12))
    tail[0] = 1.0
    return np.asarray(tail)
