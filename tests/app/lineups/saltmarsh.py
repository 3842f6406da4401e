"""Line-ups to test with: a kennel with a fixed seed, four people in their seats, runs worked to the end."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
from tests.app.kennels import TickingClock

from nares.app import jobs
from nares.app.deeds import AddDog, Receipt
from nares.app.desk import Desk, open_desk
from nares.app.lineups.requests import (
    BeginRun,
    CloseLineup,
    DrawLineup,
    MakeCall,
    ObserveRun,
    OpenRun,
    PlaceRun,
    TakeSeat,
    VoidRun,
)
from nares.app.lineups.values import Drawn
from nares.base.lineups import Observed, Role, RunKey, Smell
from nares.design.keys import runs_from

PLACER, HANDLER, EVALUATOR, RECORDER = "Joss Pike", "Tobin Fell", "Ines Harrow", "Wil Tarn"
PEOPLE: dict[Role, str] = {
    "placer": PLACER,
    "handler": HANDLER,
    "evaluator": EVALUATOR,
    "recorder": RECORDER,
}


@contextmanager
def kennel(data: Path, seed: bytes = b"\x07" * 32, clock: TickingClock | None = None) -> Iterator[Desk]:
    """A kennel with the dog Teasel; every line-up is drawn from this seed."""
    with open_desk(
        data,
        person="Mara Quill",
        kennel="Saltmarsh Kennels",
        site="bench",
        now=clock or TickingClock(),
        draws=lambda: np.random.default_rng(7),
        seed=lambda: seed,
    ) as opened:
        jobs.add_dog(opened, AddDog("Teasel", "Springer Spaniel"))
        yield opened


def asked(**other: Any) -> DrawLineup:
    """Six boxes, four runs, none or one target, two distractors, one control; double-blind is aimed at."""
    said: dict[str, Any] = {
        "area": jobs.lineup_area("boxes", 6, "barn"),
        "runs": 4,
        "targets_low": 0,
        "targets_high": 1,
        "dog": "Teasel",
        "by": "Mara Quill",
        "blank_runs": 0.25,
        "distractors": (Smell("tape"), Smell("food", novel=False)),
        "controls": ("gloves",),
        "people": PEOPLE,
    }
    return DrawLineup(**{**said, **other})


@dataclass(slots=True)
class Session:
    """A line-up drawn, with everybody in their seats."""

    desk: Desk
    drawn: Drawn
    tokens: dict[Role, str] = field(default_factory=dict)

    @property
    def lineup(self) -> str:
        return self.drawn.lineup

    def key(self) -> dict[str, Any]:
        """The sealed key, as only a test may look at it."""
        return self.desk.vault.key(self.lineup, self.drawn.commitment)

    def run(self, number: int) -> RunKey:
        return runs_from(self.key())[number - 1]

    def place(self, run: int) -> Receipt:
        jobs.seat_page(self.desk, self.tokens["placer"])
        return jobs.place_run(self.desk, PlaceRun(self.tokens["placer"], run))

    def begin(self, run: int, *present: str) -> Receipt:
        names = present or (HANDLER, EVALUATOR, RECORDER)
        return jobs.begin_run(self.desk, BeginRun(self.tokens["evaluator"], run, names))

    def call(self, run: int, position: int | None = 1) -> Receipt:
        return jobs.make_call(self.desk, MakeCall(self.tokens["handler"], run, position))

    def observe(self, run: int, alerted_at: int | None = 1, role: Role = "evaluator") -> Receipt:
        seen = Observed(run, alerted_at, 4.5)
        return jobs.observe_run(self.desk, ObserveRun(self.tokens[role], run, seen))

    def open(self, run: int) -> Receipt:
        return jobs.open_run(self.desk, OpenRun(self.tokens["evaluator"], run))

    def void(self, run: int, why: str = "a box fell over") -> Receipt:
        return jobs.void_run(self.desk, VoidRun(self.tokens["evaluator"], run, why))

    def work(self, run: int, position: int | None = 1) -> Receipt:
        """A run from placing to opening."""
        self.place(run)
        self.begin(run)
        self.call(run, position)
        self.observe(run, position)
        return self.open(run)

    def close(self, why: str = "") -> Receipt:
        return jobs.close_lineup(self.desk, CloseLineup(self.lineup, "Mara Quill", why=why))


def sat_down(desk: Desk, **other: Any) -> Session:
    """Draw a line-up and let everybody take their seat."""
    session = Session(desk, jobs.draw_lineup(desk, asked(**other)))
    for one in session.drawn.codes:
        session.tokens[one.role] = jobs.take_seat(desk, TakeSeat(one.code)).token
    return session
