"""Simulated dogs that one criterion broke: what is really so is known here and nowhere else.

A dog meets a rep with chance ``good`` where the guilty criterion is eased and with ``bad`` where it is not.
It has passed the two steps before the one it fails at. The trainer does what the plan says, session by
session, until a criterion is named, none is, or the sessions run out.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from nares.base.vocab import Rep
from nares.decide.evidence import latest_stretch
from nares.decide.isolation.easing import level_of, name_of, step_of
from nares.decide.isolation.isolating import Isolation, isolate
from nares.decide.steps.programme import Programme, Step
from nares.decide.verdict import call_on

REPS = 12
MOST_SESSIONS = 25


@dataclass(frozen=True, slots=True)
class Found:
    """What isolating came to. ``named``: the criterion, "none", or "open" where sessions ran out."""

    named: str
    reps: int
    sessions: int


def session_at(step: Step, number: int, chance: float, draws: np.random.Generator) -> list[Rep]:
    """One session at a step, each rep met with this chance."""
    low, high = step.ask_s
    return [
        Rep(
            dog="Bracken", session=f"s{number:03d}", step=step.key, rep=rep,
            started_at=f"2026-{1 + number // 28:02d}-{1 + number % 28:02d}T09:{rep:02d}:00+00:00",
            ask_s=round(low + (high - low) * draws.random(), 1), hold_s=None, ended_by="mark",
            met=bool(draws.random() < chance), hand=step.hand, pay_place=step.pay_place,
            distance_m=step.distance_m, disturbance=step.disturbance, source="target",
        )
        for rep in range(1, REPS + 1)
    ]  # fmt: skip


def until_named(
    programme: Programme, failed: Step, chance_at: Callable[[Step], float], draws: np.random.Generator
) -> Found:
    """Work a dog from two mastered steps through the fail until isolating has its answer."""
    place = programme.place_of(failed.key) or 0
    reps: list[Rep] = []
    for number, step in enumerate(programme.steps[max(0, place - 2) : place]):
        reps += session_at(step, number, 0.95, draws)
    step, began, number = failed, len(reps), 2
    while number < MOST_SESSIONS:
        reps += session_at(step, number, chance_at(step), draws)
        number += 1
        answer = _isolation(reps, programme)
        if answer is None or answer.failed != failed.key:
            continue
        if step.key == failed.key:
            began, first = len(reps), number
        if answer.settled:
            return Found(answer.broke or "none", len(reps) - began, number - first)
        step = step_of(programme, answer.next_step) or failed
    return Found("open", len(reps) - began, number)


def _isolation(reps: list[Rep], programme: Programme) -> Isolation | None:
    stretch = latest_stretch(reps, programme)
    step = step_of(programme, stretch.step)
    assert step is not None
    return isolate(reps, call_on(stretch, step), step, programme)


def guilty(criterion: str, failed: Step, *, good: float, bad: float) -> Callable[[Step], float]:
    """A dog that one criterion broke: good wherever it is easier than at the failed step."""
    full = level_of(failed, criterion)
    return lambda step: good if level_of(step, criterion) < full else bad


def plain(criterion: str) -> str:
    """The name a criterion goes by in an answer."""
    return name_of(criterion)
