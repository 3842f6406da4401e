"""The frozen records that parts hand to each other.

Conventions
-----------
Times named ``*_s`` are seconds from the start of a recording, or a duration in seconds. Rates and
certainties run from 0 to 1. ``sure`` is the probability that the thing said is true. A quantity that
could not be measured is ``None`` and comes with a note, never a guess.
"""

from dataclasses import dataclass, field
from typing import Literal

from nares.base.errors import OutOfRange
from nares.base.times import require_span

EndedBy = Literal["mark", "dog", "unknown"]
Seen = Literal["yes", "no", "unclear"]
Hand = Literal["inside", "side", "front", "away"]
PayPlace = Literal["inside", "outside", "away"]
Source = Literal["target", "blank", "distractor"]
Call = Literal["raise", "stay", "ease", "stop"]


@dataclass(frozen=True, slots=True)
class Region:
    """A rectangle on the picture as fractions of its width and height, origin top left. [-]

    Raises:
        OutOfRange: If it is empty or reaches outside the picture.
    """

    x: float
    y: float
    w: float
    h: float

    def __post_init__(self) -> None:
        inside = 0 <= self.x and 0 <= self.y and self.x + self.w <= 1 + 1e-9 and self.y + self.h <= 1 + 1e-9
        if not (self.w > 0 and self.h > 0 and inside):
            raise OutOfRange(
                f"The region {self.x:g},{self.y:g},{self.w:g},{self.h:g} does not lie inside the picture. "
                "Give x,y,width,height as fractions from 0 to 1, for example 0.42,0.42,0.05,0.15."
            )


@dataclass(frozen=True, slots=True)
class Mark:
    """One marker sound: when its first snap (or onset) was heard, and how sure that is one."""

    at_s: float
    sure: float


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of time in which something was so: an inhalation, a nose inside, a hand inside."""

    start_s: float
    end_s: float
    sure: float

    def __post_init__(self) -> None:
        require_span(self.start_s, self.end_s, what="A span")


@dataclass(frozen=True, slots=True)
class MeasuredRep:
    """One rep as the machine read it. Fields as in the measure/1 answer."""

    rep: int
    nose_in_s: float | None
    nose_out_s: float | None
    mark_s: float | None
    mark_delay_s: float | None
    hold_s: float | None
    ended_by: EndedBy
    inhales_before_mark: int | None
    sniffing_at_mark: Seen
    inhaling_at_mark: Seen
    pay_s: float | None
    pay_delay_s: float | None
    pay_place: PayPlace | None
    sure: float
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class RecordingFacts:
    """What the file itself says: length, rate, digest, streams, and notes on anything odd."""

    duration_s: float
    frames_per_s: float | None
    sha256: str
    streams: tuple[str, ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Reading:
    """Everything the machine measured in one recording."""

    recording: RecordingFacts
    marks: tuple[Mark, ...]
    inhales: tuple[Span, ...]
    nose_in: tuple[Span, ...]
    hand_in: tuple[Span, ...]
    reps: tuple[MeasuredRep, ...]


@dataclass(frozen=True, slots=True)
class Rep:
    """One rep a person stands by: one row of the rep table."""

    dog: str
    session: str
    started_at: str
    step: str
    rep: int
    ask_s: float | None
    hold_s: float | None
    ended_by: Literal["mark", "dog"]
    met: bool
    hand: Hand
    pay_place: PayPlace
    distance_m: float
    disturbance: int
    source: Source
    cues: tuple[str, ...] = field(default=())
    paid: bool = True
