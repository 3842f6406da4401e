"""The positions of a plan as typed: one row each, with its faults beside it."""

from dataclasses import dataclass, field
from math import hypot

from django.http import QueryDict

from nares.base.errors import OutOfRange
from nares.base.lineups import Area, Shape, Spot
from nares.web.lineups.fields import read_number

MOST_POSITIONS = 60
NAME_LONGEST = 60
APART_M = 0.3
"""Nearer positions are one to a dog's nose; the desk refuses them too, without saying which field."""


@dataclass(frozen=True, slots=True)
class SpotRow:
    """One position as typed. ``faults``: by field (name, x, y), what was found and what to do."""

    position: int
    name: str
    x: str
    y: str
    tested: bool = False
    faults: dict[str, str] = field(default_factory=dict)


def rows_of(area: Area, tested: tuple[int, ...] = ()) -> tuple[SpotRow, ...]:
    """The rows an area is typed as."""
    return tuple(
        SpotRow(spot.position, spot.name, f"{spot.x_m:g}", f"{spot.y_m:g}", spot.position in tested)
        for spot in area.spots
    )


def rows_sent(sent: QueryDict) -> tuple[SpotRow, ...]:
    """The rows a form sent, in order, as many as there are without a gap."""
    tested = sent.getlist("tested")
    rows: list[SpotRow] = []
    for position in range(1, MOST_POSITIONS + 1):
        x = sent.get(f"x-{position}")
        if x is None:
            break
        name = str(sent.get(f"name-{position}") or "")[:500]
        y = str(sent.get(f"y-{position}") or "")
        rows.append(SpotRow(position, name, x[:40], y[:40], str(position) in tested))
    return tuple(rows)


def checked(rows: tuple[SpotRow, ...], *, width_m: float, depth_m: float) -> tuple[SpotRow, ...]:
    """The rows with every fault found in them."""
    names: dict[str, int] = {}
    places: list[tuple[int, float, float]] = []
    found = []
    for row in rows:
        faults: dict[str, str] = {}
        at = []
        for key, typed, most, side in (("x", row.x, width_m, "width"), ("y", row.y, depth_m, "depth")):
            try:
                at.append(read_number(typed, low=0, high=most, what=f"metres within the {side}"))
            except OutOfRange as error:
                faults[key] = str(error)
        if len(at) == 2:
            near = [(hypot(x - at[0], y - at[1]), other) for other, x, y in places]
            if near and min(near)[0] < APART_M:
                apart_m, other = min(near)
                faults["x"] = f"Position {other} is {apart_m:.1f} m away. Leave {APART_M} m between two."
            places.append((row.position, at[0], at[1]))
        name = row.name.strip() or str(row.position)
        if len(name) > NAME_LONGEST:
            faults["name"] = f"The name has {len(name)} letters. Give at most {NAME_LONGEST}."
        other = names.setdefault(name.casefold(), row.position)
        if other != row.position:
            faults["name"] = f"Position {other} has the same name. Give each its own."
        found.append(SpotRow(row.position, row.name, row.x, row.y, row.tested, faults))
    return tuple(found)


def area_from(
    rows: tuple[SpotRow, ...], *, place: str, shape: Shape, width_m: float, depth_m: float, keeps_odour: bool
) -> Area:
    """The area that rows without a fault say."""
    spots = tuple(
        Spot(
            row.position,
            row.name.strip() or str(row.position),
            read_number(row.x, low=0, high=width_m, what="metres"),
            read_number(row.y, low=0, high=depth_m, what="metres"),
        )
        for row in rows
    )
    return Area(place, shape, width_m, depth_m, spots, keeps_odour)


def area_to_draw(rows: tuple[SpotRow, ...], *, shape: Shape, width_m: float, depth_m: float) -> Area:
    """The area as far as it can be drawn: a position whose place cannot be read is left out."""
    spots = []
    for row in rows:
        try:
            x_m = read_number(row.x, low=0, high=width_m, what="metres")
            y_m = read_number(row.y, low=0, high=depth_m, what="metres")
        except OutOfRange:
            continue
        spots.append(Spot(row.position, row.name.strip() or str(row.position), x_m, y_m))
    return Area("", shape, width_m, depth_m, tuple(spots))
