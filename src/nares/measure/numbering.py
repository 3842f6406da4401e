"""Reps keep their numbers when their events are corrected or measured again.

Conventions
-----------
A number once given is never given to another rep, so that a confirmed rep stays what it was. Reps are told
apart by where they lie in time. Times are seconds from the start of the recording.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from nares.base.vocab import MeasuredRep

NEAR_S = 1.0
"""A rep that moved by less than this, without overlap, is still the same rep. [s]"""


@dataclass(frozen=True, slots=True)
class RepPlace:
    """Where a rep of this number lies."""

    rep: int
    start_s: float
    end_s: float


def place_of(rep: MeasuredRep) -> RepPlace:
    """From the first to the last thing seen of a rep: nose and mark, without the pay."""
    times_s = [at_s for at_s in (rep.nose_in_s, rep.nose_out_s, rep.mark_s) if at_s is not None]
    if not times_s:
        times_s = [rep.pay_s or 0.0]
    return RepPlace(rep.rep, min(times_s), max(times_s))


def numbered(
    reps: Sequence[MeasuredRep], earlier: Iterable[RepPlace], *, taken: Iterable[int]
) -> tuple[MeasuredRep, ...]:
    """Give reps the numbers they had, and new ones the next free numbers in time order.

    Args:
        reps: Newly assembled reps in time order, whatever their numbers.
        earlier: Where the reps lay that were numbered before.
        taken: Every number given so far, also to reps that are gone.
    """
    earlier = tuple(earlier)
    found = _pairs(reps, earlier)
    free = max([0, *taken, *(place.rep for place in earlier)]) + 1
    out: list[MeasuredRep] = []
    for place, rep in enumerate(reps):
        number = found.get(place)
        if number is None:
            number, free = free, free + 1
        out.append(replace(rep, rep=number))
    return tuple(out)


def _pairs(reps: Sequence[MeasuredRep], earlier: Sequence[RepPlace]) -> dict[int, int]:
    """Which new rep is which earlier one: the best fitting pairs first, each used once."""
    fits: list[tuple[float, int, int]] = []
    ordered = sorted(earlier, key=lambda one: one.start_s)
    for place, rep in enumerate(reps):
        now = place_of(rep)
        for before in ordered:
            apart_s = max(before.start_s - now.end_s, now.start_s - before.end_s)
            if apart_s < NEAR_S:
                fits.append((_unlike_s(now, before, apart_s), place, before.rep))
    found: dict[int, int] = {}
    for _, place, number in sorted(fits):
        if place not in found and number not in found.values():
            found[place] = number
    return found


def _unlike_s(now: RepPlace, before: RepPlace, apart_s: float) -> float:
    """How badly two places fit: less is better, overlapping ones always before those only near."""
    moved_s = min(abs(now.start_s - before.start_s), abs(now.end_s - before.end_s))
    return moved_s - max(-apart_s, 0.0) if apart_s <= 0 else 1e6 + apart_s
