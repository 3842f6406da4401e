"""Invented dogs' breath through the nose: sniffing and panting, with the intakes known."""

from dataclasses import dataclass

import numpy as np
from tests.generator.soundcraft import RATE_HZ, Chance, Sound, add, band, hump


@dataclass(frozen=True, slots=True)
class Dog:
    """How one dog breathes through the nose."""

    rate_hz: float
    drawn_share: float
    exhale_level: float
    bright: tuple[float, float]
    dull: tuple[float, float]
    sharpness: float
    lean: float


def draw_dog(chance: Chance) -> Dog:
    low = chance.uniform(250, 900)
    return Dog(
        rate_hz=chance.uniform(4.0, 7.0),
        drawn_share=chance.uniform(0.40, 0.56),
        exhale_level=chance.uniform(0.2, 0.8),
        bright=(low * chance.uniform(1.2, 2.5), chance.uniform(7000, 13_000)),
        dull=(low, chance.uniform(2200, 5000)),
        sharpness=chance.uniform(0.4, 1.1),
        lean=chance.uniform(0.75, 1.15),
    )


def breath(
    chance: Chance, dog: Dog, length_s: float, *, pant: bool = False
) -> tuple[Sound, list[tuple[float, float]]]:
    """A bout of sniffing (or panting) and its intakes, RMS about 1 while it lasts."""
    sound, inhales, at_s = np.zeros(int((length_s + 0.6) * RATE_HZ)), [], 0.0
    cycle_s = 1 / (chance.uniform(3.5, 6.0) if pant else dog.rate_hz)
    out_level = chance.uniform(0.8, 1.8) if pant else dog.exhale_level
    while at_s < length_s:
        cycle = cycle_s * float(np.clip(1 + 0.07 * chance.standard_normal(), 0.8, 1.2))
        drawn = cycle * float(np.clip(dog.drawn_share + 0.02 * chance.standard_normal(), 0.35, 0.6))
        level = 10 ** (1.5 * chance.standard_normal() / 20)
        bright = dog.dull if pant else dog.bright
        _puff(chance, sound, at_s, drawn, level, bright, dog)
        _puff(chance, sound, at_s + drawn, cycle - drawn, level * out_level, dog.dull, dog)
        inhales.append((at_s, at_s + drawn))
        at_s += cycle
    return sound / np.sqrt(np.mean(sound[: int(at_s * RATE_HZ)] ** 2)), inhales


def _puff(
    chance: Chance, into: Sound, at_s: float, length_s: float, level: float, hz: tuple[float, float], dog: Dog
) -> None:
    length = int(length_s * RATE_HZ)
    noise = band(chance.standard_normal(length + 960), *hz)[960:]
    noise *= hump(length, dog.sharpness, dog.lean) / np.sqrt(np.mean(noise**2))
    add(into, level * noise, at_s)
