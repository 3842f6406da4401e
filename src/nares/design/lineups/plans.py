"""Checks of a plan somebody drew: positions counted, named, inside, and apart. Each check is one rule."""

import math
from collections.abc import Iterator
from itertools import combinations
from unicodedata import normalize

from nares.base.findings import Finding
from nares.base.lineups import Area, Spot
from nares.design.lineups.shapes import MOST_POSITIONS

APART_M = 0.3
"""Nearer than this, two positions are one place to a dog's nose and to the person who reads the plan."""

LONGEST_M = 1000.0


def plan_findings(area: Area) -> tuple[Finding, ...]:
    """Everything about a plan that has to be put right before a line-up is drawn on it; empty: nothing."""
    return (*_size(area), *_counted(area), *_named(area), *_inside(area), *_apart(area))


def same_name(name: str) -> str:
    """What a name comes to when case, spaces and ways of writing one letter are set aside."""
    return " ".join(normalize("NFKC", name).casefold().split())


def _size(area: Area) -> Iterator[Finding]:
    for name, length_m in (("width", area.width_m), ("depth", area.depth_m)):
        if not 0 < length_m <= LONGEST_M:
            text = f"A {name} of {length_m} m cannot be. Give metres, more than 0 and up to {LONGEST_M:.0f}."
            yield Finding("plan-size", "plan", text)


def _counted(area: Area) -> Iterator[Finding]:
    if not 1 <= len(area.spots) <= MOST_POSITIONS:
        text = f"The plan has {len(area.spots)} positions. Give it 1 to {MOST_POSITIONS}."
        yield Finding("plan-count", "plan", text)
    elif [spot.position for spot in area.spots] != list(range(1, len(area.spots) + 1)):
        text = f"The positions are not 1 to {len(area.spots)} in order, each once. Number them anew."
        yield Finding("plan-count", "plan", text)


def _named(area: Area) -> Iterator[Finding]:
    first: dict[str, Spot] = {}
    for spot in area.spots:
        name = same_name(spot.name)
        if not name:
            text = "It has no name. Give it one that people will use tomorrow as well."
            yield Finding("plan-name", _where(spot), text)
        elif name in first:
            text = (
                f"It is called {spot.name!r}, as position {first[name].position} is. Give each its own name."
            )
            yield Finding("plan-name", _where(spot), text)
        first.setdefault(name, spot)


def _inside(area: Area) -> Iterator[Finding]:
    for spot in area.spots:
        # Written so that a number that is none (NaN) is outside too.
        if not (0 <= spot.x_m <= area.width_m and 0 <= spot.y_m <= area.depth_m):
            text = f"It lies at {spot.x_m}, {spot.y_m} m, outside the plan. Move it in, or widen the plan."
            yield Finding("plan-inside", _where(spot), text)


def _apart(area: Area) -> Iterator[Finding]:
    for one, other in combinations(area.spots, 2):
        between_m = math.hypot(one.x_m - other.x_m, one.y_m - other.y_m)
        if between_m < APART_M:
            text = f"It lies {between_m:.2f} m from position {one.position}. Leave {APART_M} m between two."
            yield Finding("plan-apart", _where(other), text)


def _where(spot: Spot) -> str:
    return f"position {spot.position}"
