"""Simulated dogs: what is really true of each dog of the demo kennel, and the rep table it leads to.

This is the only place that knows the truth. The demo ships the table alone.

A dog holds for a Weibull time whose scale falls when a step gets harder and grows back with reps; it
declines to go in with a small chance. The trainer asks for about the hold of the step, marks a moment after
the ask is reached, and raises when five of the last six of at least eighteen reps at a step were met (a habit
of this invented trainer, not advice). Only uniform draws are used, so that the table is the same everywhere.

    python -m tests.demo.simulated_dogs     write src/nares/demo/saltmarsh.csv
"""

import csv
import io
import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np

from nares.base.times import utc_text
from nares.decide.repcells import COLUMNS
from nares.decide.steps.programme import Step
from nares.decide.steps.programme_file import read_programme, shipped_programme

TABLE = Path(__file__).resolve().parents[2] / "src" / "nares" / "demo" / "saltmarsh.csv"
LAST_DAY = datetime(2026, 3, 27, 8, 0, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Truth:
    """What is really so. ``ability``: scale of the hold over its ask once a step is learnt."""

    dog: str
    first_step: int
    last_step: int
    ability: float
    shape: float
    setback: float
    reps_to_recover: float
    declines: float
    sessions: int
    days_between: float
    reps_per_session: int
    seed: int


DOGS = (
    Truth("Bracken", 0, 3, 4.0, 1.9, 0.50, 9.0, 0.04, 8, 3.0, 11, 116),
    Truth("Teasel", 3, 12, 4.6, 2.2, 0.40, 6.0, 0.01, 18, 1.6, 12, 202),
    Truth("Plover", 0, 1, 3.6, 1.3, 0.60, 18.0, 0.10, 7, 3.6, 9, 303),
)


def scale_s(dog: Truth, reps_at_step: int, longest_ask_s: float) -> float:
    """The scale of the dog's Weibull hold after so many reps at a step. [s]"""
    recovered = 1 - dog.setback * math.exp(-reps_at_step / dog.reps_to_recover)
    return longest_ask_s * dog.ability * recovered / 1.6


def true_chance(dog: Truth, reps_at_step: int, longest_ask_s: float, ask_s: float) -> float:
    """The chance that a rep meets its ask: the dog goes in, and holds that long."""
    holds = math.exp(-((ask_s / scale_s(dog, reps_at_step, longest_ask_s)) ** dog.shape))
    return (1 - dog.declines) * holds


def rows_of(dog: Truth, steps: tuple[Step, ...]) -> Iterator[dict[str, str]]:
    """Every rep of one dog, oldest first."""
    chance = np.random.Generator(np.random.PCG64(dog.seed))
    at, here, recent, seen = dog.first_step, 0, list[bool](), 0
    for number in range(1, dog.sessions + 1):
        back = timedelta(days=round((dog.sessions - number) * dog.days_between))
        started = LAST_DAY - back + timedelta(minutes=int(120 * chance.random()))
        for rep in range(1, dog.reps_per_session + int(3 * chance.random())):
            row = _rep(dog, steps[at], here, chance)
            yield {
                "dog": dog.dog,
                "session": f"{dog.dog.lower()}-{number:02d}",
                "started_at": utc_text(started),
                "rep": str(rep),
                **row,
            }
            here, seen = here + 1, seen + 1
            recent = [*recent, row["met"] == "1"][-6:]
        if sum(recent) >= 5 and here >= 18 and at < dog.last_step:
            at, here, recent = at + 1, 0, []


def weibull(scale: float, shape: float, draw: float) -> float:
    """A Weibull time from one uniform draw, in the unit of the scale."""
    return float(scale * (-math.log(1 - draw)) ** (1 / shape))


def _rep(dog: Truth, step: Step, here: int, chance: np.random.Generator) -> dict[str, str]:
    """One rep: the ask is drawn first, then the dog holds or not."""
    low, high = step.ask_s
    ask = round(low + (high - low) * chance.random(), 1)
    declined = chance.random() < dog.declines
    would = 0.0 if declined else weibull(scale_s(dog, here, high), dog.shape, chance.random())
    reaction = 0.08 + 0.3 * chance.random()
    marked = would > ask + reaction
    hold = ask + reaction if marked else would
    return {
        "step": step.key,
        "ask_s": f"{ask:.1f}",
        "hold_s": f"{hold:.2f}",
        "ended_by": "mark" if marked else "dog",
        "met": "1" if hold >= ask else "0",
        "hand": step.hand,
        "pay_place": step.pay_place,
        "distance_m": f"{step.distance_m:g}",
        "disturbance": str(step.disturbance),
        "source": "target",
        "cues": " ".join(["target", *(["hand"] if step.hand != "away" else [])]),
        "paid": "1" if marked else "0",
    }


def table_text() -> str:
    """The whole rep table, in the order in which the sessions were run."""
    steps = read_programme(shipped_programme()).steps
    rows = [row for dog in DOGS for row in rows_of(dog, steps)]
    rows.sort(key=lambda row: (row["started_at"], row["session"], int(row["rep"])))
    out = io.StringIO()
    writer = csv.DictWriter(out, COLUMNS, lineterminator="\r\n")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


if __name__ == "__main__":
    TABLE.write_text(table_text(), encoding="utf-8", newline="")
