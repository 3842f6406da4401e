"""Invented dogs' breath through nose and mouth: sniffing and panting, with the intakes known.

Conventions
-----------
An intake lasts from the moment its envelope leaves zero to the moment it is back there. Every dog has its own
colours, envelopes, evenness and pauses; a bout is drawn from a generator of its own, so that a change here
leaves every other sound of a session as it was.
"""

from dataclasses import dataclass

import numpy as np
from tests.generator.soundcraft import RATE_HZ, Chance, Sound, add, hump

KNOTS_HZ = np.array([150.0, 300.0, 600.0, 1200.0, 2400.0, 4800.0, 9600.0, 19_200.0])
Colour = tuple[float, ...]
"""Level at each of `KNOTS_HZ`. [dB]"""


@dataclass(frozen=True, slots=True)
class Shape:
    """An envelope: its family, how sharp, and where it leans (family ``hump``) or peaks."""

    family: str
    sharpness: float
    lean: float


@dataclass(frozen=True, slots=True)
class Dog:
    """How one dog breathes. Shares are of the cycle, levels of the amplitude of an intake."""

    rate_hz: float
    drawn_share: float
    exhale_level: float
    bright: Colour
    dull: Colour
    drawing: Shape
    letting: Shape
    unevenness: float
    pause: tuple[float, float]
    flutter: float


def draw_dog(chance: Chance) -> Dog:
    own = chance.spawn(1)[0]
    bright, dull = _colours(own)
    drawing = _shape(own)
    return Dog(
        rate_hz=own.uniform(3.8, 7.2),
        drawn_share=own.uniform(0.38, 0.57),
        exhale_level=own.uniform(0.2, 0.85),
        bright=bright,
        dull=dull,
        drawing=drawing,
        letting=drawing if own.random() < 0.5 else _shape(own),
        unevenness=own.uniform(0.02, 0.10),
        pause=(0.0, 0.0) if own.random() < 0.55 else (own.uniform(0, 0.10), own.uniform(0, 0.12)),
        flutter=own.choice([0.0, own.uniform(0, 0.4)]),
    )


def breath(
    chance: Chance, dog: Dog, length_s: float, *, pant: bool = False
) -> tuple[Sound, list[tuple[float, float]]]:
    """A bout of sniffing (or panting) and its intakes, RMS about 1 while it lasts."""
    chance = chance.spawn(1)[0]
    sound, inhales, at_s = np.zeros(int((length_s + 0.6) * RATE_HZ)), [], 0.0
    cycle_s = 1 / (chance.uniform(3.5, 6.0) if pant else dog.rate_hz)
    out_level = chance.uniform(0.9, 1.8) if pant else dog.exhale_level
    # Panting mouth open is dull both ways; through the nose its intakes keep some of their brightness.
    mouth = chance.choice([1.0, chance.uniform(0.4, 1.0)]) if pant else 0.0
    colour = tuple(b + mouth * (d - b) for b, d in zip(dog.bright, dog.dull, strict=True))
    gap_in, gap_out = dog.pause
    while at_s < length_s:
        cycle = cycle_s * float(np.clip(1 + dog.unevenness * chance.standard_normal(), 0.8, 1.2))
        drawn = cycle * float(np.clip(dog.drawn_share + 0.02 * chance.standard_normal(), 0.35, 0.6))
        level = 10 ** (1.5 * chance.standard_normal() / 20)
        out = level * out_level * 10 ** (1.0 * chance.standard_normal() / 20)
        _puff(chance, sound, at_s, drawn, level, colour, dog.drawing, dog.flutter)
        left = cycle - drawn
        from_s, out_s = at_s + drawn + left * gap_in, left * (1 - gap_in - gap_out)
        _puff(chance, sound, from_s, out_s, out, dog.dull, dog.letting, dog.flutter)
        inhales.append((at_s, at_s + drawn))
        at_s += cycle
    return sound / np.sqrt(np.mean(sound[: int(at_s * RATE_HZ)] ** 2)), inhales


def envelope(length: int, shape: Shape) -> Sound:
    """From 0 up and back to 0, peak 1: a power of a half sine, cosine flanks, or a rise and a decay."""
    x = (np.arange(length) + 0.5) / max(length, 1)
    if shape.family == "hump":
        return hump(length, shape.sharpness, shape.lean)
    if shape.family == "flanks":
        rise, fall = 0.08 + 0.4 * shape.sharpness / 2, 0.08 + 0.4 * shape.sharpness / 2 * shape.lean
        up = 0.5 - 0.5 * np.cos(np.pi * np.clip(x / rise, 0, 1))
        return np.asarray(up * (0.5 - 0.5 * np.cos(np.pi * np.clip((1 - x) / min(fall, 1 - rise), 0, 1))))
    top = 0.1 + 0.35 * shape.lean
    up, down = np.clip(x / top, 0, 1), np.clip((1 - x) / (1 - top), 0, 1)
    return np.asarray(np.minimum(up, down) ** (0.5 + 0.5 * shape.sharpness))


def _shape(chance: Chance) -> Shape:
    family = str(chance.choice(["hump", "flanks", "decay"], p=[0.6, 0.25, 0.15]))
    return Shape(family, chance.uniform(0.35, 2.0), chance.uniform(0.7, 1.3))


def _colours(chance: Chance) -> tuple[Colour, Colour]:
    """Colours of air drawn in and let out: one nose and one box, the air let out duller."""
    if chance.random() < 0.5:
        low = chance.uniform(250, 900)
        bright = _passed(
            low * chance.uniform(1.0, 2.5), chance.uniform(6000, 13_000), int(chance.integers(1, 4))
        )
        dull = _passed(low, chance.uniform(1800, 5500), int(chance.integers(1, 4)))
    else:
        tilt, fall = chance.uniform(-5, 3), chance.uniform(2, 7)
        octave = np.log2(KNOTS_HZ / 1200)
        bright = tilt * octave - 3 * np.clip(np.abs(octave) - 2.5, 0, None)
        dull = (tilt - fall) * np.clip(octave, 0, None) + tilt * np.clip(octave, None, 0)
    shared = np.interp(np.arange(8), chance.uniform(0, 7, 4).cumsum() / 4, 3 * chance.standard_normal(4))
    one, other = (1.5 * chance.standard_normal(8) for _ in range(2))
    return tuple(bright + shared + one), tuple(dull + shared + other)


def _passed(low_hz: float, high_hz: float, steep: int) -> Sound:
    down = 1 + (low_hz / KNOTS_HZ) ** (2 * steep)
    return np.asarray(-10 * np.log10(down * (1 + (KNOTS_HZ / high_hz) ** (2 * steep))))


def _puff(
    chance: Chance,
    into: Sound,
    at_s: float,
    length_s: float,
    level: float,
    colour: Colour,
    shape: Shape,
    flutter: float,
) -> None:
    length = int(length_s * RATE_HZ)
    noise = _rushing(chance, length, colour) * envelope(length, shape)
    if flutter:
        turn = 2 * np.pi * chance.uniform(20, 60) * np.arange(length) / RATE_HZ
        noise *= 1 + flutter * np.cos(turn + chance.uniform(0, 6))
    add(into, level * noise, at_s)


def _rushing(chance: Chance, length: int, colour: Colour) -> Sound:
    """Noise of a colour, RMS 1."""
    size = int(2 ** np.ceil(np.log2(length + 256)))
    hz = np.maximum(np.fft.rfftfreq(size, 1 / RATE_HZ), 20.0)
    gain_db = np.interp(np.log(hz), np.log(KNOTS_HZ), colour) - 24 * np.clip(np.log2(150 / hz), 0, None)
    noise = np.fft.irfft(np.fft.rfft(chance.standard_normal(size)) * 10 ** (gain_db / 20))[:length]
    return np.asarray(noise / np.sqrt(np.mean(noise**2) + 1e-20))
