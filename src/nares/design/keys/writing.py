"""A key as a JSON object, and back: what was asked, the seed, what lies where in every run.

Conventions
-----------
Names of members are plain ASCII. Numbers are whole, without a point, or decimals from 0.0001 on: so that
any JSON writer that sorts names, leaves out spaces and writes numbers as short as can be gives the
canonical form of RFC 8785, and a key can be checked without a library for it. Lengths are rounded to the
millimetre for that. There is no time of day in a key: the same seed gives the same key.
"""

from collections.abc import Mapping
from typing import Any

from nares import __version__
from nares.base.lineups import Area, Placed, RunKey, Smell, Spot
from nares.design.chance import subseed
from nares.design.lineups.brief import Brief
from nares.design.lineups.draw import LineupDrawn

SCHEMA = "lineup-key/1"


def key_of(lineup: str, brief: Brief, drawn: LineupDrawn, seed: bytes) -> dict[str, Any]:
    """Write a drawn line-up as the object that is sealed, committed to and opened.

    Its ``nonce`` is 32 bytes in hex drawn from the seed for this alone, so that the commitment tells nothing.
    """
    return {
        "nares": __version__,
        "schema": SCHEMA,
        "lineup": lineup,
        "nonce": subseed(seed, "nonce of the key").hex(),
        "seed": seed.hex(),
        "asked": asked_value(brief),
        "drawing": drawn.drawing,
        "rules": list(drawn.rules),
        "tries": drawn.tries,
        "runs": [run_value(run) for run in drawn.runs],
    }


def run_value(run: RunKey) -> dict[str, Any]:
    """One run as it stands in a key, and as its own commitment is taken of it."""
    return {
        "run": run.run,
        "nonce": run.nonce,
        "placing": list(run.placing),
        "placed": [
            {"position": one.position, "holds": one.holds, "item": one.item, "container": one.container}
            for one in run.placed
        ],
    }


def run_from(value: Mapping[str, Any]) -> RunKey:
    """Read one run of a key that was read by `read_key`, or that this program wrote."""
    placed = tuple(
        Placed(one["position"], one["holds"], one["item"], one["container"]) for one in value["placed"]
    )
    return RunKey(value["run"], placed, tuple(value["placing"]), value["nonce"])


def runs_from(key: Mapping[str, Any]) -> tuple[RunKey, ...]:
    """All runs of a key."""
    return tuple(run_from(value) for value in key["runs"])


def asked_value(brief: Brief) -> dict[str, Any]:
    """What was asked, as plain values: what a line-up can be drawn from again, with its seed."""
    return {
        "area": area_value(brief.area),
        "runs": brief.runs,
        "targets_low": brief.targets_low,
        "targets_high": brief.targets_high,
        "blank_runs": _number(brief.blank_runs),
        "aids": list(brief.aids),
        "distractors": [{"smell": one.smell, "novel": one.novel} for one in brief.distractors],
        "controls": list(brief.controls),
        "blinding": brief.blinding,
        "rules": None if brief.rules is None else list(brief.rules),
        "warm": list(brief.warm),
        "along": brief.along,
        "fresh": brief.fresh,
        "set_time_min": _number(brief.set_time_min),
    }


def area_value(area: Area) -> dict[str, Any]:
    """A plan as plain values, in metres to the millimetre."""
    return {
        "place": area.place,
        "shape": area.shape,
        "width_m": _to_mm(area.width_m),
        "depth_m": _to_mm(area.depth_m),
        "keeps_odour": area.keeps_odour,
        "spots": [
            {"position": spot.position, "name": spot.name, "x_m": _to_mm(spot.x_m), "y_m": _to_mm(spot.y_m)}
            for spot in area.spots
        ],
    }


def brief_from(key: Mapping[str, Any]) -> Brief:
    """What a key says was asked."""
    asked, area = key["asked"], key["asked"]["area"]
    spots = tuple(Spot(one["position"], one["name"], one["x_m"], one["y_m"]) for one in area["spots"])
    return Brief(
        area=Area(area["place"], area["shape"], area["width_m"], area["depth_m"], spots, area["keeps_odour"]),
        runs=asked["runs"],
        targets_low=asked["targets_low"],
        targets_high=asked["targets_high"],
        blank_runs=asked["blank_runs"],
        aids=tuple(asked["aids"]),
        distractors=tuple(Smell(one["smell"], one["novel"]) for one in asked["distractors"]),
        controls=tuple(asked["controls"]),
        blinding=asked["blinding"],
        rules=None if asked["rules"] is None else tuple(asked["rules"]),
        warm=tuple(asked["warm"]),
        along=asked["along"],
        fresh=asked["fresh"],
        set_time_min=asked["set_time_min"],
    )


def _number(value: float | None) -> float | int | None:
    return value if value is None or value != int(value) else int(value)


def _to_mm(length_m: float) -> float | int | None:
    return _number(round(length_m, 3))
