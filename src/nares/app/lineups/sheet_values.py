"""What the printed sheets of a line-up say, as plain values; the call sheet's hold nothing of the key."""

import math
from collections.abc import Mapping, Sequence
from itertools import combinations
from typing import Any

from nares.base.lineups import Area, Placed, Role, RunKey
from nares.design.keys.writing import area_value
from nares.design.lineups import WARM_H, packing_list, warmth_findings

WARNING = "THE KEY. For the placer alone: nobody else at the line-up may see it."

CHECK = (
    "Kept before the first run. Afterwards the key is given out: the SHA-256 of its canonical JSON (RFC "
    "8785) is this number, or it is not the key that was sealed. Check it by: nares lineup check KEY.json "
    "COMMITMENT, or by the ten lines of docs/lineups.md on any computer."
)
CHECK_RUN = (
    "One run can be opened alone: the SHA-256 of its part of the key, in canonical JSON, is its number here."
)

CALL_SAYS = (
    "How many targets a run holds is not said here, and may differ from run to run: none, too.",
    "The handler calls a position or “clear”. Write the call and its time before anybody opens the key.",
    "Write what was seen before the key is opened as well: where the dog alerted, after how many seconds, "
    "what it sniffed and passed, what the handler did.",
    "Write down everybody who could see or be seen. Who knows what lies where stays out of sight and "
    "hearing.",
    "A run that does not count is void, with the reason, and whether that was said before the key was "
    "opened.",
    "Signs of stress, heat or pain end the work, whatever is left on the sheet.",
)

PLACING_SAYS = (
    "Place in the order given: blanks, distractors, controls, targets. Touch every position in the same "
    "way and for as long.",
    "Fresh gloves wherever the sheet says so, from a box kept apart from aids and distractors.",
    "Numbers of containers belong underneath, where neither handler nor evaluator reads them: after one "
    "run is open, they tell what holds what.",
    "When all is placed, walk past every position once more, so that the last track leads to none. Then go"
    " out of sight and hearing, and stay there.",
    "Lift in the reverse order: targets first, straight into their own bags.",
    "A container that held an odour holds nothing else in this line-up. What is dropped, mixed up or "
    "fouled makes the run void: say so.",
    "Aids that are controlled substances or explosives are handled only by people licensed for them, under"
    " local law and their custodian's rules.",
)

WHAT = {"target": "Target: {}", "distractor": "Distractor: {}", "control": "Control: {}", "blank": "Blank"}
CONTROL_MORE = {
    "packaging": "The aid's packaging of the same lot, without the aid, handled as the aid is.",
    "gloves": "A clean glove of the same lot, handled as the aid is, without the aid.",
    "placer": "Handled by the same person and for as long as the target, with nothing in it.",
}
LEGEND = (
    ("target", "target"),
    ("distractor", "distractor"),
    ("control", "control"),
    ("blank", "blank"),
    ("warm", "warm, no blank"),
)


def call_sheet_values(
    lineup: str,
    area: Area,
    runs: int,
    commitment: str,
    run_commitments: Sequence[str],
    *,
    day: str,
    dog: str = "",
    kennel: str = "",
    people: Mapping[Role, str] | None = None,
    set_time_min: float | None = None,
) -> dict[str, Any]:
    """Lay out the sheet for calls and observation. Nothing of the key is among what it is made from.

    Args:
        lineup: Its name.
        area: The plan.
        runs: How many rows. [count]
        commitment: Of the whole key.
        run_commitments: Of every run, or none.
        day: Like 2026-03-14: the date of the file, which an archival file must have.
        dog: Its name; empty: not said.
        kennel: Whose sheet it is; empty: nobody's.
        people: Who sits where, by role.
        set_time_min: Set time; None: not said.
    """
    return {
        "lineup": lineup,
        "dog": dog,
        "kennel": kennel,
        "day": day,
        "place": area.place,
        "shape": area.shape,
        "positions": len(area.spots),
        "runs": runs,
        "set_time_min": _minutes(set_time_min),
        "people": [[role.capitalize(), person] for role, person in (people or {}).items() if person],
        "area": _area(area),
        "alt": _alt(area),
        "commitment": commitment,
        "run_commitments": list(run_commitments),
        "says": list(CALL_SAYS),
        "check": CHECK,
        "check_run": CHECK_RUN,
    }


def placing_sheet_values(
    lineup: str,
    area: Area,
    runs: Sequence[RunKey],
    commitment: str,
    *,
    day: str,
    dog: str = "",
    kennel: str = "",
    set_time_min: float | None = None,
) -> dict[str, Any]:
    """Lay out the placer's sheets. They hold the key of the runs given."""
    waits = (
        ()
        if set_time_min is None
        else (f"The odour stands {_minutes(set_time_min)} min from the last placing to the search.",)
    )
    notes: dict[str, list[str]] = {}
    for finding in warmth_findings(runs):
        notes.setdefault(finding.where, []).append(finding.text)
    return {
        "lineup": lineup,
        "dog": dog,
        "kennel": kennel,
        "day": day,
        "place": area.place,
        "commitment": commitment,
        "warning": WARNING,
        "says": [*PLACING_SAYS, *waits],
        "legend": [list(one) for one in LEGEND],
        "area": _area(area),
        "packing": [
            {
                "what": WHAT[one.holds].format(one.item) if one.item else "Blank",
                "count": len(one.containers) or 1,
                "containers": list(one.containers) or ["placed as it is"],
            }
            for one in packing_list(runs)
        ],
        "runs": [_run(run, area, notes.get(f"run {run.run}", [])) for run in runs],
    }


def _run(run: RunKey, area: Area, notes: list[str]) -> dict[str, Any]:
    names = {position: f"{name}." for position, name in _area(area)["names"]}
    steps, before = [], ""
    for position in run.placing:
        one = run.placed[position - 1]
        steps.append(
            {
                "position": position,
                "holds": one.holds,
                "what": _what(one),
                "more": " ".join(filter(None, (names.get(position, ""), _more(one)))),
                "container": one.container,
                "gloves": _gloves(before, one.holds),
            }
        )
        before = one.holds
    holds = {str(one.position): one.holds for one in run.placed}
    listed = "; ".join(f"{one.position}: {_what(one)}" for one in run.placed)
    return {
        "run": run.run,
        "notes": notes,
        "steps": steps,
        "holds": holds,
        "alt": f"Plan of the run. {listed}.",
    }


def _gloves(before: str, now: str) -> bool:
    # One pair does all blanks; each smell, each control and each aid is touched with a pair of its own.
    clean = {"": True, "blank": True, "warm": True}
    return not before or not (clean.get(before, False) and clean.get(now, False))


def _what(one: Placed) -> str:
    if one.holds == "warm":
        return f"Nothing (warm: held a target in the last {WARM_H} h)"
    return WHAT[one.holds].format(one.item)


def _more(one: Placed) -> str:
    return CONTROL_MORE.get(one.item, "") if one.holds == "control" else ""


def _area(area: Area) -> dict[str, Any]:
    spots = area.spots
    between = [math.hypot(a.x_m - b.x_m, a.y_m - b.y_m) for a, b in combinations(spots, 2)]
    plain = all(spot.name.split()[-1:] == [str(spot.position)] for spot in spots)
    names = [] if plain else [[spot.position, spot.name] for spot in spots]
    return {**area_value(area), "nearest_m": min(between, default=area.width_m), "names": names}


def _alt(area: Area) -> str:
    places = "; ".join(f"{spot.position} at {spot.x_m:.1f}, {spot.y_m:.1f}" for spot in area.spots)
    size = f"{area.width_m:.1f} by {area.depth_m:.1f} metres"
    return f"Plan, {size}. Positions in metres from the top left: {places}."


def _minutes(set_time_min: float | None) -> str | None:
    return None if set_time_min is None else f"{set_time_min:g}"
