"""A small line-up written by hand: two runs over three boxes, one of them blank, its key and its entries."""

from typing import Any

from tests.record.kennel import proposed

from nares.base.lineups import Area, Observed, Placed, RunKey, Spot
from nares.design.keys import commitment_of, run_commitment_of, run_value
from nares.record.store import Proposed

PLACER, HANDLER, EVALUATOR = "Joss Pike", "Tobin Fell", "Ines Harrow"
AREA = Area("barn", "boxes", 4.0, 4.0, tuple(Spot(n, f"box {n}", float(n), 1.0) for n in (1, 2, 3)))
RUNS = (
    RunKey(1, (Placed(1, "blank"), Placed(2, "target", "lot 4"), Placed(3, "blank")), (1, 3, 2), "a1" * 32),
    RunKey(2, (Placed(1, "blank"), Placed(2, "blank"), Placed(3, "blank")), (2, 1, 3), "b2" * 32),
)
KEY: dict[str, Any] = {"lineup": "brine-1", "nonce": "c3" * 32, "runs": [run_value(run) for run in RUNS]}
MADE_AT = "2026-03-01T08:00:00.000Z"


def sealed(lineup: str = "brine-1", dog: str = "Brine", **other: Any) -> dict[str, Any]:
    said: dict[str, Any] = {
        "lineup": lineup,
        "dog": dog,
        "commitment": commitment_of(KEY),
        "run_commitments": [run_commitment_of(run) for run in RUNS],
        "area": AREA,
        "asked": {"runs": 2, "targets_high": 1, "distractors": []},
        "drawing": "independent",
        "people": {"placer": PLACER, "handler": HANDLER, "evaluator": EVALUATOR},
    }
    return {**said, **other}


def of(run: int, **other: Any) -> dict[str, Any]:
    return {"lineup": "brine-1", "run": run, **other}


def seat() -> dict[str, Any]:
    return {"lineup": "brine-1", "role": "handler", "person": HANDLER}


def seen(*runs: int) -> dict[str, Any]:
    return {"lineup": "brine-1", "runs": list(runs), "person": PLACER}


def placed(run: int) -> dict[str, Any]:
    return of(run, person=PLACER)


def begun(run: int) -> dict[str, Any]:
    return of(run, present=[HANDLER, EVALUATOR])


def called(run: int, position: int | None = 2, **other: Any) -> dict[str, Any]:
    return of(run, position=position, person=HANDLER, **{"made_at": MADE_AT, **other})


def observed(run: int, alerted_at: int | None = 2, **other: Any) -> dict[str, Any]:
    saw = Observed(run, alerted_at, 3.5)
    return of(run, person=EVALUATOR, **{"role": "evaluator", "observed": saw, **other})


def run_open(run: int, **other: Any) -> dict[str, Any]:
    return of(run, person=EVALUATOR, **{"key": RUNS[run - 1], **other})


def void(run: int, *, was_open: bool = False, why: str = "a box fell over") -> dict[str, Any]:
    return of(run, why=why, person=EVALUATOR, was_open=was_open)


def key_open(**other: Any) -> dict[str, Any]:
    return {"lineup": "brine-1", "key": KEY, **other}


def whole() -> list[Proposed]:
    """Every entry of the line-up, from the seal to its whole key: run 1 worked, run 2 void."""
    steps = (
        ("lineup_sealed", sealed()),
        ("seat_taken", seat()),
        ("key_seen", seen(1)),
        ("run_placed", placed(1)),
        ("run_begun", begun(1)),
        ("call_made", called(1)),
        ("run_observed", observed(1)),
        ("run_opened", run_open(1)),
        ("run_voided", void(2)),
        ("key_opened", key_open()),
    )
    return [proposed(kind, payload) for kind, payload in steps]


def upto(kind: str) -> list[Proposed]:
    """The same until an entry of a kind, that one left out."""
    found = whole()
    return found[: [one.kind for one in found].index(kind)]
