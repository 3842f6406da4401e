"""The criteria of a step, and what it means to raise or to relax one.

Conventions
-----------
Every criterion has a *level*; a higher level is harder. A step **raises** a criterion when its level is
higher than in the step before, and **relaxes** it when it is lower. Compared is always the step before,
not the hardest step so far: bringing back what was relaxed is a raise of its own.

Levels, easiest first:

- ``hand``: inside (shows where), side (visible at the side opening), away (no help), front (a temptation
  that pulls the wrong way);
- ``pay_place``: inside, outside, away;
- ``ask_s``: the longest hold of the range; the shortest follows it and is not compared;
- ``disturbance`` (0 to 3), ``distance_m``, ``boxes``, ``blanks``, ``distractors``: as numbers;
- ``food_in_front``: no, yes;
- ``area``: room, building, vehicles, open.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

HANDS = ("inside", "side", "away", "front")
PAY_PLACES = ("inside", "outside", "away")
AREAS = ("room", "building", "vehicles", "open")


@dataclass(frozen=True, slots=True)
class Criterion:
    """One criterion: its key in a step, its plain name, whether a value can be, and what is wanted."""

    key: str
    name: str
    fits: Callable[[Any], bool]
    wanted: str
    level: Callable[[Any], float]


def _is_number(value: Any, low: float, high: float) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and low <= value <= high


def _is_count(value: Any, low: int, high: int) -> bool:
    return isinstance(value, int) and _is_number(value, low, high)


def _is_range(value: Any) -> bool:
    whole = isinstance(value, list) and len(value) == 2 and all(_is_number(v, 0.1, 600) for v in value)
    return whole and value[0] <= value[1]


def _one_of(key: str, name: str, words: tuple[str, ...]) -> Criterion:
    wanted = "one of " + ", ".join(words)
    return Criterion(key, name, lambda v: isinstance(v, str) and v in words, wanted, words.index)


CRITERIA = (
    _one_of("hand", "hand", HANDS),
    _one_of("pay_place", "pay place", PAY_PLACES),
    Criterion(
        "ask_s", "hold", _is_range, "shortest and longest hold in seconds, like [1.0, 2.0]", lambda v: v[1]
    ),
    Criterion(
        "disturbance", "disturbance", lambda v: _is_count(v, 0, 3), "a whole number from 0 to 3", float
    ),
    Criterion(
        "distance_m", "handler distance", lambda v: _is_number(v, 0, 200), "metres from 0 to 200", float
    ),
    Criterion("boxes", "boxes", lambda v: _is_count(v, 1, 60), "a whole number from 1 to 60", float),
    Criterion("blanks", "blanks", lambda v: _is_number(v, 0, 0.9), "a share from 0 to 0.9", float),
    Criterion(
        "distractors", "distractors", lambda v: _is_count(v, 0, 20), "a whole number from 0 to 20", float
    ),
    Criterion("food_in_front", "food in front", lambda v: isinstance(v, bool), "true or false", float),
    _one_of("area", "area", AREAS),
)
"""Every criterion, in the order a trainer reads them."""


def raised(before: dict[str, Any], after: dict[str, Any]) -> list[str]:
    """Names of the criteria harder in ``after`` than in ``before``; both must be free of findings."""
    return [c.name for c in CRITERIA if c.level(after[c.key]) > c.level(before[c.key])]


def relaxed(before: dict[str, Any], after: dict[str, Any]) -> list[str]:
    """Names of the criteria easier in ``after`` than in ``before``; both must be free of findings."""
    return [c.name for c in CRITERIA if c.level(after[c.key]) < c.level(before[c.key])]
