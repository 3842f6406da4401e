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
    """One marker sound: when its first snap (or onset) was heard, and how sure that is one.

    ``within_s``: half-width of a 95 % interval for the moment; None where that is under 10 ms.
    """

    at_s: float
    sure: float
    within_s: float | None = None


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of time in which something was so: an inhalation, a nose inside, a hand inside.

    ``start_within_s`` and ``end_within_s``: half-widths of a 95 % interval for an edge, None where unstated.
    """

    start_s: float
    end_s: float
    sure: float
    start_within_s: float | None = None
    end_within_s: float | None = None

    def __post_init__(self) -> None:
        require_span(self.start_s, self.end_s, what="A span")


@dataclass(frozen=True, slots=True)
class Bout:
    """A run of sniffing: from its first intake to the end of its last cycle.

    ``sniffs``: intakes in it. ``rate_hz``: one over the median time from intake to intake, None under three
    intakes. ``duty``: share of the bout in which air was drawn in.
    """

    start_s: float
    end_s: float
    sure: float
    sniffs: int = 0
    rate_hz: float | None = None
    duty: float | None = None

    def __post_init__(self) -> None:
        require_span(self.start_s, self.end_s, what="A bout")


@dataclass(frozen=True, slots=True)
class MeasuredRep:
    """One rep as the machine read it. Fields as in the measure/1 answer.

    ``within_s``: for each time given, by its field's name, the half-width of a 95 % interval. ``sure_of``:
    for each thing said, by its field's name, the chance that it is so. ``sniffing_s``: how long the dog
    sniffed with the nose in. ``sniff_rate_hz``: how fast.
    """

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
    within_s: dict[str, float] = field(default_factory=dict)
    sure_of: dict[str, float] = field(default_factory=dict)
    sniffing_s: float | None = None
    sniff_rate_hz: float | None = None


@dataclass(frozen=True, slots=True)
class Part:
    """One of several recordings that follow one another in a session, and where it lies on their clock."""

    name: str
    sha256: str
    start_s: float
    end_s: float


@dataclass(frozen=True, slots=True)
class Beside:
    """A second phone's recording of the same session, and how its clock runs against the first one's.

    The start of that recording falls at ``offset_s`` here, and its clock gains ``drift_ppm`` millionths.
    ``spread_s``: root mean square of what is left between the ``marks`` that agree.
    """

    name: str
    sha256: str
    offset_s: float
    drift_ppm: float
    spread_s: float
    marks: int


@dataclass(frozen=True, slots=True)
class RecordingFacts:
    """What the file itself says: length, rate, digest, streams, and notes on anything odd.

    ``parts``: empty for a single recording; ``sha256`` is then that of the first. ``beside``: a second phone.
    """

    duration_s: float
    frames_per_s: float | None
    sha256: str
    streams: tuple[str, ...]
    notes: tuple[str, ...] = ()
    parts: tuple[Part, ...] = ()
    beside: Beside | None = None


@dataclass(frozen=True, slots=True)
class Reading:
    """Everything the machine measured in one recording.

    ``doubtful_marks``: sounds that may be marks and are more likely not; a person says yes or no. ``lost``:
    stretches in which the box was not in the picture. ``start_block_s``: when the four marks at the start
    were heard that only show the marker. ``skew_s``: how much later the picture is than the sound, with the
    half-width of its 95 % interval; None where no start block showed it.
    """

    recording: RecordingFacts
    marks: tuple[Mark, ...]
    inhales: tuple[Span, ...]
    nose_in: tuple[Span, ...]
    hand_in: tuple[Span, ...]
    reps: tuple[MeasuredRep, ...]
    bouts: tuple[Bout, ...] = ()
    doubtful_marks: tuple[Mark, ...] = ()
    lost: tuple[Span, ...] = ()
    start_block_s: tuple[float, ...] = ()
    skew_s: float | None = None
    skew_within_s: float | None = None


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


@dataclass(frozen=True, slots=True)
class PlannedRep:
    """One rep of a session to come: what to ask for and how.

    ``ask_s`` is None where there is no target: no hold is asked there. ``easy``: asked so as to be met, first
    and last. ``target_box`` counts from 1 among ``boxes`` and is None where there is no target;
    ``distractor_boxes`` hold something else that smells.
    """

    rep: int
    ask_s: float | None
    easy: bool
    hand: Hand
    pay_place: PayPlace
    distance_m: float
    disturbance: int
    source: Source
    boxes: int = 1
    target_box: int | None = 1
    distractor_boxes: tuple[int, ...] = ()
    food_in_front: bool = False


@dataclass(frozen=True, slots=True)
class Allowance:
    """How many reps food still allows: ``left`` today in all, ``session`` at most in one. None: not known."""

    left: int | None = None
    session: int | None = None


@dataclass(frozen=True, slots=True)
class SignsStanding:
    """Signs of aversion or stress that were seen in a dog and that nobody has looked into yet.

    ``level``: 0 to 4, the highest that stands. ``because``: what was seen, what to do, most pressing first.
    ``vet``: a vet is to see the dog before more work. ``entries``: the entries that stand.
    """

    level: int
    because: tuple[str, ...] = ()
    vet: bool = False
    entries: tuple[int, ...] = ()
