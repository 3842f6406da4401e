"""Plans to begin with: where the positions of each shape stand, in metres that a person can pace out.

The distances are ours, not measured: wide enough that a dog works one position at a time, and to be moved on
the plan to where the things really stand. A strong source is alerted at its neighbours, so wider is safer.
"""

import math
from collections.abc import Callable

from nares.base.errors import OutOfRange
from nares.base.lineups import Area, Shape, Spot

MOST_POSITIONS = 60
EDGE_M = 1.0
"""Free floor around the outermost positions."""
VEHICLE_EDGE_M = 2.5
"""The same around the middle of a vehicle, so that the whole vehicle stands on the plan."""

STAND_M, BOX_M, CAN_M, PARCEL_M = 1.5, 1.5, 1.0, 1.2
VEHICLE_ACROSS_M, VEHICLE_DOWN_M, VEHICLES_IN_ROW = 4.0, 8.0, 5
ROOM_M = 1.5
KEEPS_ODOUR: frozenset[Shape] = frozenset({"room", "vehicles"})
"""Shapes whose places cannot be swapped for clean ones between two runs."""

NAMES: dict[Shape, str] = {
    "straight": "stand",
    "ring": "stand",
    "boxes": "box",
    "cans": "can",
    "room": "spot",
    "vehicles": "vehicle",
    "parcels": "parcel",
}
_Places = list[tuple[float, float]]


def area_of(shape: Shape, positions: int, *, place: str) -> Area:
    """Lay out a shape with so many positions.

    Args:
        shape: straight (one row), ring (clockwise from the top), boxes (two rows facing each other), cans and
            parcels (rows of up to six and ten), room (along the walls, clockwise from the top left), vehicles
            (parked in rows of up to five).
        positions: How many, 1 to 60. [count]
        place: Where it stands, by name; with a spot's name it says which spots are the same on another day.

    Raises:
        OutOfRange: If there is no such shape or number.

    Examples:
        >>> [(spot.name, spot.x_m) for spot in area_of("straight", 3, place="barn").spots]
        [('stand 1', 1.0), ('stand 2', 2.5), ('stand 3', 4.0)]
    """
    if shape not in _LAID:
        raise OutOfRange(f"There is no shape {shape!r}. Give one of: {', '.join(_LAID)}.")
    if not 1 <= positions <= MOST_POSITIONS:
        raise OutOfRange(f"{positions} positions cannot be laid out. Give 1 to {MOST_POSITIONS}.")
    places = _LAID[shape](positions)
    edge_m = VEHICLE_EDGE_M if shape == "vehicles" else EDGE_M
    left, top = min(x for x, _ in places) - edge_m, min(y for _, y in places) - edge_m
    right, foot = max(x for x, _ in places) + edge_m, max(y for _, y in places) + edge_m
    spots = tuple(
        Spot(number, f"{NAMES[shape]} {number}", _to_mm(x - left), _to_mm(y - top))
        for number, (x, y) in enumerate(places, start=1)
    )
    return Area(place, shape, _to_mm(right - left), _to_mm(foot - top), spots, shape in KEEPS_ODOUR)


def _to_mm(length_m: float) -> float:
    return round(length_m, 3)


def _straight(positions: int) -> _Places:
    return [(STAND_M * n, 0.0) for n in range(positions)]


def _ring(positions: int) -> _Places:
    radius_m = max(1.5, STAND_M * positions / (2 * math.pi))
    turns = [2 * math.pi * n / positions for n in range(positions)]
    return [(radius_m * math.sin(turn), -radius_m * math.cos(turn)) for turn in turns]


def _facing(positions: int) -> _Places:
    # Down one side of the aisle and back up the other, so that neighbours in number are neighbours on the
    # floor.
    side = math.ceil(positions / 2)
    there = [(BOX_M * n, 0.0) for n in range(side)]
    back = [(BOX_M * n, 2.0) for n in range(side - 1, side - 1 - (positions - side), -1)]
    return there + back


def _in_rows(positions: int, most: int, across_m: float, down_m: float) -> _Places:
    rows = math.ceil(positions / most)
    each = math.ceil(positions / rows)
    return [(across_m * (n % each), down_m * (n // each)) for n in range(positions)]


def _room(positions: int) -> _Places:
    # A rectangle of three to four; its walls are divided evenly.
    around_m = max(10.0, ROOM_M * positions)
    wide_m, deep_m = around_m * 2 / 7, around_m * 1.5 / 7
    return [_along_walls((n + 0.5) / positions * around_m, wide_m, deep_m) for n in range(positions)]


def _along_walls(at_m: float, wide_m: float, deep_m: float) -> tuple[float, float]:
    if at_m < wide_m:
        return at_m, 0.0
    if at_m < wide_m + deep_m:
        return wide_m, at_m - wide_m
    if at_m < 2 * wide_m + deep_m:
        return 2 * wide_m + deep_m - at_m, deep_m
    return 0.0, 2 * (wide_m + deep_m) - at_m


_LAID: dict[Shape, Callable[[int], _Places]] = {
    "straight": _straight,
    "ring": _ring,
    "boxes": _facing,
    "cans": lambda positions: _in_rows(positions, 6, CAN_M, CAN_M),
    "room": _room,
    "vehicles": lambda positions: _in_rows(positions, VEHICLES_IN_ROW, VEHICLE_ACROSS_M, VEHICLE_DOWN_M),
    "parcels": lambda positions: _in_rows(positions, 10, PARCEL_M, PARCEL_M),
}
