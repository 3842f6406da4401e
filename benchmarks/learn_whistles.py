"""The recipe of the learned settings of whistles: invented sessions in, ``settings/whistle.json`` out.

    python -m benchmarks.learn_whistles            learn and write the settings
    python -m benchmarks.learn_whistles --keep F   keep (or reuse) what was heard in file F

Sessions are those of ``tests.generator.whistles``, seeds 1 to 160. No recording takes part.
"""

import argparse
import json
import time
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from benchmarks.fitting import Rows, fit, kept_lessons, learn_crossed, settings_of
from tests.generator.noises import BEDS
from tests.generator.rooms import through_phone
from tests.generator.whistles import TONES, WhistleScape, draw_whistle_session

from nares.measure.inputs import SoundBlock
from nares.measure.sound import judge as judging
from nares.measure.sound.blasts import Blasts, blasts_of
from nares.measure.sound.stream import Stretches
from nares.measure.sound.tones import Tones, tones
from nares.measure.sound.whistle import WhistlePrint, join_tones, print_of, told_rows, untold_rows

ROOT = Path(__file__).resolve().parent.parent
SETTINGS = ROOT / "src" / "nares" / "measure" / "sound" / "settings" / "whistle.json"
SESSIONS = 160
Sound = Rows


@dataclass(frozen=True, slots=True)
class Lesson:
    """The tones of one session and of its whistle alone, and when it was blown [s]."""

    session: Tones
    whistle: Tones
    marks_s: list[float]
    pitch_hz: float


@dataclass(frozen=True, slots=True)
class Case:
    """The blasts of one session and of its whistle alone, and which are marks."""

    found: Blasts
    alone: Blasts
    truth: Rows


def tones_heard(sound: Sound) -> Tones:
    stretches = Stretches(48_000)
    parts = [*stretches.add(SoundBlock(sound.astype(np.float32), 0, 48_000)), *stretches.rest()]
    return join_tones([tones(part) for part in parts], stretches.heard_s)


def drawn(seed: int) -> tuple[WhistleScape, Sound, Sound]:
    """A session of any kind, as heard through a phone: (truth, session, whistle alone)."""
    chance = np.random.default_rng(seed + 500_000)
    kinds = tuple(kind for kind in TONES if chance.random() < 0.6)
    scape = draw_whistle_session(
        seed,
        length_s=float(chance.choice([10.5, 21.0, 21.0])),
        whistle_db=chance.uniform(8, 42),
        tones=kinds,
        tones_a_minute=float(chance.choice([0.0, 3.0, 12.0, 30.0])),
        has_marks=bool(chance.random() < 0.9),
        bed=str(chance.choice(list(BEDS))) if chance.random() < 0.35 else None,
        bed_db=chance.uniform(-5, 15),
        alone_count=int(chance.integers(2, 7)),
    )
    phone = str(
        chance.choice(["plain", "codec", "narrow", "clipped", "gain"], p=[0.5, 0.25, 0.07, 0.1, 0.08])
    )
    return scape, through_phone(chance, scape.sound, phone), through_phone(chance, scape.alone, phone)


def truth_of(found: Blasts, true_s: list[float], pitch_hz: float) -> Rows:
    """1 for the blast that begins within 40 ms of a true one and is nearest to it in pitch, else 0."""
    truth = np.zeros(len(found))
    away = np.abs(found.pitch - np.log(pitch_hz))
    for at_s in true_s:
        near = np.flatnonzero((np.abs(found.at_s - at_s) < 0.040) & (away < 0.6))
        if near.size:
            truth[near[np.argmin(away[near])]] = 1.0
    return truth


def lesson(seed: int) -> Lesson:
    scape, sound, alone = drawn(seed)
    return Lesson(tones_heard(sound), tones_heard(alone), scape.marks_s, scape.whistler.pitch_hz)


def case(one: Lesson) -> Case:
    found = blasts_of(one.session)
    return Case(found, blasts_of(one.whistle), truth_of(found, one.marks_s, one.pitch_hz))


def _fit(rows: Rows, truth: Rows, seed: int) -> judging.Judge:
    return fit(rows, truth, seed=seed, decay=2.0, hidden=6, rising=True)


def learn(lessons: list[Lesson]) -> dict[str, judging.Judge]:
    made = [one for one in map(case, lessons) if len(one.found)]
    rows, truths = [one.found.rows for one in made], [one.truth for one in made]
    halves = [_fit(np.concatenate(rows[i::2]), np.concatenate(truths[i::2]), i) for i in (0, 1)]
    judges = {"alone": _fit(np.concatenate(rows), np.concatenate(truths), 2)}
    _ship(judges)
    alones = [halves[1 - i % 2].chance(row) for i, row in enumerate(rows)]
    every, truth_by = dict(enumerate(made)), dict(enumerate(truths))
    untold = {i: untold_rows(one.found, alones[i]) for i, one in every.items()}
    judges["untold"], chances = learn_crossed(untold, truth_by, seed=3, rising=True)
    prints = {i: known for i, one in every.items() if (known := print_of(one.alone)) is not None}
    told = {i: told_rows(made[i].found, alones[i], chances[i], known) for i, known in prints.items()}
    silent = [i for i in every if not truths[i].any() and i not in prints] + [
        i for i in every if not truths[i].any()
    ]
    others: list[WhistlePrint] = list(prints.values())
    for number, i in enumerate(silent):
        twin = len(made) + (len(made) + i) % 2 + 2 * number
        told[twin] = told_rows(made[i].found, alones[i], chances[i], others[(7 * number + 3) % len(others)])
        truth_by[twin] = truths[i]
    judges["told"], _ = learn_crossed(told, truth_by, seed=4, rising=True)
    return judges


def _ship(judges: dict[str, judging.Judge]) -> None:
    SETTINGS.write_text(json.dumps({key: settings_of(one) for key, one in judges.items()}) + "\n", "utf-8")
    judging.judge.cache_clear()


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--keep", type=Path)
    asked.add_argument("--sessions", type=int, default=SESSIONS)
    told = asked.parse_args()
    began = time.perf_counter()
    made = kept_lessons(told.keep, told.sessions, lesson)
    print(f"{len(made)} sessions heard in {time.perf_counter() - began:.0f} s")
    _ship(learn(made))
    print(f"learned in {time.perf_counter() - began:.0f} s: {SETTINGS}")


if __name__ == "__main__":
    main()
