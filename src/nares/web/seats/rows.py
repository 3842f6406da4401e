"""What the seats' pages show of their values: steps of placing, where the dog was, digests to compare."""

from dataclasses import dataclass, replace
from hashlib import sha256

import msgspec

from nares.app.lineups.values import EvaluatingPage, PlacingPage, SeatPage
from nares.base.lineups import Holds, Observed, Role

WORDS: dict[Holds, str] = {
    "target": "Target",
    "distractor": "Distractor",
    "control": "Control",
    "blank": "Nothing",
    "warm": "Leave as it is",
}


@dataclass(frozen=True, slots=True)
class PlacingStep:
    """One step of placing: where, what, in which container; ``before`` None: the first."""

    step: int
    position: int
    spot: str
    holds: Holds
    word: str
    item: str
    container: str
    before: int | None
    after: int


@dataclass(frozen=True, slots=True)
class TimeAt:
    """How long the dog was at one position in all; ``passed``: sniffed there and did not alert."""

    position: int
    visits: int
    stayed_s: float
    passed: bool


def steps_of(page: PlacingPage) -> tuple[PlacingStep, ...]:
    """The steps of the run to be placed, in the order of placing; none when nothing is to be placed."""
    if page.run is None or page.state != "waiting":
        return ()
    held = {one.position: one for one in page.run.placed}
    names = {spot.position: spot.name for spot in page.area.spots}
    return tuple(
        PlacingStep(
            step,
            position,
            names.get(position, ""),
            held[position].holds,
            WORDS[held[position].holds],
            held[position].item,
            held[position].container,
            step - 1 if step > 1 else None,
            step + 1,
        )
        for step, position in enumerate(page.run.placing, start=1)
    )


def times_at(observed: Observed | None) -> tuple[TimeAt, ...]:
    """Time at each position the dog was at, in order of position."""
    if observed is None:
        return ()
    rows = []
    for position in sorted({visit.position for visit in observed.visits}):
        there = [visit for visit in observed.visits if visit.position == position]
        alerted = any(visit.alerted for visit in there) or observed.alerted_at == position
        rows.append(TimeAt(position, len(there), sum(visit.stayed_s for visit in there), not alerted))
    return tuple(rows)


def without_containers(page: SeatPage) -> SeatPage:
    """The page as a blind seat may see it: the box a target was in holds targets in later runs too."""
    if not isinstance(page, EvaluatingPage) or page.last is None:
        return page
    bare = tuple(replace(one, container="") for one in page.last.placed)
    return replace(page, last=replace(page.last, placed=bare))


def twin_of(role: Role, page: SeatPage) -> dict[str, object]:
    """The values of a seat's twin: its role, the page, and a digest that changes when either does."""
    values: dict[str, object] = {"role": role, **msgspec.to_builtins(page)}
    return {**values, "seen": sha256(msgspec.json.encode(values)).hexdigest()[:16]}
