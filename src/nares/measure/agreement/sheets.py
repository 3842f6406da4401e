"""What one observer says of a recording: the lanes as plain times, whoever marked them.

Conventions
-----------
Seconds from the start of the recording. A lane that is None was not marked or could not be measured, an
empty one says that nothing was there: the two are never mixed up. An observer is the machine, a person by
name, or what stands after corrections.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from nares.base.vocab import Mark, Span

Stretch = tuple[float, float]


@dataclass(frozen=True, slots=True)
class HeldRep:
    """One rep as an observer saw it, for pairing with another's: when the nose went in and what follows."""

    nose_in_s: float
    hold_s: float | None
    mark_delay_s: float | None


@dataclass(frozen=True, slots=True)
class Sheet:
    """One observer's lanes of one recording; None for a lane that observer did not mark."""

    observer: str
    marks: tuple[float, ...] | None
    inhales: tuple[Stretch, ...] | None
    nose_in: tuple[Stretch, ...] | None
    hand_in: tuple[Stretch, ...] | None
    reps: tuple[HeldRep, ...] = ()


@dataclass(frozen=True, slots=True)
class TwoSheets:
    """One recording seen by two observers. ``session`` names it; ``duration_s``: how much both looked at."""

    session: str
    first: Sheet
    second: Sheet
    duration_s: float


def sheet_of(
    observer: str,
    marks: Sequence[Mark] | None,
    inhales: Sequence[Span] | None,
    nose_in: Sequence[Span] | None,
    hand_in: Sequence[Span] | None,
    reps: Sequence[HeldRep] = (),
) -> Sheet:
    """A sheet from lanes as they are kept, in time order."""
    return Sheet(
        observer,
        None if marks is None else tuple(sorted(mark.at_s for mark in marks)),
        _stretches(inhales),
        _stretches(nose_in),
        _stretches(hand_in),
        tuple(reps),
    )


def _stretches(spans: Sequence[Span] | None) -> tuple[Stretch, ...] | None:
    return None if spans is None else tuple(sorted((span.start_s, span.end_s) for span in spans))
