"""What a person asks for around a line-up, as data: one frozen request per deed, the same from every door.

A deed of somebody with a seat carries the seat's token; who acts, and in which role, is read from the seat
and never from the request.
"""

from dataclasses import dataclass, field

from nares.base.lineups import Area, Blinding, Called, Control, Observed, Role, Smell


@dataclass(frozen=True, slots=True)
class DrawLineup:
    """Draw a line-up, seal its key, give out the seats.

    ``targets_low`` and ``targets_high``: targets in a run. ``blank_runs``: chance that a run holds none;
    None: every count from low to high is equally likely. ``blinding``: what is aimed at, which settles how
    the order is drawn (known: all runs together under stated rules; single, double: every run by itself);
    what a run came to is derived afterwards. ``rules``: names of the predicates asked of a constrained order;
    None: the usual ones. ``tested``: positions tested free of odour since they last held a target.
    ``people``: who sits where. ``seed``: 32 bytes in hex to draw from; None: fresh chance. ``lineup``: its
    name; None: after the dog with the next number. ``set_time_min``: from placing to search. ``along``: how
    many distractors and controls go along in one run; None: all of them. ``fresh``: a new container for every
    target.
    """

    area: Area
    runs: int
    targets_low: int
    targets_high: int
    dog: str
    by: str
    blank_runs: float | None = None
    aids: tuple[str, ...] = ("target",)
    distractors: tuple[Smell, ...] = ()
    controls: tuple[Control, ...] = ()
    blinding: Blinding = "double"
    rules: tuple[str, ...] | None = None
    tested: tuple[int, ...] = ()
    people: dict[Role, str] = field(default_factory=dict)
    set_time_min: float | None = None
    seed: str | None = None
    lineup: str | None = None
    note: str = ""
    along: int | None = None
    fresh: bool = False


@dataclass(frozen=True, slots=True)
class TakeSeat:
    """Sit down with a code that was handed over."""

    code: str


@dataclass(frozen=True, slots=True)
class LeaveSeat:
    """Stand up: the token counts no more."""

    token: str


@dataclass(frozen=True, slots=True)
class PlaceRun:
    """The placer has set a run and is out of sight. ``note``: anything that went otherwise."""

    token: str
    run: int
    note: str = ""


@dataclass(frozen=True, slots=True)
class BeginRun:
    """The evaluator starts a run. ``present``: everybody who can see or be seen, the handler included."""

    token: str
    run: int
    present: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MakeCall:
    """The handler calls a position, or None for "clear"."""

    token: str
    run: int
    position: int | None


@dataclass(frozen=True, slots=True)
class ObserveRun:
    """The evaluator or the recorder says what was seen, before the run's key is opened."""

    token: str
    run: int
    observed: Observed


@dataclass(frozen=True, slots=True)
class OpenRun:
    """The evaluator opens the key of one run, after the call."""

    token: str
    run: int


@dataclass(frozen=True, slots=True)
class VoidRun:
    """The evaluator says that a run does not count, and why."""

    token: str
    run: int
    why: str


@dataclass(frozen=True, slots=True)
class CloseLineup:
    """Open the whole key and put it on the record. Runs not run yet are void, for ``why``."""

    lineup: str
    by: str
    token: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True)
class TypeCalls:
    """Calls written on paper, typed in later: the times are those on the paper."""

    lineup: str
    by: str
    calls: tuple[Called, ...]
    why: str = ""
