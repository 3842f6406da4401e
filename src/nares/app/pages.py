"""What each page shows, as data. A page, its JSON twin and a test all read the same values.

Nothing here is formatted: times are ISO 8601 in UTC, rates run from 0 to 1, lengths of time are seconds.
"""

from dataclasses import dataclass, field

from nares.app.standing import LanesAs as LanesAs
from nares.base.vocab import Call, MeasuredRep, Reading, Rep, Span
from nares.base.vocab import PlannedRep as PlannedRep  # shown as it was planned
from nares.decide.decision import Evidence as Evidence  # shown as it was decided
from nares.decide.isolation.isolating import Isolation as Isolation
from nares.decide.isolation.offering import Offer as Offer
from nares.measure.corrections import Edit


@dataclass(frozen=True, slots=True)
class StepView:
    """One step of a dog's programme. ``state``: passed, current or ahead.

    ``raises`` and ``relaxes``: names of the criteria that are harder and easier than in the step before.
    """

    key: str
    name: str
    raises: str
    teaches: str
    state: str
    evidence: Evidence | None
    relaxes: str = ""


@dataclass(frozen=True, slots=True)
class OverrulingView:
    """A person decided otherwise than was advised."""

    entry: int
    advised: Call
    decided: Call
    why: str
    by: str


@dataclass(frozen=True, slots=True)
class CallView:
    """The call for a dog at its step, with its reasons and the next session.

    ``entry``: the newest entry that says anything of it. ``alone``: what the numbers alone would have said,
    where signs came first. ``overruling``: a person's decision, which ``call`` and ``next_step`` follow.
    ``isolating``: what is known of which criterion broke a step; ``offers``: what may be raised instead.
    """

    step: str
    step_name: str
    call: Call
    evidence: Evidence
    next_step: str
    next_step_name: str
    because: tuple[str, ...]
    risk: tuple[str, ...]
    asks_s: tuple[float, ...]
    next_session: tuple[PlannedRep, ...]
    entry: int = 0
    alone: Call | None = None
    overruling: OverrulingView | None = None
    isolating: Isolation | None = None
    offers: tuple[Offer, ...] = ()


@dataclass(frozen=True, slots=True)
class DogCard:
    """One dog on the page Today. ``call`` is None while there is nothing to decide on."""

    name: str
    breed: str
    born: str | None
    programme: str
    step_number: int
    steps: int
    call: CallView | None
    last_session: str | None
    last_session_at: str | None
    to_confirm: int


@dataclass(frozen=True, slots=True)
class TodayPage:
    """The page Today."""

    kennel: str
    now: str
    entries: int
    head: str | None
    dogs: tuple[DogCard, ...]


@dataclass(frozen=True, slots=True)
class SessionLine:
    """One session in a list. ``reps`` counts confirmed reps, ``to_confirm`` those only measured."""

    session: str
    dog: str
    started_at: str
    step: str
    step_name: str
    reps: int
    met: int
    low: float | None
    high: float | None
    to_confirm: int
    has_recording: bool


@dataclass(frozen=True, slots=True)
class HoldPoint:
    """The chance of a hold of at least ``t_s``, with an interval."""

    t_s: float
    chance: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class HoldView:
    """How long the dog holds at this step: Kaplan-Meier steps, the fitted curve, how far it was asked.

    ``ask_low_s`` and ``ask_high_s`` bound the hold reached with ``ask_chance``; an upper limit
    beyond anything that was seen is None.
    ``borrowed`` counts holds of the dog's other steps, ``other_dogs`` dogs, that the curve leans on;
    ``from_others`` is how much of the place the other dogs decide, 0 to 1.
    """

    reps: int
    breaks: int
    cut_short: int
    longest_asked_s: float
    observed: tuple[HoldPoint, ...]
    fitted: tuple[HoldPoint, ...]
    shape: str
    ask_s: float | None
    ask_chance: float
    note: str
    ask_low_s: float | None = None
    ask_high_s: float | None = None
    borrowed: int = 0
    other_dogs: int = 0
    from_others: float = 0.0
    ask_extrapolates: bool = False


@dataclass(frozen=True, slots=True)
class RiskPoint:
    """What one run of the step test does to a dog that really meets ``rate`` of its reps, exactly."""

    rate: float
    to_raise: float
    to_ease: float
    undecided: float
    reps: float


@dataclass(frozen=True, slots=True)
class HabitRisk:
    """What a usual rule of raising does to a dog at the two rates of the test, within the same cap."""

    name: str
    at_not_ready: float
    at_ready: float


@dataclass(frozen=True, slots=True)
class RiskView:
    """How often a call at a step is wrong: the test's levels, what it does by true rate, and over all raises.

    ``raise_counts`` and ``ease_counts``: (met, reps) at which the test speaks, for some reps. ``raises``:
    raises of the programme; ``over``: chance of at least one false raise over all of them;
    ``each_for_fifth``: the false raise of each that would keep ``over`` to one in five. ``uneven``: chance
    of a false raise for a dog of good and bad sessions.
    """

    ready: float
    not_ready: float
    false_raise: float
    missed_raise: float
    cap: int
    points: tuple[RiskPoint, ...]
    raise_counts: tuple[tuple[int, int], ...]
    ease_counts: tuple[tuple[int, int], ...]
    habits: tuple[HabitRisk, ...]
    raises: int
    over: float
    each_for_fifth: float
    uneven: float
    svg: str


@dataclass(frozen=True, slots=True)
class DogPage:
    """The page of one dog. ``success_svg`` and ``hold_svg`` are static pictures of the two plots.

    ``sessions`` are those of list page ``page`` of ``pages``, newest first; ``sessions_total`` counts all.
    """

    card: DogCard
    steps: tuple[StepView, ...]
    sessions: tuple[SessionLine, ...]
    hold: HoldView | None
    success_svg: str | None
    hold_svg: str | None
    risk: RiskView | None = None
    sessions_total: int = 0
    page: int = 1
    pages: int = 1


@dataclass(frozen=True, slots=True)
class Change:
    """One correction of one value: what it was, what it is, who, when, why, and the entry that says so."""

    field: str
    old: str
    new: str
    why: str
    by: str
    at: str
    entry: int


@dataclass(frozen=True, slots=True)
class RepLine:
    """One rep of a session. ``state``: measured, confirmed, corrected or set aside.

    ``proposed`` is the row a bare confirmation would write, None where the end was not seen; ``kept`` is the
    row a person stands by; ``start`` is the row a correction starts from: kept, proposed, or blank. ``seen``
    is the newest entry that says anything of this rep: what a deed on this line hands back. ``look_again``:
    what the events say now, where they were corrected after the rep was confirmed; empty where they were not.
    """

    rep: int
    measured: MeasuredRep | None
    proposed: Rep | None
    kept: Rep | None
    start: Rep
    state: str
    low_certainty: bool
    changes: tuple[Change, ...]
    seen: int = 0
    look_again: str = ""


@dataclass(frozen=True, slots=True)
class RecordingView:
    """A recording kept with a session: where to play it, what it is."""

    sha256: str
    name: str
    media_type: str
    duration_s: float
    frames_per_s: float | None
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SessionPage:
    """The page of one session. ``reading`` is the machine's; ``lanes`` is what stands after corrections.

    ``from_sheet``: the spreadsheet its reps came from, ``sheet_lines``: the line of each rep; both may be
    empty.
    """

    line: SessionLine
    recording: RecordingView | None
    reading: Reading | None
    reading_entry: int | None
    reps: tuple[RepLine, ...]
    front: tuple[float, float, float, float] | None
    side: tuple[float, float, float, float] | None
    note: str
    lanes: LanesAs | None = None
    marked_by: str = ""
    from_sheet: str = ""
    sheet_sha256: str = ""
    sheet_lines: dict[int, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class TimelineEvent:
    """One event as the machine read it: its lasting name, lane, times and certainty."""

    event: str
    lane: str
    times_s: tuple[float, ...]
    sure: float


@dataclass(frozen=True, slots=True)
class RepBar:
    """One rep as it stands on the timeline. ``look``: why it wants a look, empty where it does not."""

    rep: int
    start_s: float
    end_s: float
    state: str
    look: str
    said: str


@dataclass(frozen=True, slots=True)
class TimelinePage:
    """A session's timeline for editing. ``sheet``: ``reading`` or ``own``, a sheet that began empty.

    ``edits`` in the order they were written, each with who made it; an own sheet holds one person's alone,
    and nothing of the machine's. ``page``: the session as its own page shows it, None on an own sheet.
    ``readings``: the entries of all readings made, oldest first; ``front``, ``side``: the newest's regions.
    """

    session: str
    dog: str
    sheet: str
    recording: RecordingView | None
    reading_entry: int | None
    read: tuple[TimelineEvent, ...]
    edits: tuple[Edit, ...]
    lost: tuple[Span, ...]
    reps: tuple[RepBar, ...]
    own_sheets: tuple[str, ...]
    page: SessionPage | None
    readings: tuple[int, ...] = ()
    front: tuple[float, ...] | None = None
    side: tuple[float, ...] | None = None


@dataclass(frozen=True, slots=True)
class EntryLine:
    """One entry of the record, with what later amended it."""

    number: int
    kind: str
    happened_at: str
    entered_at: str
    by: str
    site: str
    summary: str
    payload_text: str
    digest: str
    previous: str
    late_s: float
    amended_by: tuple[int, ...]
    amends: int | None


@dataclass(frozen=True, slots=True)
class Verification:
    """The answer to: does the record still hold together? ``first_bad`` is None when it does.

    ``notes`` say what is no fault of the record but worth knowing, such as a recording whose file is gone.
    """

    holds: bool
    entries: int
    head: str | None
    first_bad: int | None
    findings: tuple[str, ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class RecordPage:
    """The page Record: entries newest first, a page at a time. ``newest``: number of the newest of all."""

    entries: tuple[EntryLine, ...]
    total: int
    page: int
    pages: int
    kinds: tuple[str, ...]
    kind: str
    verification: Verification | None
    head: str | None
    newest: int = 0
