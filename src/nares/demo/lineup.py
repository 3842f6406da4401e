"""The demo's line-up: a first double-blind look at one dog, run by three people, opened and scored.

What the dog does is invented and written here, run by run; where everything lies is drawn, sealed and opened
by the jobs every line-up goes through. The seed is fixed so that every demo shows the same: it is known
to whoever reads this file, which is as well, for the line-up is closed before anybody sees it.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Protocol

from nares.app import jobs
from nares.app.desk import Desk
from nares.app.lineups.requests import (
    BeginRun,
    CloseLineup,
    DrawLineup,
    MakeCall,
    ObserveRun,
    OpenRun,
    PlaceRun,
    TakeSeat,
)
from nares.app.lineups.values import PlacingPage
from nares.base.lineups import Observed, Role, RunKey, Smell, Visit
from nares.demo.scenario import HANDLER, TRAINER

SEED = b"Saltmarsh Kennels, a first look."
NAME = "teasel-lineup-01"
PEOPLE: dict[Role, str] = {"placer": TRAINER, "handler": HANDLER, "evaluator": "Ines Marram"}
AIM = DrawLineup(
    area=jobs.lineup_area("boxes", 6, "training barn"),
    runs=12,
    targets_low=0,
    targets_high=1,
    blank_runs=0.25,
    dog="Teasel",
    by=TRAINER,
    aids=("training odour, lot 7", "training odour, lot 8"),
    distractors=(Smell("sausage", novel=False), Smell("tape", novel=True)),
    controls=("packaging", "gloves"),
    blinding="double",
    people=PEOPLE,
    set_time_min=30.0,
    lineup=NAME,
    note="A first look, before any proof.",
)


@dataclass(frozen=True, slots=True)
class Did:
    """What the dog did in one run: ``nose``, it went by the odour; else the smell it answered to, or nothing.

    ``error``: what the handler did wrong; empty: nothing.
    """

    went_by: str = "nose"
    error: str = ""


DID = {4: Did("sausage"), 7: Did(""), 10: Did("nose", "Slowed down beside the dog at two boxes.")}
"""Runs in which it was not the nose alone; in all others it was."""

EACH_BOX_S = 2.5
AT_SOURCE_S = 4.0
BETWEEN = timedelta(minutes=6)


class Clock(Protocol):
    """A clock that the demo turns."""

    at: datetime


def run_lineup(desk: Desk, clock: Clock, at: datetime) -> None:
    """Draw, run and close the line-up, once; a record that has it is left as it is.

    Args:
        desk: The demo's desk, with the seed above.
        clock: The demo's clock.
        at: When it begins.
    """
    if any(line.lineup == NAME for line in jobs.lineups_page(desk).lines):
        return
    clock.at = at
    drawn = jobs.draw_lineup(desk, AIM)
    tokens = {code.role: jobs.take_seat(desk, TakeSeat(code.code)).token for code in drawn.codes}
    clock.at += timedelta(minutes=30)
    for run in range(1, AIM.runs + 1):
        _run(desk, clock, tokens, run)
        clock.at += BETWEEN
    jobs.close_lineup(desk, CloseLineup(NAME, TRAINER))


def _run(desk: Desk, clock: Clock, tokens: dict[Role, str], run: int) -> None:
    page = jobs.seat_page(desk, tokens["placer"])
    assert isinstance(page, PlacingPage)
    assert page.run is not None
    seen = _observed(page.run, DID.get(run, Did()))
    jobs.place_run(desk, PlaceRun(tokens["placer"], run))
    present = (PEOPLE["handler"], PEOPLE["evaluator"])
    jobs.begin_run(desk, BeginRun(tokens["evaluator"], run, present))
    clock.at += timedelta(seconds=40)
    jobs.make_call(desk, MakeCall(tokens["handler"], run, seen.alerted_at))
    jobs.observe_run(desk, ObserveRun(tokens["evaluator"], run, seen))
    jobs.open_run(desk, OpenRun(tokens["evaluator"], run))


def _observed(key: RunKey, did: Did) -> Observed:
    """What the evaluator saw: the boxes passed in order, up to the one the dog stayed at."""
    alerted_at = _alerted_at(key, did)
    visits, at_s = [], 3.0
    for one in key.placed:
        stays = one.position == alerted_at
        stayed_s = AT_SOURCE_S if stays else 1.0 + 0.5 * (one.holds != "blank")
        visits.append(Visit(one.position, at_s, stayed_s, stays))
        at_s += stayed_s + EACH_BOX_S
        if stays:
            break
    latency_s = visits[-1].from_s + 1.5 if alerted_at is not None else None
    return Observed(key.run, alerted_at, latency_s, tuple(visits), did.error)


def _alerted_at(key: RunKey, did: Did) -> int | None:
    if did.went_by == "nose":
        return key.targets[0] if key.targets else None
    return next((one.position for one in key.placed if did.went_by and one.item == did.went_by), None)
