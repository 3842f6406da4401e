"""What can be put on the record: one frozen dataclass per kind of entry.

Conventions
-----------
A kind is a past-tense fact. Names of kinds and fields are written into the history and stay for ever; new
ones are added, and ``schema`` counts up when a kind's meaning changes. Times named ``*_s`` are seconds, the
rest of the time of day is ISO 8601 with a zone. ``KINDS`` joins the names to the dataclasses; ``FIXED`` says
which values other entries hold on to, so that they cannot be amended, and what to do instead.

Reading and checking payloads is `nares.record.payloads`; what must already be on the record for an entry to
make sense is `nares.record.guards`.
"""

from dataclasses import dataclass, field
from typing import Any, Literal

from nares.base.vocab import Call, Hand, PayPlace, PlannedRep, Rep
from nares.base.vocab import Source as RepSource
from nares.measure.corrections import Edit
from nares.measure.numbering import RepPlace
from nares.record.kinds_lineups import (
    CallMade,
    KeyOpened,
    KeySeen,
    LineupSealed,
    RunBegun,
    RunObserved,
    RunOpened,
    RunPlaced,
    RunVoided,
    SeatTaken,
)

Sheet = Literal["reading", "own"]
Sex = Literal["male", "female"]


@dataclass(frozen=True, slots=True)
class KennelFounded:
    """The first line of a record: whose it is and where it is kept."""

    kennel: str
    site: str
    schema: int = 1


@dataclass(frozen=True, slots=True)
class DogAdded:
    """A dog came to the kennel. ``programme``: the name of the programme it works through."""

    dog: str
    breed: str
    born: str | None = None
    sex: Sex | None = None
    programme: str = "box"
    note: str = ""
    schema: int = 1


@dataclass(frozen=True, slots=True)
class ProgrammeKept:
    """A programme as it was used: its whole text, and the SHA-256 of that text in UTF-8."""

    name: str
    text: str
    sha256: str
    schema: int = 1


@dataclass(frozen=True, slots=True)
class SessionRun:
    """A session with one dog. ``front`` and ``side``: x, y, width, height as fractions of the picture.

    ``marked_by``: who held the clicker; empty: whoever wrote the entry.
    """

    session: str
    dog: str
    step: str
    started_at: str
    asks_s: tuple[float, ...] = ()
    hand: Hand = "inside"
    pay_place: PayPlace = "inside"
    distance_m: float = 0.0
    disturbance: int = 0
    source: RepSource = "target"
    cues: tuple[str, ...] = ()
    note: str = ""
    front: tuple[float, float, float, float] | None = None
    side: tuple[float, float, float, float] | None = None
    marked_by: str = ""
    schema: int = 1


@dataclass(frozen=True, slots=True)
class RecordingKept:
    """A recording was kept with a session. The record holds its SHA-256, never the recording itself."""

    session: str
    sha256: str
    name: str
    media_type: str
    bytes: int
    duration_s: float
    frames_per_s: float | None = None
    streams: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    schema: int = 1


@dataclass(frozen=True, slots=True)
class ReadingMade:
    """What the machine measured in a recording, with the versions and settings it was made with."""

    session: str
    sha256: str
    made_with: dict[str, str]
    settings: dict[str, Any]
    reading: dict[str, Any]
    schema: int = 1


@dataclass(frozen=True, slots=True)
class EventsCorrected:
    """What a person changed on the timeline.

    ``sheet``: ``reading``, corrections of the reading of entry ``reading``, which stand for everybody; or
    ``own``, one person's marking from an empty sheet (``whose``), which is kept for comparing and does not
    stand. ``reps``: where the reps lie, by number, after these edits, so that a number is never given twice.
    """

    session: str
    reading: int | None
    edits: tuple[Edit, ...]
    sheet: Sheet = "reading"
    whose: str = ""
    reps: tuple[RepPlace, ...] = ()
    why: str = ""
    schema: int = 1


@dataclass(frozen=True, slots=True)
class RepsConfirmed:
    """Reps a person stands by.

    ``reading``: the entry they were confirmed from, if any: the reading, or the newest correction of it.
    """

    session: str
    reading: int | None
    reps: tuple[Rep, ...]
    why: str = ""
    schema: int = 1


@dataclass(frozen=True, slots=True)
class SheetImported:
    """Sessions came from a spreadsheet and were not measured here: which file, how it was read, which lines.

    ``sheet``: which sheet of the file. ``mapping``: how its columns and words were read. ``kept_as``: the
    name under which the mapping is used again; empty: it is not. ``lines``: for each session, rep and line
    by rep.
    """

    name: str
    sha256: str
    bytes: int
    sheet: str
    mapping: dict[str, Any]
    lines: dict[str, tuple[tuple[int, int], ...]]
    kept_as: str = ""
    schema: int = 1


@dataclass(frozen=True, slots=True)
class RepSetAside:
    """A rep that was none, or cannot be used, and why."""

    session: str
    rep: int
    why: str
    schema: int = 1


@dataclass(frozen=True, slots=True)
class Amended:
    """One value of an earlier entry was wrong. ``field`` is a JSON pointer (RFC 6901) into its payload."""

    entry: int
    field: str
    old: Any
    new: Any
    why: str
    schema: int = 1


@dataclass(frozen=True, slots=True)
class StepCalled:
    """What the evidence said to do next with a dog at its step.

    ``risk``: how often such a call is wrong, in sentences. ``alone``: the ``call`` and ``next_step`` that the
    numbers alone would have given, where signs of stress or a person came before them.
    """

    dog: str
    step: str
    call: Call
    next_step: str
    evidence: dict[str, Any] = field(default_factory=dict)
    because: tuple[str, ...] = ()
    asks_s: tuple[float, ...] = ()
    last_session: str | None = None
    programme: str = "box"
    schema: int = 1
    risk: tuple[str, ...] = ()
    alone: dict[str, str] | None = None


@dataclass(frozen=True, slots=True)
class CallOverruled:
    """A person decided otherwise than the newest call for a dog. ``call``: what is done instead.

    ``next_step``: where the work goes on; empty: where the call leads by itself. ``asks_s``: the asks drawn
    for it. ``overrules``: the entry of the call; None in entries written before this was kept.
    """

    dog: str
    step: str
    call: Call
    why: str
    next_step: str = ""
    asks_s: tuple[float, ...] = ()
    overrules: int | None = None
    schema: int = 1


@dataclass(frozen=True, slots=True)
class OverrulingWithdrawn:
    """A person took an overruling back: the call it stood against counts again. ``overruling``: its entry."""

    dog: str
    overruling: int
    why: str
    schema: int = 1


@dataclass(frozen=True, slots=True)
class SignsSeen:
    """Signs of aversion or stress a person saw in a dog, by key, and the level they come to.

    ``session`` and ``rep``: when they were seen, as far as it is known. ``latency``: a note on how long the
    dog took to go in, in words.
    """

    dog: str
    signs: tuple[str, ...]
    level: int
    session: str | None = None
    rep: int | None = None
    latency: str = ""
    note: str = ""
    schema: int = 1


@dataclass(frozen=True, slots=True)
class SignsCleared:
    """A person looked into signs that stood. ``signs``: their entries. ``vet``: a vet saw the dog."""

    dog: str
    signs: tuple[int, ...]
    why: str
    vet: bool = False
    schema: int = 1


@dataclass(frozen=True, slots=True)
class RationSet:
    """What a dog is fed on one day, as a person says it. The newest of a day stands.

    ``ration_g``: all of it; ``bowl_g``: of that, what goes into the bowl; ``reward_g``: one reward;
    ``rewards``: a count set apart. Fields as in `nares.care.ration.Ration`.
    """

    dog: str
    day: str
    ration_g: float | None = None
    reward_g: float | None = None
    bowl_g: float = 0.0
    rewards: int | None = None
    rewards_per_rep: int = 1
    note: str = ""
    schema: int = 1


@dataclass(frozen=True, slots=True)
class SessionPlanned:
    """A session card as a trainer took it: every rep as planned, before the first of them.

    ``from_call``: the entry of the call it follows, None where there was none yet. ``left_reps``,
    ``session_reps``: what food allowed when it was taken, None where that was not known.
    """

    dog: str
    step: str
    from_call: int | None
    called: Call
    reps: tuple[PlannedRep, ...]
    limited_by: str = "asks"
    left_reps: int | None = None
    session_reps: int | None = None
    programme: str = "box"
    schema: int = 1


@dataclass(frozen=True, slots=True)
class CueNamed:
    """A trainer named a cue of their own: anything a dog could be learning from.

    ``cue``: its name in rep tables, without blanks; ``about``: what it is.
    """

    cue: str
    about: str = ""
    schema: int = 1


@dataclass(frozen=True, slots=True)
class ClockSet:
    """The clock had been ahead and was set back. ``was``: the newest time on the record until now."""

    was: str
    why: str
    schema: int = 1


KINDS: dict[str, type[Any]] = {
    "kennel_founded": KennelFounded,
    "dog_added": DogAdded,
    "programme_kept": ProgrammeKept,
    "session_run": SessionRun,
    "recording_kept": RecordingKept,
    "reading_made": ReadingMade,
    "events_corrected": EventsCorrected,
    "reps_confirmed": RepsConfirmed,
    "rep_set_aside": RepSetAside,
    "sheet_imported": SheetImported,
    "amended": Amended,
    "step_called": StepCalled,
    "call_overruled": CallOverruled,
    "ration_set": RationSet,
    "session_planned": SessionPlanned,
    "overruling_withdrawn": OverrulingWithdrawn,
    "signs_seen": SignsSeen,
    "signs_cleared": SignsCleared,
    "lineup_sealed": LineupSealed,
    "seat_taken": SeatTaken,
    "key_seen": KeySeen,
    "run_placed": RunPlaced,
    "run_begun": RunBegun,
    "call_made": CallMade,
    "run_observed": RunObserved,
    "run_opened": RunOpened,
    "run_voided": RunVoided,
    "key_opened": KeyOpened,
    "cue_named": CueNamed,
    "clock_set": ClockSet,
}

SCHEMAS: dict[str, int] = dict.fromkeys(KINDS, 1)
"""The newest schema of each kind that this release writes and understands."""

_NAME = "Other entries go by this name. Add the right one and amend what points at it."

FIXED: dict[str, dict[str, str]] = {
    "kennel_founded": {"*": "Every entry carries it. Start a new record."},
    "dog_added": {"dog": _NAME},
    "programme_kept": {"*": "Keep the changed programme as a new entry."},
    "session_run": {"session": _NAME},
    "recording_kept": {
        "session": "Keep the recording with the other session.",
        "sha256": "It names the recording itself. Keep the other recording as a new entry.",
    },
    "reading_made": {"*": "A reading is what the machine measured. Confirm or correct the reps instead."},
    "events_corrected": {"*": "Change the event again on the timeline, or take the change back there."},
    "reps_confirmed": {
        "session": "Confirm the reps with the other session.",
        "reading": "It says where the reps came from.",
        "reps/*/session": "Confirm the rep with the other session.",
        "reps/*/dog": "A rep belongs to the dog of its session. Amend the session's dog.",
        "reps/*/rep": "Set the rep aside and confirm it under the right number.",
    },
    "rep_set_aside": {
        "session": "Confirm the rep to take it back.",
        "rep": "Confirm the rep to take it back.",
    },
    "sheet_imported": {"*": "It says where reps came from. Correct the reps, or set them aside."},
    "amended": {"*": "Amend the entry it amends once more."},
    "step_called": {"*": "A call is overruled, not amended."},
    "ration_set": {"dog": "Set the other dog's ration.", "day": "Set the other day's ration."},
    "session_planned": {"*": "It is what was planned before the session. Take a new card instead."},
    "call_overruled": {
        "dog": "Overrule the other dog's call.",
        "step": "Overrule the other step's call.",
        "next_step": "Overrule the call once more.",
        "asks_s": "Overrule the call once more.",
        "overrules": "It says which call was overruled.",
    },
    "overruling_withdrawn": {
        "dog": "Overrule the call once more.",
        "overruling": "Overrule the call once more.",
    },
    "signs_seen": {
        "dog": "Write down what was seen for the other dog, and say of this entry that it was looked into.",
        "signs": "Write down what was seen as a new entry, and say of this one that it was looked into.",
        "level": "It follows from the signs.",
        "session": "Write down what was seen as a new entry, and say of this one that it was looked into.",
    },
    "signs_cleared": {
        "*": "Write down what was seen as a new entry; it stands again.",
    },
    "lineup_sealed": {"*": "Draw another line-up, and void the runs of this one."},
    "seat_taken": {"*": "It says who sat where."},
    "key_seen": {"*": "It says who knew what."},
    "run_placed": {"lineup": "Void the run.", "run": "Void the run.", "person": "It says who knew what."},
    "run_begun": {"lineup": "Void the run.", "run": "Void the run."},
    "call_made": {"*": "A call stands as it was made. Void the run, with the reason."},
    "run_observed": {"lineup": "Void the run.", "run": "Void the run.", "role": "It says who saw it."},
    "run_opened": {"*": "It is what was sealed."},
    "run_voided": {"lineup": "A void run stays void.", "run": "A void run stays void."},
    "key_opened": {"*": "It is what was sealed."},
    "cue_named": {"cue": _NAME},
    "clock_set": {"was": "It is what the record said."},
}
"""Values that are not amended, by kind: ``*`` alone is the whole payload, ``*`` inside a path any row."""
