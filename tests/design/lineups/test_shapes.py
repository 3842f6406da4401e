"""Plans to begin with, and what is wrong with a plan somebody drew."""

import math
from dataclasses import replace
from typing import get_args

import pytest

from nares.base.errors import OutOfRange
from nares.base.lineups import Area, Shape, Spot
from nares.design.lineups import area_of, plan_findings

SHAPES: tuple[Shape, ...] = get_args(Shape)


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("positions", [1, 2, 3, 5, 6, 7, 12, 13, 31, 60])
def test_every_shape_can_be_drawn_on_with_any_number(shape: Shape, positions: int) -> None:
    area = area_of(shape, positions, place="old barn")
    assert plan_findings(area) == ()
    assert len(area.spots) == positions
    assert (area.place, area.shape) == ("old barn", shape)


@pytest.mark.parametrize("shape", SHAPES)
def test_two_neighbours_are_a_metre_apart_or_more(shape: Shape) -> None:
    spots = area_of(shape, 12, place="old barn").spots
    nearest = min(math.dist((a.x_m, a.y_m), (b.x_m, b.y_m)) for a in spots for b in spots if a is not b)
    assert nearest >= 1.0


def test_only_rooms_and_vehicles_keep_odour() -> None:
    assert {shape for shape in SHAPES if area_of(shape, 6, place="x").keeps_odour} == {"room", "vehicles"}


def test_a_ring_is_round() -> None:
    area = area_of("ring", 9, place="yard")
    middle = (area.spots[0].x_m, sum(spot.y_m for spot in area.spots) / 9)
    away = [math.dist(middle, (spot.x_m, spot.y_m)) for spot in area.spots]
    assert max(away) - min(away) < 0.002
    assert area.spots[1].x_m > area.spots[0].x_m, "clockwise: the second stands to the right of the first"


def test_spots_of_a_room_lie_on_its_walls() -> None:
    area = area_of("room", 10, place="kitchen")
    walls = (1.0, area.width_m - 1.0), (1.0, area.depth_m - 1.0)
    assert all(spot.x_m in walls[0] or spot.y_m in walls[1] for spot in area.spots)


@pytest.mark.parametrize("positions", [0, -1, 61])
def test_a_number_that_cannot_be_laid_out_is_refused(positions: int) -> None:
    with pytest.raises(OutOfRange, match=r"cannot be laid out. Give 1 to 60"):
        area_of("cans", positions, place="x")


def test_a_shape_nobody_knows_is_refused_with_those_there_are() -> None:
    with pytest.raises(OutOfRange, match=r"no shape 'star'.*straight, ring, boxes"):
        area_of("star", 6, place="x")  # type: ignore[arg-type]


def spot(position: int, name: str = "", x_m: float = 1.0, y_m: float = 1.0) -> Spot:
    return Spot(position, name or f"crate {position}", x_m, y_m)


GOOD = Area("quay", "parcels", 6.0, 3.0, (spot(1), spot(2, x_m=2.0), spot(3, x_m=3.0)))


def rules(area: Area) -> list[tuple[str, str]]:
    return [(finding.rule, finding.where) for finding in plan_findings(area)]


@pytest.mark.parametrize(
    ("spots", "found"),
    [
        ((spot(1), spot(2, x_m=1.2)), [("plan-apart", "position 2")]),
        ((spot(1), spot(2, x_m=6.1)), [("plan-inside", "position 2")]),
        ((spot(1), spot(2, y_m=-0.1)), [("plan-inside", "position 2")]),
        ((spot(1), spot(2, x_m=math.nan)), [("plan-inside", "position 2")]),
        ((spot(1, "crate"), spot(2, " CRATE ", x_m=3.0)), [("plan-name", "position 2")]),
        ((spot(1), spot(2, "  ", x_m=3.0)), [("plan-name", "position 2")]),
        ((spot(1), spot(3, x_m=3.0)), [("plan-count", "plan")]),
        ((spot(2), spot(1, x_m=3.0)), [("plan-count", "plan")]),
        ((), [("plan-count", "plan")]),
    ],
)
def test_each_fault_of_a_plan_is_named_with_its_place(
    spots: tuple[Spot, ...], found: list[tuple[str, str]]
) -> None:
    assert rules(GOOD) == []
    assert rules(replace(GOOD, spots=spots)) == found


@pytest.mark.parametrize("length_m", [0.0, -1.0, math.nan, math.inf, 1001.0])
def test_a_plan_has_a_size(length_m: float) -> None:
    assert ("plan-size", "plan") in rules(replace(GOOD, width_m=length_m))


def test_all_faults_of_a_plan_come_back_at_once() -> None:
    worst = replace(GOOD, depth_m=0.0, spots=(spot(1), spot(1, x_m=1.1), spot(7, "crate 1", x_m=99.0)))
    assert {rule for rule, _ in rules(worst)} == {
        "plan-size",
        "plan-count",
        "plan-name",
        "plan-inside",
        "plan-apart",
    }
