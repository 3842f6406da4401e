"""A programme: the steps of a dog's training in order, read from a TOML text a trainer can edit.

Conventions
-----------
One ``[[step]]`` per step, in order; criteria as named in `nares.decide.steps.criteria`. Optional ``[call]``
holds the levels and risks of the step test for the whole programme; a step may give its own. Distances
are metres, asks seconds, shares 0 to 1. Reading is strict: a text with any finding is refused with all of
its findings at once; `nares.decide.steps.programme_check` lists them without refusing.
"""

import tomllib
from dataclasses import dataclass
from typing import Any

from nares.base.errors import Unknown, Unusable
from nares.base.vocab import Hand, PayPlace
from nares.decide.calling.lines import CAP, StepLines, step_lines

LEVELS = {"ready": 0.85, "not_ready": 0.60, "false_raise": 0.05, "missed_raise": 0.20}
"""Levels and risks of the step test where neither programme nor step says otherwise."""


@dataclass(frozen=True, slots=True)
class Step:
    """One criterion set of a programme.

    ``ask_s``: shortest and longest hold asked at this step. [s] ``blanks``: share of searches without
    target. [-] ``ready`` … ``missed_raise`` and ``cap``: as in `nares.decide.step_lines`.
    """

    key: str
    name: str
    teaches: str
    hand: Hand
    pay_place: PayPlace
    ask_s: tuple[float, float]
    disturbance: int
    distance_m: float
    boxes: int
    blanks: float
    distractors: int
    food_in_front: bool
    area: str
    ready: float
    not_ready: float
    false_raise: float
    missed_raise: float
    cap: int = CAP

    def lines(self) -> StepLines:
        """The lines of this step's test."""
        return step_lines(
            ready=self.ready,
            not_ready=self.not_ready,
            false_raise=self.false_raise,
            missed_raise=self.missed_raise,
            cap=self.cap,
        )


@dataclass(frozen=True, slots=True)
class Programme:
    """Ordered steps under a name."""

    name: str
    about: str
    steps: tuple[Step, ...]

    def place_of(self, key: str) -> int | None:
        """Where a step stands, counted from 0, or None."""
        return next((i for i, step in enumerate(self.steps) if step.key == key), None)

    def step(self, key: str) -> Step:
        """The step of this key.

        Raises:
            Unknown: If the programme has no such step.
        """
        place = self.place_of(key)
        if place is None:
            known = ", ".join(step.key for step in self.steps)
            raise Unknown(f"The programme {self.name!r} has no step {key!r}. Its steps are: {known}.")
        return self.steps[place]


def parse_toml(text: str) -> dict[str, Any]:
    """Parse the text of a programme.

    Raises:
        Unusable: If it is not TOML, naming the line.
    """
    try:
        return tomllib.loads(text.removeprefix("\ufeff"))
    except tomllib.TOMLDecodeError as fault:
        raise Unusable(
            f"The programme is not valid TOML: {fault}. Correct that line; text goes between quotes."
        ) from None


def programme_of(table: dict[str, Any]) -> Programme:
    """Build a programme from a parsed table without findings."""
    levels = LEVELS | {"cap": CAP} | table.get("call", {})
    steps = tuple(_step_of(levels | row) for row in table["step"])
    return Programme(table["name"], table.get("about", ""), steps)


def _step_of(row: dict[str, Any]) -> Step:
    low, high = row["ask_s"]
    return Step(
        key=row["key"],
        name=row["name"],
        teaches=row["teaches"],
        hand=row["hand"],
        pay_place=row["pay_place"],
        ask_s=(float(low), float(high)),
        disturbance=row["disturbance"],
        distance_m=float(row["distance_m"]),
        boxes=row["boxes"],
        blanks=float(row["blanks"]),
        distractors=row["distractors"],
        food_in_front=row["food_in_front"],
        area=row["area"],
        ready=float(row["ready"]),
        not_ready=float(row["not_ready"]),
        false_raise=float(row["false_raise"]),
        missed_raise=float(row["missed_raise"]),
        cap=int(row["cap"]),
    )
