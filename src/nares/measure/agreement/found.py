"""What comparing two observers brings back; ``first`` and ``second`` are the observers in their order."""

from dataclasses import dataclass

from nares.measure.agreement.intraclass import Intraclass
from nares.measure.agreement.kappa import Kappa
from nares.measure.agreement.limits import Limits


@dataclass(frozen=True, slots=True)
class Within:
    """F1 of one window with its interval; an F1 of nothing against nothing is 1 without one."""

    window_s: float
    both: int
    f1: float
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class Alone:
    """An event only one observer has. ``by``: 1 the first, 2 the second."""

    session: str
    event: str
    at_s: float
    by: int


@dataclass(frozen=True, slots=True)
class Pair:
    """One thing both observers timed: mean of the two and second minus first."""

    session: str
    mean_s: float
    difference_s: float


@dataclass(frozen=True, slots=True)
class EventAgreement:
    """Agreement on one kind of event. ``paired``: within ``reach_s``; ``timing``: None under two pairs."""

    event: str
    sessions: int
    first: int
    second: int
    paired: int
    reach_s: float
    within: tuple[Within, ...]
    timing: Limits | None
    pairs: tuple[Pair, ...]


@dataclass(frozen=True, slots=True)
class FrameAgreement:
    """Agreement on a lane, frame by frame. ``first``, ``second``: the share of time each saw it so."""

    lane: str
    sessions: int
    first: float
    second: float
    kappa: Kappa


@dataclass(frozen=True, slots=True)
class ValueAgreement:
    """Agreement on a length of time of each rep. ``reps``: seen by both with a value from both.

    ``other_end``: reps left out because only one observer has a mark that ends them.
    """

    value: str
    sessions: int
    reps: int
    other_end: int
    timing: Limits | None
    correlation: Intraclass | None
    pairs: tuple[Pair, ...]


@dataclass(frozen=True, slots=True)
class Agreement:
    """All that two observers agree and differ on. ``missing``: sentences on what could not be compared."""

    first: str
    second: str
    sessions: int
    duration_s: float
    events: tuple[EventAgreement, ...]
    frames: tuple[FrameAgreement, ...]
    values: tuple[ValueAgreement, ...]
    alone: tuple[Alone, ...]
    missing: tuple[str, ...]
