"""Everything measured in one recording, in order and checked, as reps are made of it.

Conventions
-----------
Lanes may come in any order; times are seconds from the start of the recording. ``None`` for a lane means
it was not measured, an empty lane that nothing happened. What is heard keeps the clock of the sound, what is
seen that of the picture; `Lanes.seen_s` says when on the picture's clock something heard happened.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from nares.base.errors import OutOfRange
from nares.base.vocab import Bout, Mark, Span

SAME_S = 0.005
"""Two marks nearer than this are one event reported twice."""
GRACE_S = 0.5
"""Streams of one recording may differ in length by this."""


@dataclass(frozen=True, slots=True)
class Lanes:
    """Everything measured, in time order.

    ``skew_s``: how much later the picture is than the sound. ``skew_within_s`` and ``edge_within_s``:
    half-widths of 95 % intervals for it, and for an edge seen that states none of its own.
    """

    marks: tuple[Mark, ...]
    inhales: tuple[Span, ...] | None
    bouts: tuple[Bout, ...] | None
    nose_in: tuple[Span, ...] | None
    hand_in: tuple[Span, ...] | None
    lost: tuple[Span, ...]
    doubtful: tuple[Mark, ...]
    duration_s: float
    skew_s: float
    skew_within_s: float
    edge_within_s: float

    def seen_s(self, heard_s: float) -> float:
        """When on the picture's clock something heard at a moment happened. [s]"""
        return heard_s + self.skew_s


def distinct(marks: Sequence[Mark]) -> tuple[Mark, ...]:
    """Marks in time order, an event reported twice kept once with the greater certainty."""
    kept: list[Mark] = []
    for mark in sorted(marks, key=lambda m: m.at_s):
        if kept and mark.at_s - kept[-1].at_s < SAME_S:
            kept[-1] = Mark(kept[-1].at_s, max(kept[-1].sure, mark.sure), kept[-1].within_s)
        else:
            kept.append(mark)
    return tuple(kept)


def ordered(spans: Sequence[Span] | None) -> tuple[Span, ...] | None:
    """Spans in time order; None stays None."""
    return None if spans is None else tuple(sorted(spans, key=lambda span: (span.start_s, span.end_s)))


def require_within(lanes: Lanes) -> None:
    """Refuse times the recording does not have.

    Raises:
        OutOfRange: Naming the first event that lies outside.
    """
    times = [("mark", mark.at_s) for mark in lanes.marks]
    for what, spans in (("nose", lanes.nose_in), ("hand", lanes.hand_in), ("inhalation", lanes.inhales)):
        times += [(what, edge) for span in spans or () for edge in (span.start_s, span.end_s)]
    for what, at_s in times:
        if not -GRACE_S <= at_s <= lanes.duration_s + GRACE_S:
            raise OutOfRange(
                f"A {what} at {at_s:g} s lies outside the recording of {lanes.duration_s:g} s. "
                "Give times in seconds from the start of the same recording."
            )
