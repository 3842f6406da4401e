"""The recipe of the learned settings of breath: invented sessions in, ``settings/breath.json`` out.

    python -m benchmarks.learn_breath --keep FOLDER              learn and write the settings
    python -m benchmarks.learn_breath --keep FOLDER --steps N    for longer or shorter

What was heard of the sessions is kept in the folder and used again. The listener learns from nineteen in
twenty of the sessions, the chance of an intake from the twentieth, which the listener has not met. Seeds
9,000 to 9,999 were looked at while choosing the method; 30,000 and up were looked at once, for the figures.
"""

import argparse
import json
import time
from pathlib import Path

import numpy as np
from benchmarks.fitting import Rows, fit, settings_of
from benchmarks.sniffing_lessons import Sniffed, kinds_of, lessons
from benchmarks.teaching import Lessons, new_pupil, settings_of_listener, teach

from nares.measure.sound.air import excess
from nares.measure.sound.intakes import Intakes, find_intakes, intake_rows
from nares.measure.sound.listener import Listener, listener_from

ROOT = Path(__file__).resolve().parent.parent
SETTINGS = ROOT / "src" / "nares" / "measure" / "sound" / "settings" / "breath.json"
SESSIONS, STEPS, HIDDEN = 420, 12_000, 24
ASIDE = 20
"""Every twentieth session is set aside for the chance of an intake."""


def intake_truth(intakes: Intakes, inhales: list[tuple[float, float]]) -> Rows:
    """1 for an intake that shares at least half of what it and a true one cover together, else 0."""
    truth = np.zeros(len(intakes))
    for start, end in inhales:
        both = np.minimum(intakes.end_s, end) - np.maximum(intakes.start_s, start)
        either = np.maximum(intakes.end_s, end) - np.minimum(intakes.start_s, start)
        truth[both >= 0.5 * either] = 1.0
    return truth


def learn_intakes(listener: Listener, aside: list[Sniffed]) -> dict[str, object]:
    rows, truths = [], []
    for one in aside:
        chances = listener.chances(excess(one.levels))
        found = find_intakes(chances)
        rows.append(intake_rows(chances, found))
        truths.append(intake_truth(found, one.inhales))
    return settings_of(fit(np.concatenate(rows), np.concatenate(truths), seed=4, hidden=4, decay=10.0))


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--keep", type=Path, required=True)
    asked.add_argument("--steps", type=int, default=STEPS)
    asked.add_argument("--sessions", type=int, default=SESSIONS)
    told = asked.parse_args()
    began, taught, aside = time.perf_counter(), Lessons(), []
    for number, one in enumerate(lessons(told.keep, range(1, told.sessions + 1)), start=1):
        if number % ASIDE == 0:
            aside.append(one)
        else:
            taught.append((excess(one.levels), kinds_of(one)))
    print(f"{told.sessions} sessions heard in {time.perf_counter() - began:.0f} s")
    pupil = new_pupil(taught[0][0].shape[1], HIDDEN, taught[0][1].shape[1], seed=1)
    learned = settings_of_listener(teach(pupil, taught, steps=told.steps, seed=2).listener())
    settings = {"air": learned, "intake": learn_intakes(listener_from(learned), aside)}
    SETTINGS.write_text(json.dumps(settings, separators=(",", ":")) + "\n", "utf-8")
    print(f"learned in {time.perf_counter() - began:.0f} s: {SETTINGS}")


if __name__ == "__main__":
    main()
