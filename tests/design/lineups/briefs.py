"""Briefs to draw from, as a trainer at Saltmarsh Kennels would ask for them."""

from typing import Any

from nares.base.lineups import Shape, Smell
from nares.design.lineups import Brief, area_of

SEED = bytes(range(32))
TAPE, GLOVE, FOOD = Smell("tape", False), Smell("glove", False), Smell("food", True)


def brief(positions: int = 6, runs: int = 20, *, shape: Shape = "straight", **other: Any) -> Brief:
    """Six stands, twenty blind runs, a quarter of them blank; three distractors, three controls along."""
    asked: dict[str, Any] = {
        "area": area_of(shape, positions, place="old barn"),
        "runs": runs,
        "targets_low": 0,
        "targets_high": 1,
        "blank_runs": 0.25,
        "aids": ("birch 1", "birch 2"),
        "distractors": (TAPE, FOOD),
        "controls": ("packaging",),
        "set_time_min": 30,
    }
    return Brief(**{**asked, **other})


def seed(number: int) -> bytes:
    return number.to_bytes(32, "big")
