"""Sessions in which a trainer marks with a word, with the truth known.

Conventions
-----------
As in `sessions`: 48 kHz mono, one seed, one session. ``word_db``: the loud parts of the word over the steady
background, all frequencies. The trainer talks as well, so do others, and some of what they say is nearly the
word. Seeds below 10,000 are for learning, from 10,000 on for judging.
"""

from dataclasses import dataclass, field

import numpy as np
from scipy.signal import fftconvolve
from tests.generator.noises import BEDS, EVENTS
from tests.generator.rooms import draw_room
from tests.generator.soundcraft import RATE_HZ, Chance, Sound, add, coloured, slow
from tests.generator.talkers import (
    MARKERS,
    Talker,
    draw_talker,
    draw_word,
    near_word,
    running_speech,
    said,
)

NOISES = tuple(kind for kind in EVENTS if kind != "speech")


@dataclass(slots=True)
class WordScape:
    """``sound``: the session. ``examples``: the recording of the word alone. ``marks``: (start, end) of each
    marker word [s]; ``own`` and ``others``: stretches of running speech by the trainer and by others [s]."""

    sound: Sound
    examples: Sound
    word: str
    marks: list[tuple[float, float]] = field(default_factory=list)
    own: list[tuple[float, float]] = field(default_factory=list)
    others: list[tuple[float, float]] = field(default_factory=list)
    near: list[str] = field(default_factory=list)

    @property
    def marks_s(self) -> list[float]:
        """Where each marker word begins. [s]"""
        return [start for start, _ in self.marks]


def draw_word_session(
    seed: int,
    *,
    length_s: float = 30.0,
    word: str | None = None,
    word_db: float = 25.0,
    examples_db: float = 30.0,
    examples: int = 5,
    has_marks: bool = True,
    near_share: float = 0.1,
    own_share: float = 0.3,
    others_share: float = 0.2,
    events_a_minute: float = 8.0,
    bed: str | None = None,
    bed_db: float = 5.0,
    same_room: bool = True,
    start_block: bool = False,
) -> WordScape:
    """A session with a marker word every few seconds, speech and noises between them.

    ``near_share``: how often a spoken word is one of six that are nearly the marker. ``own_share`` and
    ``others_share``: how much of the time is filled with running speech of the trainer and of others.
    """
    chance = np.random.default_rng(seed)
    talker, room = draw_talker(chance), draw_room(chance)
    word = word or (str(chance.choice(MARKERS)) if chance.random() < 0.4 else draw_word(chance))
    near = [one for one in (near_word(chance, word) for _ in range(6)) if one != word]
    told_room = room if same_room else draw_room(chance)
    care = chance.uniform(0.15, 1.25)
    told = draw_examples(chance, talker, word, count=examples, over_db=examples_db, room=told_room, care=care)
    scape = WordScape(np.zeros(0), told, word, near=near)
    scape.sound = _session(
        chance, scape, talker, room, care, length_s, 10 ** (word_db / 20), near, near_share,
        (own_share, others_share, events_a_minute), has_marks, start_block,
    )  # fmt: skip
    background = coloured(chance, scape.sound.size, chance.uniform(2, 5)) * slow(
        chance, scape.sound.size, 0.3, 1.5
    )
    if bed is not None:
        laid = BEDS[bed](chance, scape.sound.size)
        background = background + laid / (np.sqrt(np.mean(laid**2)) + 1e-12) * 10 ** (bed_db / 20)
    scape.sound = scape.sound + background
    scape.sound *= 0.5 * chance.uniform(0.2, 1.0) / np.abs(scape.sound).max()
    return scape


def draw_examples(
    chance: Chance,
    talker: Talker,
    word: str,
    *,
    count: int,
    over_db: float,
    room: Sound | None = None,
    care: float = 1.0,
) -> Sound:
    """A recording of a word said several times with pauses."""
    parts = [np.zeros(int(chance.uniform(0.5, 1.5) * RATE_HZ))]
    for _ in range(count):
        one = said(chance, talker, word, care=care) * 10 ** (chance.uniform(-2, 2) / 20)
        parts += [one, np.zeros(int(chance.uniform(0.5, 1.6) * RATE_HZ))]
    sound = np.concatenate(parts)
    if room is not None:
        sound = np.asarray(fftconvolve(sound, room)[: sound.size])
    sound = sound * 10 ** (over_db / 20) + coloured(chance, sound.size, chance.uniform(2, 5))
    return sound * 0.5 * chance.uniform(0.2, 1.0) / float(np.abs(sound).max())


def _session(
    chance: Chance,
    scape: WordScape,
    talker: Talker,
    room: Sound,
    care: float,
    length_s: float,
    scale: float,
    near: list[str],
    near_share: float,
    shares: tuple[float, float, float],
    has_marks: bool,
    start_block: bool,
) -> Sound:
    sound = np.zeros(int(length_s * RATE_HZ))
    begin_s = 7.0 if start_block else 0.3
    mood = (1 + 0.06 * chance.standard_normal(), 1 + 0.06 * chance.standard_normal())
    trainer = Talker(talker.tract, talker.pitch_hz * mood[0], talker.tilt_db, talker.breath_db, talker.width,
                     talker.hiss, talker.pace * mood[1], talker.bent)  # fmt: skip
    if start_block:
        for at_s in (2.0, 3.0, 4.0, 5.0):
            _mark(chance, scape, sound, trainer, care, at_s + 0.05 * chance.uniform(-1, 1), scale)
    own, others, noises = shares
    at_s = begin_s + chance.uniform(0, 1)
    while has_marks and at_s < length_s - 1.5:
        end_s = _mark(chance, scape, sound, trainer, care, at_s, scale * 10 ** (chance.uniform(-3, 3) / 20))
        if own and chance.random() < 0.3:
            praise_s = end_s + chance.uniform(0.04, 0.35)
            end_s = _talk(
                chance, scape.own, sound, trainer, praise_s, chance.uniform(0.4, 1.2), scale, near, near_share
            )
        at_s = end_s + chance.uniform(1.2, 5.0)
    busy = [*scape.marks, *scape.own]
    for _ in range(int(own * length_s / 2.0 + 0.5)):
        start, span = chance.uniform(begin_s, length_s - 1), chance.uniform(0.6, 3.2)
        free = [(a, b) for a, b in busy if start - 0.05 < b and a < start + span + 0.05]
        if not free:
            _talk(chance, scape.own, sound, trainer, start, span, scale, near, near_share)
            busy.append(scape.own[-1])
    for _ in range(int(others * length_s / 2.0 + 0.5)):
        start, span = chance.uniform(begin_s, length_s - 1), chance.uniform(0.6, 3.2)
        other = draw_talker(chance)
        softer = scale * 10 ** (chance.uniform(-20, 0) / 20)
        _talk(chance, scape.others, sound, other, start, span, softer, near, near_share)
    for _ in range(chance.poisson(noises * length_s / 60)):
        event = EVENTS[str(chance.choice(NOISES))](chance)
        event = event / np.abs(event).max() * scale * 3.0 * 10 ** (chance.uniform(-16, 6) / 20)
        add(sound, event, chance.uniform(begin_s, length_s))
    return np.asarray(fftconvolve(sound, room)[: sound.size])


def _mark(
    chance: Chance, scape: WordScape, sound: Sound, talker: Talker, care: float, at_s: float, scale: float
) -> float:
    one = said(chance, talker, scape.word, care=care)
    add(sound, one * scale, at_s)
    scape.marks.append((round(at_s * RATE_HZ) / RATE_HZ, at_s + one.size / RATE_HZ))
    return scape.marks[-1][1]


def _talk(
    chance: Chance,
    into: list[tuple[float, float]],
    sound: Sound,
    talker: Talker,
    at_s: float,
    length_s: float,
    scale: float,
    near: list[str],
    near_share: float,
) -> float:
    one = running_speech(chance, talker, length_s, words=near, near_share=near_share)
    add(sound, one * scale, at_s)
    into.append((at_s, at_s + one.size / RATE_HZ))
    return into[-1][1]
