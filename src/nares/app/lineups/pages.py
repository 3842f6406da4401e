"""The pages of line-ups for whoever has no seat: the list, and one line-up without a sealed key."""

from typing import Any

from nares.app.desk import Desk
from nares.app.lineups.drawing import SEATS
from nares.app.lineups.guessing import guesses_of, rules_in_words
from nares.app.lineups.standing import run_views
from nares.app.lineups.values import LineupLine, LineupPage, LineupsPage, SeatView
from nares.base.lineups import Role
from nares.design.blinding import same_person
from nares.design.keys import commitment_of
from nares.design.keys.writing import brief_from
from nares.design.lineups import Brief, design_findings
from nares.record.found_lineups import LineupKept
from nares.record.kinds_lineups import LineupSealed


def lineups_page(desk: Desk) -> LineupsPage:
    """All line-ups, newest first."""
    return LineupsPage(
        tuple(_line(desk, kept) for kept in desk.store.lineups()),
        tuple(dog.dog for dog in desk.store.dogs()),
    )


def _line(desk: Desk, kept: LineupKept) -> LineupLine:
    sealed, rows = kept.sealed, desk.store.runs_of(kept.sealed.lineup)
    return LineupLine(
        lineup=sealed.lineup,
        dog=sealed.dog,
        sealed_at=kept.sealed_at,
        place=sealed.area.place,
        shape=sealed.area.shape,
        positions=len(sealed.area.spots),
        runs=len(rows),
        opened=sum(row.opened_entry is not None and row.void_entry is None for row in rows),
        void=sum(row.void_entry is not None for row in rows),
        closed=kept.closed_entry is not None,
        aim=asked_in(sealed).blinding,
    )


def lineup_page(desk: Desk, lineup: str, *, reckon: bool = True) -> LineupPage:
    """One line-up: how it was asked for, how far it is, its key once it is closed.

    ``reckon``: also how guessable an order under rules is, which takes seconds the first time; that of runs
    drawn by themselves is always there.

    Raises:
        Unknown: If there is none of this name.
    """
    kept = desk.store.lineup(lineup)
    sealed, brief = kept.sealed, asked_in(kept.sealed)
    whole = desk.store.key_opened(lineup)
    return LineupPage(
        lineup=sealed.lineup,
        dog=sealed.dog,
        sealed_at=kept.sealed_at,
        sealed_by=kept.sealed_by,
        commitment=sealed.commitment,
        area=sealed.area,
        targets_low=brief.targets_low,
        targets_high=brief.targets_high,
        blank_runs=brief.blank_runs,
        aids=brief.aids,
        distractors=brief.distractors,
        controls=brief.controls,
        aim=brief.blinding,
        drawing=sealed.drawing,
        rules=rules_in_words(sealed.rules),
        tries=int(whole.key["tries"]) if whole else 0,
        set_time_min=sealed.set_time_min,
        seats=_seats(desk, sealed),
        runs=run_views(desk, lineup),
        guesses=guesses_of(brief, sealed.drawing, sealed.rules)
        if reckon or sealed.drawing == "independent"
        else (),
        findings=findings_of(sealed),
        closed_at=kept.closed_at,
        holds=commitment_of(whole.key) == sealed.commitment if whole else None,
        key=dict(whole.key) if whole else None,
        note=sealed.note,
        entry=kept.entry,
    )


def _seats(desk: Desk, sealed: LineupSealed) -> tuple[SeatView, ...]:
    first: dict[Role, str] = {}
    for taken in desk.store.seats_taken(sealed.lineup):
        first.setdefault(taken.role, taken.at)
    return tuple(
        SeatView(role, sealed.people[role], first.get(role)) for role in SEATS if role in sealed.people
    )


def asked_in(sealed: LineupSealed) -> Brief:
    """What a line-up was drawn from, as far as the record tells it: not what sealed line-ups left warm."""
    area = {
        "place": sealed.area.place,
        "shape": sealed.area.shape,
        "width_m": sealed.area.width_m,
        "depth_m": sealed.area.depth_m,
        "keeps_odour": sealed.area.keeps_odour,
        "spots": [
            {"position": spot.position, "name": spot.name, "x_m": spot.x_m, "y_m": spot.y_m}
            for spot in sealed.area.spots
        ],
    }
    asked: dict[str, Any] = {**sealed.asked, "area": area}
    return brief_from({"asked": asked})


def findings_of(sealed: LineupSealed) -> tuple[str, ...]:
    """What the design and the seats leave open, in sentences. Nothing in it follows from the key."""
    return (*_of_people(sealed), *(finding.text for finding in design_findings(asked_in(sealed))))


def _of_people(sealed: LineupSealed) -> list[str]:
    who = {role: same_person(person) for role, person in sealed.people.items()}
    found = []
    if who.get("placer") == who.get("handler"):
        found.append(
            "Who places also handles the dog, so every run is known. Give one of the seats to another."
        )
    for role in ("evaluator", "recorder"):
        if who.get(role) == who.get("placer"):
            found.append(f"Who places is also the {role}, so no run is more than single-blind.")
    if who.get("evaluator") == who.get("handler"):
        found.append("Handler and evaluator are one person: nobody else vouches for what the dog did.")
    if sealed.drawn_by:
        found.append(
            f"{sealed.drawn_by} gave the seed this was drawn from and could work out the key. Draw with "
            "fresh chance where that matters."
        )
    return found
