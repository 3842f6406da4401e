"""A plan of positions as figures for a drawing: in the editor, of a line-up, of an opened run.

Conventions
-----------
The drawing is ``WIDE`` units wide whatever the area is; one metre is ``scale`` units. Origin top left, as on
the plan. ``static/js/lineups/draw.js`` moves what is drawn here; it takes the sizes from the drawing.
"""

import json
from dataclasses import dataclass

from nares.base.lineups import Area, Called, Observed, Placed
from nares.web.lineups.words import held_words

WIDE = 440
MARGIN = 22
FLOOR_WIDE = WIDE - 2 * MARGIN
FLOOR_DEEP_MOST = 440
BELOW = 34
"""Room under the floor for the scale bar. [units]"""
THINGS = {
    "straight": (34, 34, 17),
    "ring": (34, 34, 17),
    "boxes": (34, 34, 3),
    "cans": (30, 30, 15),
    "room": (30, 30, 9),
    "vehicles": (30, 30, 9),
    "parcels": (44, 30, 3),
}
"""Width, height and rounding of the outline a position is drawn with, by shape. [units]"""
BARS_M = (0.5, 1, 2, 5, 10, 20, 50)


@dataclass(frozen=True, slots=True)
class Mark:
    """One position on the drawing. [units]

    ``own``: its name where that says more than the number; ``holds`` empty: nothing is told of it.
    """

    position: int
    name: str
    own: str
    x: float
    y: float
    x_m: float
    y_m: float
    holds: str = ""
    words: str = ""
    called: bool = False
    alerted: bool = False


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything the drawing of one area needs. Lengths in units but where they end in ``_m``."""

    shape: str
    width_m: float
    depth_m: float
    scale: float
    left: float
    top: float
    wide: float
    deep: float
    high: float
    thing: tuple[int, int, int]
    path: str
    vehicles: tuple[tuple[float, float, float, float], ...]
    bar_m: float
    marks: tuple[Mark, ...]
    things: str

    @property
    def bar_to(self) -> float:
        """Where the scale bar ends. [units]"""
        return round(self.left + self.bar_m * self.scale, 2)

    @property
    def bar_text(self) -> float:
        """Where the words of the scale bar stand. [units]"""
        return round(self.bar_to + 8, 2)

    @property
    def thing_x(self) -> float:
        """Left edge of a position's outline from its middle. [units]"""
        return -self.thing[0] / 2

    @property
    def thing_y(self) -> float:
        """Upper edge of a position's outline from its middle. [units]"""
        return -self.thing[1] / 2

    @property
    def name_y(self) -> float:
        """Where a position's name stands, below its outline. [units]"""
        return self.thing[1] / 2 + 13

    @property
    def door_from(self) -> float:
        """Left end of a room's door, in the wall nearest to the reader. [units]"""
        return round(self.left + 0.06 * self.wide, 2)

    @property
    def door_to(self) -> float:
        """Right end of the door: a metre on, or a third of the wall. [units]"""
        return round(self.door_from + min(self.scale, self.wide / 3), 2)

    @property
    def door_y(self) -> float:
        """Height of the wall nearest to the reader. [units]"""
        return round(self.top + self.deep, 2)

    @property
    def foot(self) -> float:
        """Height of the scale bar. [units]"""
        return round(self.top + self.deep + 18, 2)


def plan_of(
    area: Area,
    placed: tuple[Placed, ...] = (),
    called: Called | None = None,
    observed: Observed | None = None,
) -> Plan:
    """Lay the area out for drawing; with what lay there and what was called, once a run is open."""
    scale = min(FLOOR_WIDE / area.width_m, FLOOR_DEEP_MOST / area.depth_m)
    wide, deep = area.width_m * scale, area.depth_m * scale
    left, top = (WIDE - wide) / 2, float(MARGIN)
    holds = {one.position: one for one in placed}
    marks = tuple(
        Mark(
            spot.position,
            spot.name,
            own_name(spot.name, spot.position),
            round(left + spot.x_m * scale, 2),
            round(top + spot.y_m * scale, 2),
            spot.x_m,
            spot.y_m,
            holds[spot.position].holds if spot.position in holds else "",
            held_words(holds[spot.position].holds, holds[spot.position].item)
            if spot.position in holds
            else "",
            called is not None and called.position == spot.position,
            observed is not None and observed.alerted_at == spot.position,
        )
        for spot in area.spots
    )
    path = " ".join(f"{mark.x:g},{mark.y:g}" for mark in marks)
    if area.shape == "ring" and marks:
        path = f"{path} {marks[0].x:g},{marks[0].y:g}"
    return Plan(
        shape=area.shape,
        width_m=area.width_m,
        depth_m=area.depth_m,
        scale=round(scale, 4),
        left=round(left, 2),
        top=top,
        wide=round(wide, 2),
        deep=round(deep, 2),
        high=round(top + deep + BELOW, 2),
        thing=THINGS[area.shape],
        path=path,
        vehicles=tuple(
            (round(left + x * scale, 2), round(top + y * scale, 2), round(w * scale, 2), round(d * scale, 2))
            for x, y, w, d in vehicles_m(area)
        )
        if area.shape == "vehicles"
        else (),
        bar_m=bar_of(area.width_m),
        marks=marks,
        things=json.dumps(THINGS),
    )


def own_name(name: str, position: int) -> str:
    """The name, if it says more than the position's number.

    >>> own_name("stand 3", 3), own_name("3", 3), own_name("left gate", 3)
    ('', '', 'left gate')
    """
    return "" if name == str(position) or name.endswith(f" {position}") else name


def bar_of(width_m: float) -> float:
    """The longest round length that is no more than a third of the width. [m]

    >>> bar_of(12), bar_of(7), bar_of(1)
    (2, 2, 0.5)
    """
    return max((bar for bar in BARS_M if bar <= width_m / 3), default=BARS_M[0])


VEHICLE_WIDE_M, VEHICLE_LONG_M = 1.8, 4.4
APART_M = 2.6
"""Positions nearer to each other than this are at the same vehicle. [m]"""


def vehicles_m(area: Area) -> tuple[tuple[float, float, float, float], ...]:
    """Outlines of parked vehicles: one at each cluster of positions, in metres (x, y, width, depth)."""
    clusters = _clusters([(spot.x_m, spot.y_m) for spot in area.spots])
    return tuple(_around(cluster, area) for cluster in clusters)


def _clusters(points: list[tuple[float, float]]) -> list[list[tuple[float, float]]]:
    clusters: list[list[tuple[float, float]]] = []
    for point in points:
        near = [one for one in clusters if any(_apart(point, other) < APART_M for other in one)]
        clusters = [one for one in clusters if one not in near]
        clusters.append([point, *(other for one in near for other in one)])
    return clusters


def _apart(one: tuple[float, float], other: tuple[float, float]) -> float:
    return float(((one[0] - other[0]) ** 2 + (one[1] - other[1]) ** 2) ** 0.5)


def _around(cluster: list[tuple[float, float]], area: Area) -> tuple[float, float, float, float]:
    """The outline at a cluster, as far as it stands within the area."""
    left, right = min(x for x, _ in cluster), max(x for x, _ in cluster)
    top, foot = min(y for _, y in cluster), max(y for _, y in cluster)
    wide, deep = max(right - left, VEHICLE_WIDE_M), max(foot - top, VEHICLE_LONG_M)
    middle, down = (left + right) / 2, (top + foot) / 2
    x, y = max(middle - wide / 2, 0), max(down - deep / 2, 0)
    return x, y, min(middle + wide / 2, area.width_m) - x, min(down + deep / 2, area.depth_m) - y
