"""The recipe of the learned settings of marks: invented sessions in, ``settings/marks.json`` out.

    python -m benchmarks.learn_marks            learn and write the settings
    python -m benchmarks.learn_marks --keep F   keep (or reuse) what was heard of the sessions in file F

The settings now shipped come from 660 sessions: seeds 1 to 400, made before the uneven noises (gusts, engine)
and the shorter sessions were added to the generator, and seeds 1001 to 1260 made after. Running this recipe
therefore gives settings of the same kind, not the same digits. Seeds 10,001 to 10,060 and 12,901 to 12,904
were looked at while choosing what the judges see; 11,000 to 11,999 and 20,000 and up were not.
"""

import argparse
import json
import time
from pathlib import Path

import numpy as np
from benchmarks.fitting import Rows, fit, learn_crossed, settings_of
from benchmarks.lessons import Lesson, lessons

from nares.measure.scoring import pair_events
from nares.measure.sound.clicker import print_from
from nares.measure.sound.judge import Judge
from nares.measure.sound.likeness import alone_rows
from nares.measure.sound.marks import ClickerPrint, propose_presses, told_rows, untold_rows
from nares.measure.sound.snaps import Snaps

ROOT = Path(__file__).resolve().parent.parent
SETTINGS = ROOT / "src" / "nares" / "measure" / "sound" / "settings" / "marks.json"
SESSIONS = 600


def truth_of(snaps: Snaps, true_s: list[float]) -> Rows:
    """1 for a snap within 4 ms of a true one (the nearest only), else 0."""
    truth = np.zeros(len(snaps))
    for at_s in true_s:
        near = np.flatnonzero(np.abs(snaps.at_s - at_s) < 0.004)
        if near.size:
            truth[near[np.argmin(np.abs(snaps.at_s[near] - at_s))]] = 1.0
    return truth


def learn_snaps(made: list[Lesson]) -> dict[str, Judge]:
    """Judges of snaps, by themselves and among known ones, and of presses."""
    truths = [truth_of(one.snaps, one.marks_s + one.releases_s) for one in made]
    rows = [alone_rows(one.snaps) for one in made]
    # Chances fed onward must be those of sessions not learned from: each half is judged by the other.
    halves = [fit(np.concatenate(rows[i::2]), np.concatenate(truths[i::2]), seed=i) for i in (0, 1)]
    judges = {"alone": fit(np.concatenate(rows), np.concatenate(truths), seed=2)}
    alones = [halves[1 - i % 2].chance(row) for i, row in enumerate(rows)]
    every = list(range(len(made)))
    lessons_of, truths_of = dict(enumerate(made)), dict(enumerate(truths))
    untold = dict(zip(every, map(untold_rows, (one.snaps for one in made), alones), strict=True))
    judges["untold"], untold_chances = learn_crossed(untold, truths_of, seed=3)
    prints = {i: known for i in every if (known := _print_of(made[i], judges["alone"])) is not None}
    told = {i: told_rows(made[i].snaps, alones[i], untold_chances[i], known) for i, known in prints.items()}
    # A print of a clicker that never sounds: sessions without one, each with the print of another.
    silent, others = [i for i in every if not made[i].marks_s], list(prints.values())
    for number, i in enumerate(silent * 2):
        twin = len(made) + (len(made) + i) % 2 + 2 * number  # on the same side of the halving as its session
        prints[twin] = others[(7 * number + 3) % len(others)]
        told[twin] = told_rows(made[i].snaps, alones[i], untold_chances[i], prints[twin])
        lessons_of[twin], truths_of[twin] = made[i], np.zeros(len(made[i].snaps))
    judges["told"], told_chances = learn_crossed(told, truths_of, seed=4)
    presses = []
    for chances, known_in in ((untold_chances, {}), (told_chances, prints)):
        for i, chance in chances.items():
            snaps = lessons_of[i].snaps
            proposed = propose_presses(snaps, chance, known_in.get(i))
            at_s = snaps.at_s[[one.press for one in proposed.read]]
            presses.append((proposed.rows, _near(at_s, lessons_of[i].marks_s)))
    judges["press"] = fit(*(np.concatenate(part) for part in zip(*presses, strict=True)), seed=6, hidden=10)
    return judges


def _print_of(one: Lesson, alone: Judge) -> ClickerPrint | None:
    return print_from(one.print_snaps, alone.chance(alone_rows(one.print_snaps)))


def _near(at_s: Rows, true_s: list[float]) -> Rows:
    truth = np.zeros(at_s.size)
    for _, found in pair_events(true_s, at_s, 0.010):
        truth[found] = 1.0
    return truth


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--keep", type=Path)
    asked.add_argument("--sessions", type=int, default=SESSIONS)
    told = asked.parse_args()
    began = time.perf_counter()
    made = lessons(told.keep, told.sessions)
    print(f"{len(made)} sessions heard in {time.perf_counter() - began:.0f} s")
    judges = learn_snaps(made)
    SETTINGS.write_text(json.dumps({key: settings_of(one) for key, one in judges.items()}) + "\n", "utf-8")
    print(f"learned in {time.perf_counter() - began:.0f} s: {SETTINGS}")


if __name__ == "__main__":
    main()
