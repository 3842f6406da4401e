"""Was the dog sniffing, and drawing air in, when the mark fell? How long did it sniff during a visit?

Conventions
-----------
Times are seconds from the start of the recording. The mark hides what follows it for 50 to 100 ms, so
the moment itself is never read: only what was heard before the mark counts for the phase, and the rhythm
is carried on from there. Three answers: ``yes``, ``no`` and ``unclear``; half of all moments lie within
20 ms of an edge between drawing in and letting out, and those are ``unclear``.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from nares.base.times import require_span
from nares.base.vocab import Bout, Seen, Span

LONGEST_CYCLE_S = 0.45
"""Two intakes further apart than this do not belong to one run of sniffing. [s]"""
NEAR_S = 0.06
"""A bout's own edge is known no better than this. [s]"""
START_SD_S = 0.006
"""How well the start of one heard intake is known. [s]"""
UNMASKED_S = 0.020
"""An intake that began at least this long before the mark was heard to begin. [s]"""


@dataclass(frozen=True, slots=True)
class SniffTime:
    """Sniffing inside a stretch of time: how long, and how fast (None where no bout in it shows a rate)."""

    sniffing_s: float
    rate_hz: float | None


def sniffing_within(start_s: float, end_s: float, bouts: Sequence[Bout] | None) -> SniffTime | None:
    """How long a dog sniffed between two moments, mostly the entry and the leaving of one visit.

    A dog that passes a source over without an alert has been seen to sniff longer where there was
    something to find, so the time is worth keeping for every visit and not for alerts alone.

    Args:
        start_s: Start of the stretch. [s]
        end_s: End of the stretch, not before its start. [s]
        bouts: Sniffing bouts of the whole recording; None where the sound cannot carry them. A bout that
            is more likely none than one counts nothing.

    Returns:
        The time, 0 where no sniffing was heard, and the mean rate over it; None without bouts to go by.

    Raises:
        OutOfRange: If the stretch ends before it starts.

    Sources:
        concha-2014: abstract; sniffing of a missed target outlasts that of a correct rejection.

    Examples:
        >>> sniffing_within(1.0, 2.0, [Bout(0.5, 1.5, 0.9, sniffs=5, rate_hz=5.0)])
        SniffTime(sniffing_s=0.5, rate_hz=5.0)
    """
    require_span(start_s, end_s, what="A visit")
    if bouts is None:
        return None
    shares = [
        (min(bout.end_s, end_s) - max(bout.start_s, start_s), bout) for bout in bouts if bout.sure >= 0.5
    ]
    inside = [(share_s, bout.rate_hz) for share_s, bout in shares if share_s > 0]
    rated_s = sum(share_s for share_s, rate_hz in inside if rate_hz is not None)
    turns = sum(share_s * rate_hz for share_s, rate_hz in inside if rate_hz is not None)
    rate_hz = round(turns / rated_s, 2) if rated_s > 0 else None
    return SniffTime(round(sum(share_s for share_s, _ in inside), 4), rate_hz)


def sniffing_at(at_s: float, bouts: Sequence[Bout] | None, inhales: Sequence[Span] | None) -> Seen:
    """Say whether the dog was sniffing at a moment.

    Args:
        at_s: The moment, mostly a mark. [s]
        bouts: Sniffing bouts of the whole recording in time order; None where the sound cannot carry it.
        inhales: The intakes heard, in time order; None where the sound cannot carry it.
    """
    if bouts is None or inhales is None:
        return "unclear"
    heard = [span for span in bouts if span.start_s - LONGEST_CYCLE_S <= at_s <= span.end_s + LONGEST_CYCLE_S]
    if not heard:
        return "no"
    inside = [span for span in heard if span.start_s + NEAR_S <= at_s <= span.end_s]
    if inside:
        return "yes" if max(span.sure for span in inside) >= 0.5 else "unclear"
    before = run_before(at_s, inhales)
    if len(before) >= 2 and at_s <= before[-1].start_s + cycle_s(before) + NEAR_S:
        return "yes"  # the cycle that was running when the mark fell
    near = [span for span in heard if span.start_s - NEAR_S <= at_s <= span.end_s + 2 * NEAR_S + 0.1]
    return "unclear" if near else "no"


def inhaling_at(at_s: float, bouts: Sequence[Bout] | None, inhales: Sequence[Span] | None) -> Seen:
    """Say whether air was being drawn in at a moment, from what was heard before it.

    Args:
        at_s: The moment, mostly a mark. [s]
        bouts: Sniffing bouts of the whole recording in time order; None where the sound cannot carry it.
        inhales: The intakes heard, in time order; None where the sound cannot carry it.
    """
    sniffing = sniffing_at(at_s, bouts, inhales)
    if sniffing != "yes" or inhales is None:
        return "no" if sniffing == "no" else "unclear"
    before = run_before(at_s, inhales)
    if len(before) < 2 or min(span.sure for span in before[-2:]) < 0.4:
        return "unclear"
    cycle = cycle_s(before)
    drawn = median(span.end_s - span.start_s for span in before[:-1])
    cycles_on = round((at_s - before[-1].start_s - drawn / 2) / cycle)
    start = before[-1].start_s + max(cycles_on, 0) * cycle
    doubt = 1.3 * (START_SD_S + max(cycles_on, 0) * _unsteadiness_s(before, cycle))
    return _answer(at_s - start, drawn, doubt)


def run_before(at_s: float, inhales: Sequence[Span]) -> list[Span]:
    """The last run of up to seven intakes that were heard to begin before a moment."""
    begun = [span for span in inhales if span.start_s <= at_s - UNMASKED_S][-7:]
    if not begun or at_s - begun[-1].start_s > 2 * LONGEST_CYCLE_S:
        return []
    first = len(begun) - 1
    while first > 0 and begun[first].start_s - begun[first - 1].start_s <= LONGEST_CYCLE_S:
        first -= 1
    return begun[first:]


def cycle_s(run: Sequence[Span]) -> float:
    """The median time from one intake to the next in a run of at least two. [s]"""
    return median(after.start_s - before.start_s for before, after in pairwise(run))


def _unsteadiness_s(run: Sequence[Span], cycle: float) -> float:
    steps = [abs(after.start_s - before.start_s - cycle) for before, after in pairwise(run)]
    return max(1.5 * median(steps), 0.05 * cycle)


def _answer(into_s: float, drawn_s: float, doubt_s: float) -> Seen:
    if doubt_s < into_s < drawn_s - doubt_s:
        return "yes"
    if into_s < -doubt_s or into_s > drawn_s + doubt_s:
        return "no"
    return "unclear"
