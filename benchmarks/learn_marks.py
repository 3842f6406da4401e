"""The recipe of the learned settings of marks: invented sessions in, ``settings/marks.json`` out.

    python -m benchmarks.mark_lessons FOLDER        draw the sessions (seeds 1 to 563)
    python -m benchmarks.learn_marks FOLDER         hear them, learn, write the settings

Chances handed from one judgement to the next are those of sessions not learned from: each half is judged by
the other.

The settings now shipped come from these seeds as drawn before the moving hand, the talking and the bounces
of a clicker got dice of their own: running this gives settings of the same kind, not the same digits. Seeds
15,000 to 15,013 were looked at while choosing what the judges see; 20,000 and up were not.
"""

import argparse
import json
import pickle
import time
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from benchmarks.fitting import Rows, fit, settings_of
from benchmarks.mark_lessons import MarkLesson, Steps, kept_lessons

from nares.measure.inputs import SoundBlock
from nares.measure.scoring import pair_events
from nares.measure.sound.clicker import print_from
from nares.measure.sound.judge import Judge, log_odds
from nares.measure.sound.likeness import alone_rows
from nares.measure.sound.marks import (
    WORTH,
    ClickerPrint,
    Judged,
    again_rows,
    propose_presses,
    told_rows,
    untold_rows,
)
from nares.measure.sound.snaps import Snaps, find_snaps, join_snaps, without_echoes
from nares.measure.sound.start_block import start_block_of
from nares.measure.sound.stream import Stretches

ROOT = Path(__file__).resolve().parent.parent
SETTINGS = ROOT / "src" / "nares" / "measure" / "sound" / "settings" / "marks.json"
HIDDEN, DECAY = 24, 4.0


@dataclass(frozen=True, slots=True)
class Lesson:
    """What was heard of one session and of its clicker alone, and the truth."""

    snaps: Snaps
    told: Snaps
    marks_s: list[float]
    releases_s: list[float]
    start_block: bool
    clicks: bool


def heard(sound: Steps) -> Snaps:
    stretches = Stretches(48_000)
    block = SoundBlock((sound / 32_767).astype(np.float32), 0, 48_000)
    parts = [*stretches.add(block), *stretches.rest()]
    return without_echoes(join_snaps([find_snaps(part) for part in parts]))


def lesson_of(one: MarkLesson) -> Lesson:
    return Lesson(heard(one.sound), heard(one.told), one.marks_s, one.releases_s, one.start_block, one.clicks)


def truth_of(snaps: Snaps, true_s: list[float]) -> Rows:
    """1 for a snap within 6 ms of a true one (the nearest only), else 0."""
    truth = np.zeros(len(snaps))
    for at_s in true_s:
        near = np.flatnonzero(np.abs(snaps.at_s - at_s) < 0.006)
        if near.size:
            truth[near[np.argmin(np.abs(snaps.at_s[near] - at_s))]] = 1.0
    return truth


@dataclass(frozen=True, slots=True)
class Case:
    """One session with or without a print; the same session twice is one case in the same half each time."""

    lesson: Lesson
    truth: Rows
    alone: Rows
    half: int
    known: ClickerPrint | None = None


def crossed(
    rows: list[Rows], truths: list[Rows], halves: list[int], *, seed: int
) -> tuple[Judge, list[Rows]]:
    """A judge from all, and to each the chances of a judge that learned from the other half."""

    def learned(of: tuple[int, ...], seed: int) -> Judge:
        which = [i for i, half in enumerate(halves) if half in of]
        return fit(
            np.concatenate([rows[i] for i in which]), np.concatenate([truths[i] for i in which]),
            seed=seed, decay=DECAY, hidden=HIDDEN,
        )  # fmt: skip

    judges = [learned((k,), seed + 10 * (k + 1)) for k in (0, 1)]
    return learned((0, 1), seed), [
        judges[1 - half].chance(row) for row, half in zip(rows, halves, strict=True)
    ]


def learn(made: list[Lesson]) -> dict[str, Judge]:
    """All judges of marks."""
    judges: dict[str, Judge] = {}
    halves = [i % 2 for i in range(len(made))]
    truths = [truth_of(one.snaps, one.marks_s + one.releases_s) for one in made]
    judges["alone"], alones = crossed([alone_rows(one.snaps) for one in made], truths, halves, seed=2)
    made, truths, alones = worth_judging(made, truths, alones)
    rows = [untold_rows(one.snaps, alone) for one, alone in zip(made, alones, strict=True)]
    judges["untold"], untold = crossed(rows, truths, halves, seed=3)
    cases = [Case(*four) for four in zip(made, truths, alones, halves, strict=True)]
    told = told_cases(cases, judges["alone"])
    rows = [
        told_rows(one.lesson.snaps, one.alone, untold[i], one.known)
        for i, one in told
        if one.known is not None
    ]
    judges["told"], first_told = crossed(
        rows, [one.truth for _, one in told], [one.half for _, one in told], seed=4
    )
    every = [*cases, *(one for _, one in told)]
    first = [*untold, *first_told]
    print(f"{len(cases)} sessions, {len(told)} of them with a print")
    learn_last(judges, every, first)
    return judges


def worth_judging(
    made: list[Lesson], truths: list[Rows], alones: list[Rows]
) -> tuple[list[Lesson], list[Rows], list[Rows]]:
    """What is left for the later judgements once plain nothings are dropped, as in use."""
    keep = [alone >= WORTH for alone in alones]
    left = [replace(one, snaps=one.snaps.take(kept)) for one, kept in zip(made, keep, strict=True)]
    before, after = sum(map(sum, truths)), sum(t[k].sum() for t, k in zip(truths, keep, strict=True))
    print(f"{sum(map(len, keep))} snaps, {sum(map(sum, keep))} worth judging; {before - after:.0f} of "
          f"{before:.0f} true ones dropped")  # fmt: skip
    return left, [t[k] for t, k in zip(truths, keep, strict=True)], [
        a[k] for a, k in zip(alones, keep, strict=True)
    ]  # fmt: skip


def learn_last(judges: dict[str, Judge], every: list[Case], first: list[Rows]) -> None:
    """The second round, the roles, the presses."""
    again = [
        again_rows(one.lesson.snaps, one.alone, chances, one.known)
        for one, chances in zip(every, first, strict=True)
    ]
    rows, halves = [row for row, _ in again], [one.half for one in every]
    judges["again"], chances = crossed(rows, [one.truth for one in every], halves, seed=5)
    true = [one.truth > 0 for one in every]
    pressed = [
        truth_of(one.lesson.snaps, one.lesson.marks_s)[was] for one, was in zip(every, true, strict=True)
    ]
    judges["role"], _ = crossed(
        [row[was] for row, was in zip(rows, true, strict=True)], pressed, halves, seed=6
    )
    leans = [log_odds(judges["role"].chance(row)) for row in rows]
    presses = []
    for one, row, chance, lean, (_, rhythm) in zip(every, rows, chances, leans, again, strict=True):
        judged = Judged(chance, lean, row, rhythm)
        proposed = propose_presses(one.lesson.snaps, judged, told=one.known is not None)
        at_s = one.lesson.snaps.at_s[[press.press for press in proposed.read]]
        presses.append((proposed.rows, _near(at_s, one.lesson.marks_s)))
    judges["press"] = fit(
        *(np.concatenate(part) for part in zip(*presses, strict=True)), seed=7, decay=DECAY, hidden=HIDDEN
    )


def told_cases(cases: list[Case], alone: Judge) -> list[tuple[int, Case]]:
    """Sessions with the print of their clicker, and silent ones with the print of another's."""
    told: list[tuple[int, Case]] = []
    for i, one in enumerate(cases):
        known = _print_of(one, alone)
        if known is not None:
            told.append((i, Case(one.lesson, one.truth, one.alone, one.half, known)))
    prints = [one.known for _, one in told]
    for number, (i, one) in enumerate((i, one) for i, one in enumerate(cases) if not one.lesson.clicks):
        for k in (0, 1):
            other = prints[(7 * number + 3 + 5 * k) % len(prints)]
            told.append((i, Case(one.lesson, one.truth, one.alone, one.half, other)))
    return told


def _print_of(one: Case, alone: Judge) -> ClickerPrint | None:
    """The print from the start block where there is one, else from the recording of the clicker alone."""
    block = start_block_of(one.lesson.snaps, one.alone) if one.lesson.start_block else None
    if block is not None:
        return block.known
    if not one.lesson.clicks:
        return None
    return print_from(one.lesson.told, alone.chance(alone_rows(one.lesson.told)))


def _near(at_s: Rows, true_s: list[float]) -> Rows:
    truth = np.zeros(at_s.size)
    for _, found in pair_events(true_s, at_s, 0.010):
        truth[found] = 1.0
    return truth


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("folder", type=Path)
    asked.add_argument("--heard", type=Path, help="keep what was heard of the sessions in this file")
    told = asked.parse_args()
    began = time.perf_counter()
    if told.heard and told.heard.exists():
        made = pickle.loads(told.heard.read_bytes())
    else:
        made = [lesson_of(one) for one in kept_lessons(told.folder)]
        if told.heard:
            told.heard.write_bytes(pickle.dumps(made))
    print(f"{len(made)} sessions heard in {time.perf_counter() - began:.0f} s")
    judges = learn(made)
    SETTINGS.write_text(json.dumps({key: settings_of(one) for key, one in judges.items()}) + "\n", "utf-8")
    print(f"learned in {time.perf_counter() - began:.0f} s: {SETTINGS}")


if __name__ == "__main__":
    main()
