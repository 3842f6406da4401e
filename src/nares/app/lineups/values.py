"""What each page around a line-up shows, as data. A page, its JSON twin and a test read the same values.

Nothing here holds what lies where in a run that is not opened, but `PlacingPage`, which the placer alone
gets. Times are ISO 8601 in UTC, rates 0 to 1.
"""

from dataclasses import dataclass

from nares.base.lineups import Area, Blinding, Called, Control, Drawing, Observed, Placed, Role, RunKey, Smell

RunState = str
"""waiting, placed, running, called, observed, open, void: how far a run has come. ``called`` and ``observed``
may come in either order; ``open`` needs both."""


@dataclass(frozen=True, slots=True)
class SeatView:
    """One seat of a line-up: who sits there in which role; ``taken_at`` None: not yet."""

    role: Role
    person: str
    taken_at: str | None = None


@dataclass(frozen=True, slots=True)
class SeatCode:
    """A code as it is shown once, to be handed to one person."""

    role: Role
    person: str
    code: str


@dataclass(frozen=True, slots=True)
class Drawn:
    """What drawing a line-up left behind. ``codes`` are shown once and kept nowhere in clear."""

    lineup: str
    entry: int
    digest: str
    said: str
    commitment: str
    codes: tuple[SeatCode, ...]


@dataclass(frozen=True, slots=True)
class RunView:
    """One run as anybody may see it. What lay there, and whether the call was right, only once ``open``.

    ``blinding`` None: it cannot be said yet, or not at all; ``because`` says why. ``right`` None: not open.
    """

    run: int
    state: RunState
    placed_at: str | None = None
    began_at: str | None = None
    present: tuple[str, ...] = ()
    called: Called | None = None
    observed: Observed | None = None
    opened_at: str | None = None
    placed: tuple[Placed, ...] = ()
    right: bool | None = None
    blinding: Blinding | None = None
    because: tuple[str, ...] = ()
    void: str = ""
    commitment: str = ""


@dataclass(frozen=True, slots=True)
class LineupLine:
    """One line-up in a list."""

    lineup: str
    dog: str
    sealed_at: str
    place: str
    shape: str
    positions: int
    runs: int
    opened: int
    void: int
    closed: bool
    aim: Blinding


@dataclass(frozen=True, slots=True)
class LineupsPage:
    """All line-ups, newest first."""

    lines: tuple[LineupLine, ...]
    dogs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Guess:
    """How often somebody who guesses in one way is right, against chance, for orders drawn like this."""

    name: str
    rate: float
    chance: float
    says: str


@dataclass(frozen=True, slots=True)
class LineupPage:
    """A line-up as anybody without a seat may see it: what was asked, how far it is, never a sealed key.

    ``guesses``: how guessable such orders are. ``rules``: what was asked of the order, in words. ``tries``:
    orders drawn until one kept the rules, 0 until closed. ``key``: the whole key once closed, ``holds``
    whether it still gives the commitment. ``findings``: what the design leaves open, in sentences.
    """

    lineup: str
    dog: str
    sealed_at: str
    sealed_by: str
    commitment: str
    area: Area
    targets_low: int
    targets_high: int
    blank_runs: float | None
    aids: tuple[str, ...]
    distractors: tuple[Smell, ...]
    controls: tuple[Control, ...]
    aim: Blinding
    drawing: Drawing
    rules: tuple[str, ...]
    tries: int
    set_time_min: float | None
    seats: tuple[SeatView, ...]
    runs: tuple[RunView, ...]
    guesses: tuple[Guess, ...] = ()
    findings: tuple[str, ...] = ()
    closed_at: str | None = None
    holds: bool | None = None
    key: dict[str, object] | None = None
    note: str = ""
    entry: int = 0


@dataclass(frozen=True, slots=True)
class PlacingPage:
    """The placer's: what to put where in the run to be placed next, in the order of placing.

    ``run`` None: there is nothing to place now; ``says`` tells why.
    """

    lineup: str
    person: str
    area: Area
    runs: int
    run: RunKey | None
    state: RunState
    says: str
    set_time_min: float | None = None
    aids: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class HandlingPage:
    """The handler's: the run, the places, and what the handler called. Never counts, never what lies where.

    ``said``: the outcome of the run just opened ("Pay", "Do not pay", …), for the dog's sake; None: none.
    """

    lineup: str
    person: str
    dog: str
    area: Area
    runs: int
    run: int | None
    state: RunState
    says: str
    called: Called | None = None
    said: str | None = None


@dataclass(frozen=True, slots=True)
class EvaluatingPage:
    """The evaluator's and the recorder's: start, observe, open. Blind until the run is open.

    ``people``: names that can be present. ``last``: the run opened last.
    """

    lineup: str
    person: str
    role: Role
    dog: str
    area: Area
    runs: int
    run: int | None
    state: RunState
    says: str
    people: tuple[str, ...]
    began_at: str | None = None
    called: bool = False
    observed: Observed | None = None
    last: RunView | None = None
    closed: bool = False


SeatPage = PlacingPage | HandlingPage | EvaluatingPage
"""What a seat sees; which one follows from its role."""


@dataclass(frozen=True, slots=True)
class Seat:
    """A seat somebody has taken: what a token stands for."""

    lineup: str
    role: Role
    person: str


@dataclass(frozen=True, slots=True)
class Taken:
    """A seat, with the token that the browser keeps from now on."""

    seat: Seat
    token: str
