"""The plan of a line-up as a drawing: where the spots lie and how large they can be shown.

Conventions
-----------
The drawing's unit is the centimetre on the plan, so that it scales to any screen. What a spot holds is drawn
only where somebody hands it in: the placer's page and a run that was opened.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import hypot

from nares.base.lineups import Area, Placed

CM = 100.0
ROOM = 0.42
"""Radius of a spot as a share of the distance to its nearest neighbour, so that no two touch."""
SMALLEST_M, LARGEST_M = 0.12, 0.9
MARGIN_M = 0.15


@dataclass(frozen=True, slots=True)
class DrawnSpot:
    """One spot in the drawing's units; ``holds`` empty: not shown."""

    position: int
    name: str
    x: float
    y: float
    holds: str = ""


@dataclass(frozen=True, slots=True)
class DrawnPlan:
    """A plan to draw: frame, radius and letter size in the drawing's units, and the spots in order."""

    place: str
    view: str
    width: float
    depth: float
    radius: float
    letters: float
    spots: tuple[DrawnSpot, ...]


def plan_of(area: Area, placed: Iterable[Placed] = ()) -> DrawnPlan:
    """Lay an area out for drawing, with what lies where only if that is handed in."""
    holds = {one.position: one.holds for one in placed}
    radius_m = min(max(ROOM * _nearest_m(area), SMALLEST_M), LARGEST_M)
    edge = (MARGIN_M + radius_m) * CM
    spots = tuple(
        DrawnSpot(one.position, one.name, _cm(one.x_m), _cm(one.y_m), holds.get(one.position, ""))
        for one in area.spots
    )
    left = min([0.0, *(spot.x - edge for spot in spots)])
    top = min([0.0, *(spot.y - edge for spot in spots)])
    right = max([_cm(area.width_m), *(spot.x + edge for spot in spots)])
    low = max([_cm(area.depth_m), *(spot.y + edge for spot in spots)])
    view = f"{left:.0f} {top:.0f} {right - left:.0f} {low - top:.0f}"
    radius = round(radius_m * CM, 1)
    return DrawnPlan(
        area.place, view, _cm(area.width_m), _cm(area.depth_m), radius, round(1.15 * radius, 1), spots
    )


def _nearest_m(area: Area) -> float:
    """The smallest distance between two spots; the larger side of the plan when there is one spot."""
    spots = area.spots
    apart = [
        hypot(one.x_m - other.x_m, one.y_m - other.y_m)
        for index, one in enumerate(spots)
        for other in spots[index + 1 :]
    ]
    return min(apart, default=max(area.width_m, area.depth_m))


def _cm(length_m: float) -> float:
    return round(length_m * CM, 1)
