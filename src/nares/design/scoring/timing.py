"""How long the dog took to alert and how long it stayed, and targets it sniffed and passed.

Conventions
-----------
Seconds. A stay is all visits to one place in one run together. A target is *passed*
when the dog came to it and left without an alert at that visit; it may have come back. Middles are medians;
times never taken are None.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from nares.base.lineups import RunResult
from nares.design.scoring.answers import answers_of
from nares.design.scoring.rates import Rate, rate_of

HELD = ("target", "distractor", "control", "blank", "warm")


@dataclass(frozen=True, slots=True)
class Times:
    """Times of one kind: how many, the middle, the shortest and the longest. [s]"""

    what: str
    n: int
    median_s: float | None
    shortest_s: float | None
    longest_s: float | None


@dataclass(frozen=True, slots=True)
class Timing:
    """Times and passes.

    ``passed``: targets sniffed and left at least once, of those come to; ``lost``: never alerted at.
    """

    latency: tuple[Times, ...]
    stays: tuple[Times, ...]
    passed: Rate
    lost: Rate


def timing_of(results: Sequence[RunResult], *, confidence: float) -> Timing:
    """Sum up times and passes over runs that count and were observed."""
    runs = [one for one in results if not one.void and one.observed is not None]
    hits: list[float] = []
    false: list[float] = []
    for one in runs:
        seen = one.observed
        if seen is None or seen.latency_s is None or seen.alerted_at is None:
            continue
        held = {spot.position: spot.holds for spot in one.placed}.get(seen.alerted_at)
        if held != "warm":
            (hits if held == "target" else false).append(seen.latency_s)
    stays: dict[str, list[float]] = {held: [] for held in HELD}
    passed, lost, lineups = [], [], []
    for answer in (one for one in answers_of(runs, "alert") if one.visits):
        for spot in answer.placed:
            there = [visit for visit in answer.visits if visit.position == spot.position]
            if there:
                stays[spot.holds].append(sum(visit.stayed_s for visit in there))
            if there and spot.holds == "target":
                alerted = spot.position in answer.at
                last_alerts = alerted and not any(visit.alerted for visit in there)
                passed.append(sum(not visit.alerted for visit in there) - last_alerts > 0)
                lost.append(not alerted)
                lineups.append(answer.lineup)
    return Timing(
        (_times("alerts at a target", hits), _times("false alerts", false)),
        tuple(_times(held, stays[held]) for held in HELD),
        rate_of("targets sniffed and passed, of targets come to", passed, lineups, confidence=confidence),
        rate_of("targets come to and never alerted at", lost, lineups, confidence=confidence),
    )


def _times(what: str, values_s: Sequence[float]) -> Times:
    if not values_s:
        return Times(what, 0, None, None, None)
    return Times(what, len(values_s), median(values_s), min(values_s), max(values_s))
