"""The recipe of the learned settings of marker words: invented sessions in, ``settings/word.json`` out.

    python -m benchmarks.learn_words            learn and write the settings
    python -m benchmarks.learn_words --keep F   keep (or reuse) what was heard in file F

Sessions are those of ``tests.generator.words``, seeds 1 to 160: one second in three has running speech, some
of it nearly the word. No recording and no speech synthesiser takes part.
"""

import argparse
import json
import time
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from benchmarks.fitting import Rows, fit, kept_lessons, settings_of
from tests.generator.noises import BEDS
from tests.generator.rooms import through_phone
from tests.generator.words import WordScape, draw_word_session

from nares.base.errors import NotEnoughData
from nares.measure.inputs import SoundBlock
from nares.measure.sound.stream import Stretches
from nares.measure.sound.utterances import utterances
from nares.measure.sound.voice_levels import HOP_S, Levels, join_levels, voice_levels
from nares.measure.sound.voice_shape import shape_of
from nares.measure.sound.word import candidates
from nares.measure.sound.word_print import print_of

ROOT = Path(__file__).resolve().parent.parent
SETTINGS = ROOT / "src" / "nares" / "measure" / "sound" / "settings" / "word.json"
SESSIONS = 160


@dataclass(frozen=True, slots=True)
class Lesson:
    """Band levels of a session and of its examples, and where the word is said [s]."""

    session: Levels
    examples: Levels
    marks: list[tuple[float, float]]


def levels_heard(sound: Rows) -> Levels:
    stretches = Stretches(48_000)
    parts = [*stretches.add(SoundBlock(sound.astype(np.float32), 0, 48_000)), *stretches.rest()]
    return join_levels([voice_levels(part) for part in parts])[: int(stretches.heard_s / HOP_S)]


def drawn(seed: int) -> tuple[WordScape, Rows, Rows]:
    """A session of every kind, as heard through a phone: (truth, session, examples)."""
    chance = np.random.default_rng(seed + 500_000)
    scape = draw_word_session(
        seed,
        length_s=float(chance.choice([10.5, 21.0, 21.0])),
        word_db=chance.uniform(10, 40),
        examples_db=chance.uniform(18, 42),
        examples=int(chance.choice([3, 4, 5, 6, 8, 10], p=[0.1, 0.15, 0.45, 0.15, 0.1, 0.05])),
        has_marks=bool(chance.random() < 0.8),
        near_share=float(chance.choice([0.0, 0.05, 0.15], p=[0.4, 0.4, 0.2])),
        own_share=chance.uniform(0.1, 0.9),
        others_share=chance.uniform(0.0, 0.4),
        events_a_minute=chance.uniform(0, 16),
        bed=str(chance.choice(list(BEDS))) if chance.random() < 0.3 else None,
        bed_db=chance.uniform(-5, 15),
        same_room=bool(chance.random() < 0.9),
    )
    phone = str(chance.choice(["plain", "codec", "narrow", "clipped", "gain"], p=[0.5, 0.25, 0.1, 0.1, 0.05]))
    told = phone if chance.random() < 0.95 else "plain"
    return scape, through_phone(chance, scape.sound, phone), through_phone(chance, scape.examples, told)


def lesson(seed: int) -> Lesson:
    scape, sound, examples = drawn(seed)
    return Lesson(levels_heard(sound), levels_heard(examples), scape.marks)


def judged(one: Lesson) -> tuple[Rows, Rows] | None:
    """The candidates of one session and which are the word; None where there is no print or no candidate."""
    told = shape_of(one.examples)
    try:
        known = print_of(told, utterances(told))
    except NotEnoughData:
        return None
    found = candidates(shape_of(one.session), known)
    if not found.spans:
        return None
    truth, middles = np.zeros(len(found.spans)), np.array([(a + b) / 2 * HOP_S for a, b in found.spans])
    for start, end in one.marks:
        near = np.flatnonzero((middles > start) & (middles < end))
        if near.size:
            truth[near[np.argmax(found.rows[near, 0])]] = 1.0
    return found.rows, truth


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--keep", type=Path)
    asked.add_argument("--sessions", type=int, default=SESSIONS)
    told = asked.parse_args()
    began = time.perf_counter()
    made = kept_lessons(told.keep, told.sessions, lesson)
    parts = [part for one in made if (part := judged(one)) is not None]
    rows, truth = (np.concatenate(part) for part in zip(*parts, strict=True))
    took_s = time.perf_counter() - began
    print(f"{len(parts)} sessions, {len(truth)} candidates, {int(truth.sum())} true: {took_s:.0f} s")
    learned = fit(rows, truth, seed=1, decay=2.0, hidden=6, rising=True)
    SETTINGS.write_text(json.dumps({"word": settings_of(learned)}) + "\n", "utf-8")
    print(f"learned in {time.perf_counter() - began:.0f} s: {SETTINGS}")


if __name__ == "__main__":
    main()
