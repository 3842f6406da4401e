"""Invented disturbance: single sounds (``EVENTS``) and what lies under a whole session (``BEDS``)."""

from collections.abc import Callable

import numpy as np
from tests.generator.soundcraft import RATE_HZ, Chance, Sound, add, band, coloured, hump, slow
from tests.generator.voices import speech, vowel


def impact(
    chance: Chance, low_hz: float, high_hz: float, decay_s: tuple[float, float], noise: float
) -> Sound:
    """A struck thing: damped modes between two frequencies, and a burst."""
    time_s = np.arange(int(0.25 * RATE_HZ)) / RATE_HZ
    sound = np.zeros(time_s.size)
    for _ in range(int(chance.integers(3, 10))):
        hz = np.exp(chance.uniform(np.log(low_hz), np.log(high_hz)))
        decay = np.exp(chance.uniform(np.log(decay_s[0]), np.log(decay_s[1])))
        sound += (
            chance.uniform(0.2, 1)
            * np.exp(-time_s / decay)
            * np.sin(2 * np.pi * hz * time_s + chance.uniform(0, 6))
        )
    burst_s = np.exp(chance.uniform(np.log(decay_s[0]), np.log(decay_s[1])))
    rush = chance.standard_normal(time_s.size) * np.exp(-time_s / burst_s)
    sound += noise * band(rush, low_hz * 0.7, min(high_hz * 1.5, 18_000))
    soft = int(np.exp(chance.uniform(np.log(2), np.log(200))))
    sound[:soft] *= np.linspace(0, 1, soft)
    return np.asarray(sound / np.abs(sound).max())


def clap(chance: Chance) -> Sound:
    sound = impact(chance, 500, 4000, (0.002, 0.012), 3.0)
    return sound + 0.5 * np.roll(sound, int(chance.uniform(0, 0.004) * RATE_HZ))


def knock(chance: Chance) -> Sound:
    return impact(chance, 80, 1800, (0.004, 0.05), 0.5)


def metal(chance: Chance) -> Sound:
    return impact(chance, 1200, 14_000, (0.003, 0.12), 0.4)


def key(chance: Chance) -> Sound:
    return impact(chance, 700, 9000, (0.001, 0.01), 1.5)


def jingle(chance: Chance) -> Sound:
    sound = np.zeros(int(0.8 * RATE_HZ))
    ring = impact(chance, 3000, 15_000, (0.01, 0.08), 0.1)
    for _ in range(int(chance.integers(3, 12))):
        add(sound, ring * chance.uniform(0.2, 1.0), chance.uniform(0, 0.6))
    return sound


def keys(chance: Chance) -> Sound:
    sound, at_s = np.zeros(int(1.2 * RATE_HZ)), 0.0
    while at_s < 1.0:
        add(sound, key(chance) * chance.uniform(0.3, 1), at_s)
        at_s += chance.uniform(0.06, 0.3)
    return sound


def bark(chance: Chance) -> Sound:
    sound = np.zeros(int(1.5 * RATE_HZ))
    at_s, pitch = 0.0, chance.uniform(250, 800)
    for _ in range(int(chance.integers(1, 4))):
        length_s = chance.uniform(0.1, 0.3)
        woof = (
            vowel(chance, pitch, length_s)
            + 0.5 * band(coloured(chance, int(length_s * RATE_HZ), 3), 400, 6000)[: int(length_s * RATE_HZ)]
        )
        add(sound, woof * hump(woof.size, 0.6, 0.6), at_s)
        at_s += length_s + chance.uniform(0.1, 0.3)
    return sound / 3


def sneeze(chance: Chance) -> Sound:
    length = int(chance.uniform(0.15, 0.5) * RATE_HZ)
    return band(coloured(chance, length, 2), 500, chance.uniform(5000, 12_000)) * hump(length, 0.5, 0.4)


def chewing(chance: Chance) -> Sound:
    sound, at_s = np.zeros(int(2.2 * RATE_HZ)), 0.0
    while at_s < 2.0:
        for _ in range(int(chance.integers(1, 6))):
            add(
                sound,
                impact(chance, 400, 7000, (0.001, 0.015), 2.0) * chance.uniform(0.1, 0.6),
                at_s + chance.uniform(0, 0.09),
            )
        at_s += chance.uniform(0.2, 0.45)
    return sound


def steps(chance: Chance) -> Sound:
    sound, at_s = np.zeros(int(2.2 * RATE_HZ)), 0.0
    while at_s < 2.0:
        length = int(chance.uniform(0.03, 0.12) * RATE_HZ)
        scuff = band(chance.standard_normal(length), 200, chance.uniform(1500, 8000)) * hump(length, 0.8, 0.5)
        add(sound, 0.3 * scuff + 0.0, at_s)
        add(sound, knock(chance) * 0.4, at_s)
        at_s += chance.uniform(0.2, 0.6)
    return sound


EVENTS: dict[str, Callable[[Chance], Sound]] = {
    "speech": speech, "clap": clap, "knock": knock, "metal": metal, "key": key, "jingle": jingle,
    "keys": keys,
    "bark": bark, "sneeze": sneeze, "chewing": chewing, "steps": steps,
}  # fmt: skip


def latch(chance: Chance) -> Sound:
    """A switch, a mouse or a clasp: two short sounds alike, as a clicker's, of another thing."""
    sound, lag_s = np.zeros(int(0.6 * RATE_HZ)), chance.uniform(0.04, 0.3)
    first = impact(chance, 1000, 9000, (0.0008, 0.006), chance.uniform(0.5, 3))
    second = impact(chance, 1000, 9000, (0.0008, 0.006), chance.uniform(0.5, 3))
    add(sound, first, 0.0)
    add(sound, (first if chance.random() < 0.5 else second) * chance.uniform(0.3, 1.2), lag_s)
    return sound


def dropped(chance: Chance) -> Sound:
    """Something that falls and bounces, each time sooner and softer."""
    sound, at_s, gap_s, strength = np.zeros(int(1.5 * RATE_HZ)), 0.0, chance.uniform(0.08, 0.4), 1.0
    low_hz = chance.uniform(200, 1500)
    shrinks, softens = chance.uniform(0.5, 0.85), chance.uniform(0.4, 0.8)
    while gap_s > 0.015 and at_s < 1.2:
        hit = impact(chance, low_hz, low_hz * chance.uniform(3, 12), (0.002, 0.05), chance.uniform(0.2, 2))
        add(sound, strength * hit, at_s)
        at_s, gap_s, strength = at_s + gap_s, gap_s * shrinks, strength * softens
    return sound


def dishes(chance: Chance) -> Sound:
    """Plates and cutlery: ringing strikes in a heap."""
    sound = np.zeros(int(2.0 * RATE_HZ))
    for _ in range(int(chance.integers(3, 14))):
        hit = impact(chance, chance.uniform(600, 2500), 12_000, (0.002, 0.1), chance.uniform(0.1, 1.5))
        add(sound, chance.uniform(0.1, 1) * hit, chance.uniform(0, 1.7))
    return sound


def bump(chance: Chance) -> Sound:
    """A nose or a paw on wood: dull, with a scrape."""
    sound = np.zeros(int(0.5 * RATE_HZ))
    add(sound, impact(chance, 100, chance.uniform(800, 3500), (0.003, 0.03), chance.uniform(0.2, 2)), 0.0)
    scrape = band(
        chance.standard_normal(int(chance.uniform(0.02, 0.2) * RATE_HZ)), 500, chance.uniform(2000, 9000)
    )
    add(sound, 0.2 * scrape * hump(scrape.size, 0.6, 0.6), chance.uniform(0, 0.1))
    return sound


IMPACTS: dict[str, Callable[[Chance], Sound]] = {
    "latch": latch, "dropped": dropped, "dishes": dishes, "bump": bump,
}  # fmt: skip


def event(chance: Chance, kind: str) -> Sound:
    """One disturbing sound of a kind of ``EVENTS`` or ``IMPACTS``."""
    return {**EVENTS, **IMPACTS}[kind](chance)


def drops(chance: Chance, length: int, a_second: float) -> Sound:
    """Rain on a roof, a crackling fire: many small impacts of every size."""
    sound = np.zeros(length)
    shapes = [impact(chance, 600, 12_000, (0.0006, 0.006), 2.0)[:4800] for _ in range(8)]
    for _ in range(chance.poisson(a_second * length / RATE_HZ)):
        level = min(float(chance.pareto(1.6)) + 0.1, 12.0)
        add(sound, level * shapes[int(chance.integers(8))], chance.uniform(0, length / RATE_HZ))
    return sound


def crackle(chance: Chance, length: int) -> Sound:
    return drops(chance, length, chance.uniform(1, 15)) * 2.0


def rain(chance: Chance, length: int) -> Sound:
    return drops(chance, length, chance.uniform(30, 200)) + coloured(chance, length, 1.0)


def ticking(chance: Chance, length: int) -> Sound:
    """A clock: the same tick (or tick and tock) at one rate throughout."""
    sound, at_s, every_s = np.zeros(length), chance.uniform(0, 1), chance.choice([0.25, 0.5, 1.0])
    ticks = [impact(chance, 900, 12_000, (0.001, 0.01), 1.0) for _ in range(2)]
    second, lag_s = chance.uniform(0, 0.8), chance.uniform(0.02, 0.2)
    while at_s < length / RATE_HZ:
        add(sound, ticks[0] * (1 + 0.1 * chance.standard_normal()), at_s)
        add(sound, ticks[1] * second, at_s + lag_s)
        at_s += every_s
    return sound


def waves(chance: Chance, length: int) -> Sound:
    return coloured(chance, length, 2.0) * slow(chance, length, chance.uniform(0.1, 0.6), 10.0)


def wind(chance: Chance, length: int) -> Sound:
    return coloured(chance, length, 6.0) * slow(chance, length, chance.uniform(0.5, 3.0), 8.0) * 2


def rotor(chance: Chance, length: int) -> Sound:
    """A machine: noise and hum that beat at one rate between 5 and 110 a second."""
    hz = np.exp(chance.uniform(np.log(5), np.log(110)))
    turn = np.arange(length) / RATE_HZ * hz * (1 + 0.02 * np.sin(np.arange(length) / RATE_HZ))
    beat = np.clip(0.5 + chance.uniform(0.2, 1.2) * np.cos(2 * np.pi * turn), 0.05, None)
    return np.asarray(coloured(chance, length, chance.uniform(2, 5)) * beat)


def gusts(chance: Chance, length: int) -> Sound:
    """Rushing noise that swells and sinks at random several times a second: surf, spray, leaves, cloth."""
    rush = coloured(chance, length, chance.uniform(0, 5)) * slow(
        chance, length, chance.uniform(2, 14), chance.uniform(2, 9)
    )
    return rush * slow(chance, length, chance.uniform(0.1, 1.0), chance.uniform(0, 8))


def engine(chance: Chance, length: int) -> Sound:
    """A motor that hunts: harmonics and noise under an uneven load."""
    pitch = chance.uniform(30, 140) * (1 + 0.05 * np.cumsum(chance.standard_normal(length)) / np.sqrt(length))
    turn = np.cumsum(pitch) / RATE_HZ
    tone = sum(chance.uniform(0, 1) / k**0.7 * np.sin(2 * np.pi * k * turn) for k in range(1, 24))
    noise = coloured(chance, length, chance.uniform(1, 4)) * chance.uniform(0.3, 3)
    return (np.asarray(tone) + noise) * slow(chance, length, chance.uniform(1, 8), chance.uniform(1, 8))


def cry(chance: Chance, length: int) -> Sound:
    sound, at_s = np.zeros(length), 0.3
    while at_s < length / RATE_HZ - 2:
        add(sound, vowel(chance, chance.uniform(300, 900), chance.uniform(0.3, 1.4)), at_s)
        at_s += chance.uniform(0.8, 4)
    return sound


BEDS: dict[str, Callable[[Chance, int], Sound]] = {
    "gusts": gusts, "engine": engine, "crackle": crackle, "rain": rain, "ticking": ticking, "waves": waves,
    "wind": wind, "rotor": rotor, "cry": cry,
}  # fmt: skip
