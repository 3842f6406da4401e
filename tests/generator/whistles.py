"""Invented whistles, and tones that are none: howls, birds, hinges, sirens, alarms, music.

Conventions
-----------
As in `sessions`: 48 kHz mono, one seed, one session. A blast is one mark, at its first sound; a trill of
pips less than 0.15 s apart is one blast. ``whistle_db``: RMS of a blast over the steady background,
all frequencies.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from scipy.signal import fftconvolve
from tests.generator.noises import BEDS, EVENTS
from tests.generator.rooms import draw_room
from tests.generator.soundcraft import RATE_HZ, Chance, Sound, add, band, coloured, hump, slow
from tests.generator.talkers import draw_talker, running_speech

KINDS = ("pip", "blast", "finger", "pea", "trill", "glide", "silent")


@dataclass(frozen=True, slots=True)
class Whistler:
    """One whistle and how it is blown."""

    kind: str
    pitch_hz: float
    length_s: float
    attack_s: float
    wander: float
    breath: float
    overtones: tuple[float, float]
    beat_hz: float
    bend: float

    def blow(self, chance: Chance) -> Sound:
        """One blast, RMS about 1 where it sounds; it begins at the first sample that sounds."""
        length_s = float(np.clip(self.length_s * np.exp(0.15 * chance.standard_normal()), 0.06, 2.5))
        if self.kind == "trill":
            return self._trill(chance, length_s)
        pitch = self.pitch_hz * np.exp(0.01 * chance.standard_normal())
        return self._tone(chance, pitch, length_s)

    def _trill(self, chance: Chance, length_s: float) -> Sound:
        pip_s = 0.5 / self.beat_hz
        sound = np.zeros(int((length_s + pip_s) * RATE_HZ))
        for number in range(max(int(length_s * self.beat_hz), 2)):
            pitch = self.pitch_hz * np.exp(0.008 * chance.standard_normal())
            add(sound, self._tone(chance, pitch, pip_s * 1.1), number / self.beat_hz)
        return sound

    def _tone(self, chance: Chance, pitch_hz: float, length_s: float) -> Sound:
        length = int(length_s * RATE_HZ)
        time_s = np.arange(length) / RATE_HZ
        knots = np.cumsum(chance.standard_normal(int(length_s * 40) + 3)) * self.wander / 3
        pitch = pitch_hz * np.exp(np.interp(time_s, np.arange(knots.size) / 40, knots))
        if self.kind == "glide":
            pitch = pitch * np.exp(self.bend * (np.linspace(0, 1, length) ** chance.uniform(0.7, 1.5) - 0.5))
        else:  # a blast slides into its pitch and falls off it
            pitch = pitch * (1 - 0.06 * self.bend * np.exp(-time_s / 0.015))
        beat = np.sin(2 * np.pi * self.beat_hz * time_s + chance.uniform(0, 6))
        warbling = self.kind == "pea"
        if warbling:
            pitch = pitch * (1 + 0.025 * self.bend * beat)
        turns = 2 * np.pi * np.cumsum(pitch) / RATE_HZ
        sound = np.sin(turns)
        for k, share in enumerate(self.overtones, start=2):
            sound = sound + (share * np.sin(k * turns + k) if k * pitch_hz < 23_000 else 0.0)
        sound = sound * slow(chance, length, 12.0, 1.5)
        if warbling:
            sound = sound * (1 - 0.4 * (1 + self.bend) / 2 * (1 + np.roll(beat, 60)))
        rush = band(chance.standard_normal(length), pitch_hz * 0.6, min(pitch_hz * 1.7, 22_000))
        sound = sound + self.breath * rush / (np.sqrt(np.mean(rush**2)) + 1e-9)
        attack = min(self.attack_s, length_s / 3)
        rise = np.minimum(time_s / attack, 1.0) * np.minimum((length_s - time_s) / 0.02, 1.0)
        sound = sound * rise
        return np.asarray(sound / np.sqrt(np.mean(sound**2) + 1e-9))


def draw_whistler(chance: Chance, kind: str | None = None) -> Whistler:
    """Any whistle: of wood, plastic or metal, of fingers or lips, with a pea or without."""
    kind = kind or str(chance.choice(KINDS, p=[0.16, 0.22, 0.16, 0.18, 0.1, 0.1, 0.08]))
    ranges = {"pea": (2000, 4200), "silent": (5200, 19_000), "finger": (1300, 3800)}
    low, high = ranges.get(kind, (1500, 6000))
    lengths = {"pip": (0.07, 0.18), "trill": (0.4, 1.2), "glide": (0.2, 0.8)}
    return Whistler(
        kind,
        float(np.exp(chance.uniform(np.log(low), np.log(high)))),
        chance.uniform(*lengths.get(kind, (0.15, 1.4))),
        float(np.exp(chance.uniform(np.log(0.003), np.log(0.02)))),
        chance.uniform(0.001, 0.012),
        float(10 ** (chance.uniform(-34, -12) / 20)),
        (float(10 ** (chance.uniform(-40, -10) / 20)), float(10 ** (chance.uniform(-45, -14) / 20))),
        chance.uniform(20, 60) if kind == "pea" else chance.uniform(5, 11),
        float(chance.choice([1, 1, -1])) * chance.uniform(0.3, 0.9) if kind == "glide" else chance.random(),
    )  # fmt: skip


def _harmonic(chance: Chance, pitch_hz: Sound, fall_db: float, most: int = 20) -> Sound:
    """A tone with overtones that fall by so many dB an octave."""
    turns = 2 * np.pi * np.cumsum(pitch_hz) / RATE_HZ
    top = int(min(most, 20_000 // float(pitch_hz.max())))
    sound = np.zeros(pitch_hz.size)
    for k in range(1, max(top, 1) + 1):
        sound += 10 ** (-fall_db * np.log2(k) / 20) * chance.uniform(0.4, 1.0) * np.sin(k * turns + k)
    return sound


def _line(chance: Chance, length_s: float, values: list[float]) -> Sound:
    return np.asarray(
        np.interp(np.linspace(0, len(values) - 1, int(length_s * RATE_HZ)), np.arange(len(values)), values)
    )


def howl(chance: Chance) -> Sound:
    """A dog that howls or whines: overtones, a voice that rises and sinks."""
    whine = chance.random() < 0.5
    base, length_s = (chance.uniform(500, 1500), chance.uniform(0.15, 1.0)) if whine else (
        chance.uniform(250, 800), chance.uniform(0.8, 3.0))  # fmt: skip
    shape = [
        base * r
        for r in (chance.uniform(0.6, 0.95), 1.0, chance.uniform(0.9, 1.25), chance.uniform(0.6, 1.0))
    ]
    sound = _harmonic(chance, _line(chance, length_s, shape), chance.uniform(5, 16))
    sound += 0.03 * chance.standard_normal(sound.size)
    return sound * hump(sound.size, chance.uniform(0.3, 1.0), 1.0)


def bird(chance: Chance) -> Sound:
    """Birdsong: quick sweeps, mostly several in a row."""
    base, note_s = chance.uniform(2000, 7500), chance.uniform(0.03, 0.22)
    shape = [base * r for r in np.exp(chance.uniform(-0.35, 0.35, int(chance.integers(2, 6))))]
    sound, at_s = np.zeros(int(3 * RATE_HZ)), 0.0
    for _ in range(int(chance.integers(1, 9))):
        note = _harmonic(chance, _line(chance, note_s, shape), chance.uniform(14, 40), 3)
        add(sound, note * hump(note.size, 0.6, 1.0), at_s)
        at_s += note_s + chance.uniform(0.03, 0.25)
        if at_s > 2.5:
            break
        if chance.random() < 0.3:
            shape = [base * r for r in np.exp(chance.uniform(-0.35, 0.35, len(shape)))]
    return sound


def hinge(chance: Chance) -> Sound:
    """A squeaking door: a rough tone with overtones that creeps and jumps."""
    base, length_s = chance.uniform(400, 2500), chance.uniform(0.2, 1.5)
    pitch = _line(chance, length_s, list(base * np.exp(np.cumsum(0.12 * chance.standard_normal(12)))))
    pitch = pitch * (1 + 0.01 * chance.standard_normal(pitch.size))
    sound = _harmonic(chance, pitch, chance.uniform(2, 9)) * slow(chance, pitch.size, 20, 8)
    return sound * hump(sound.size, 0.4, chance.uniform(0.6, 1.5))


def siren(chance: Chance) -> Sound:
    length_s, low = chance.uniform(2, 6), chance.uniform(400, 900)
    turn = np.arange(int(length_s * RATE_HZ)) / RATE_HZ * chance.uniform(0.2, 4)
    swing = np.sign(np.sin(2 * np.pi * turn)) if chance.random() < 0.4 else np.sin(2 * np.pi * turn)
    pitch = low * np.exp(0.35 * (1 + swing))
    return _harmonic(chance, np.asarray(pitch), chance.uniform(4, 14)) * hump(pitch.size, 0.3, 1.0)


def alarm(chance: Chance) -> Sound:
    """Beeps: pitch to the hertz, edges to the millisecond, one like the other."""
    hz, beep_s, rest_s = chance.uniform(900, 4500), chance.uniform(0.06, 0.5), chance.uniform(0.05, 0.6)
    sound, at_s = np.zeros(int(3.2 * RATE_HZ)), 0.0
    for number in range(int(chance.integers(1, 8))):
        second = hz * (1.26 if number % 2 and chance.random() < 0.2 else 1.0)
        beep = _harmonic(chance, np.full(int(beep_s * RATE_HZ), second), chance.uniform(8, 50), 5)
        edge = min(int(chance.uniform(0.0005, 0.006) * RATE_HZ), beep.size // 3)
        beep[:edge] *= np.linspace(0, 1, edge)
        beep[-edge:] *= np.linspace(1, 0, edge)
        add(sound, beep, at_s)
        at_s += beep_s + rest_s
    return sound


def music(chance: Chance) -> Sound:
    sound, at_s, root = np.zeros(int(3 * RATE_HZ)), 0.0, chance.uniform(180, 900)
    while at_s < 2.6:
        for _ in range(int(chance.integers(1, 4))):
            hz = root * 2 ** (int(chance.choice([0, 2, 4, 5, 7, 9, 11, 12, 16])) / 12)
            note = _harmonic(
                chance, np.full(int(chance.uniform(0.12, 0.8) * RATE_HZ), hz), chance.uniform(5, 20)
            )
            add(sound, note * np.exp(-np.arange(note.size) / RATE_HZ / chance.uniform(0.1, 0.8)), at_s)
        at_s += chance.uniform(0.12, 0.5)
    return sound


def howling_wind(chance: Chance) -> Sound:
    """Wind in a gap: noise through a resonance that wanders."""
    length = int(chance.uniform(1, 3) * RATE_HZ)
    hz = chance.uniform(400, 1600)
    rush = band(chance.standard_normal(length), hz * 0.97, hz * 1.03)
    return rush * slow(chance, length, 1.0, 8.0) * hump(length, 0.8, 1.0)


def talk(chance: Chance) -> Sound:
    return running_speech(chance, draw_talker(chance), chance.uniform(0.6, 3.0))


TONES: dict[str, Callable[[Chance], Sound]] = {
    "howl": howl, "bird": bird, "hinge": hinge, "siren": siren, "alarm": alarm, "music": music,
    "howling_wind": howling_wind, "talk": talk, "bark": EVENTS["bark"], "metal": EVENTS["metal"],
    "jingle": EVENTS["jingle"], "key": EVENTS["key"],
}  # fmt: skip


@dataclass(slots=True)
class WhistleScape:
    """``sound``: the session; ``alone``: a recording of the whistle alone; ``marks``: (start, end) [s];
    ``tones``: what else sounded, (kind, at [s])."""

    sound: Sound
    alone: Sound
    whistler: Whistler
    marks: list[tuple[float, float]] = field(default_factory=list)
    tones: list[tuple[str, float]] = field(default_factory=list)

    @property
    def marks_s(self) -> list[float]:
        """Where each blast begins. [s]"""
        return [start for start, _ in self.marks]


def draw_whistle_session(
    seed: int,
    *,
    length_s: float = 30.0,
    whistle_db: float = 25.0,
    kind: str | None = None,
    tones: tuple[str, ...] = tuple(TONES),
    tones_a_minute: float = 20.0,
    has_marks: bool = True,
    bed: str | None = None,
    bed_db: float = 5.0,
    alone_count: int = 4,
    start_block: bool = False,
) -> WhistleScape:
    """A session with a blast every few seconds, and other tones and noises between and under them."""
    chance = np.random.default_rng(seed)
    whistler, room = draw_whistler(chance, kind), draw_room(chance)
    scape = WhistleScape(np.zeros(0), np.zeros(0), whistler)
    sound, scale, begin_s = (
        np.zeros(int(length_s * RATE_HZ)),
        10 ** (whistle_db / 20),
        7.0 if start_block else 0.3,
    )
    if start_block:
        for at_s in (2.0, 3.0, 4.0, 5.0):
            _blast(chance, scape, sound, at_s + 0.05 * chance.uniform(-1, 1), scale, longest_s=0.7)
    at_s = begin_s + chance.uniform(0.2, 1.5)
    while has_marks and at_s < length_s - 2.6:
        end_s = _blast(chance, scape, sound, at_s, scale * 10 ** (chance.uniform(-3, 3) / 20))
        at_s = end_s + chance.choice([chance.uniform(0.4, 0.8), chance.uniform(1.0, 5.0)], p=[0.2, 0.8])
    for _ in range(chance.poisson(tones_a_minute * length_s / 60) if tones else 0):
        other = str(chance.choice(tones))
        tone, from_s = TONES[other](chance), chance.uniform(begin_s, length_s)
        loud = max(float(np.sqrt(np.quantile(tone**2, 0.9))), 0.25 * float(np.abs(tone).max())) + 1e-9
        add(sound, tone / loud * scale * 10 ** (chance.uniform(-16, 3) / 20), from_s)
        scape.tones.append((other, from_s))
    sound = np.asarray(fftconvolve(sound, room)[: sound.size])
    background = coloured(chance, sound.size, chance.uniform(2, 5)) * slow(chance, sound.size, 0.3, 1.5)
    if bed is not None:
        laid = BEDS[bed](chance, sound.size)
        background = background + laid / (np.sqrt(np.mean(laid**2)) + 1e-12) * 10 ** (bed_db / 20)
    scape.sound = sound + background
    scape.sound *= 0.5 * chance.uniform(0.2, 1.0) / np.abs(scape.sound).max()
    scape.alone = draw_alone(chance, whistler, room, count=alone_count)
    return scape


def draw_alone(
    chance: Chance, whistler: Whistler, room: Sound, *, count: int = 4, over_db: float = 30.0
) -> Sound:
    """A recording of a whistle alone, blown a few times with pauses."""
    parts = [np.zeros(int(0.8 * RATE_HZ))]
    for _ in range(count):
        parts += [whistler.blow(chance), np.zeros(int(chance.uniform(0.5, 1.2) * RATE_HZ))]
    sound = np.concatenate(parts)
    sound = np.asarray(fftconvolve(sound, room)[: sound.size]) * 10 ** (over_db / 20)
    sound += coloured(chance, sound.size, 3.0)
    return sound * 0.3 / float(np.abs(sound).max())


def _blast(
    chance: Chance, scape: WhistleScape, sound: Sound, at_s: float, scale: float, *, longest_s: float = 3.0
) -> float:
    one = scape.whistler.blow(chance)[: int(longest_s * RATE_HZ)]
    add(sound, one * scale, at_s)
    scape.marks.append((round(at_s * RATE_HZ) / RATE_HZ, at_s + one.size / RATE_HZ))
    return scape.marks[-1][1]
