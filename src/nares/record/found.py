"""What looking things up in the record returns: frozen rows, nothing formatted.

Times of day are ISO 8601 in UTC; ``entry`` is the number of the entry a row comes from.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from nares.base.vocab import PlannedRep, Rep
from nares.care.ration import Ration
from nares.measure.corrections import Edit
from nares.measure.numbering import RepPlace

RepState = Literal["confirmed", "corrected", "set aside"]


@dataclass(frozen=True, slots=True)
class Dog:
    """A dog with its present facts."""

    dog: str
    breed: str
    born: str | None
    sex: str | None
    programme: str
    note: str
    entry: int


@dataclass(frozen=True, slots=True)
class Programme:
    """A programme as it was kept: its whole text and that text's SHA-256."""

    name: str
    text: str
    sha256: str
    entry: int


@dataclass(frozen=True, slots=True)
class SheetKept:
    """A spreadsheet that was brought in: which file and sheet, and how it was read."""

    entry: int
    name: str
    sha256: str
    sheet: str
    mapping: dict[str, Any]
    kept_as: str
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class Session:
    """A session with its present facts. Regions are x, y, width, height as fractions of the picture."""

    session: str
    dog: str
    step: str
    started_at: str
    asks_s: tuple[float, ...]
    hand: str
    pay_place: str
    distance_m: float
    disturbance: int
    source: str
    cues: tuple[str, ...]
    note: str
    front: tuple[float, float, float, float] | None
    side: tuple[float, float, float, float] | None
    entry: int


@dataclass(frozen=True, slots=True)
class Recording:
    """A recording kept with a session."""

    session: str
    sha256: str
    name: str
    media_type: str
    bytes: int
    duration_s: float
    frames_per_s: float | None
    streams: tuple[str, ...]
    notes: tuple[str, ...]
    entry: int


@dataclass(frozen=True, slots=True)
class ReadingKept:
    """A reading as it was written: what the machine measured, with what, under which settings."""

    session: str
    sha256: str
    made_with: Mapping[str, Any]
    settings: Mapping[str, Any]
    reading: Mapping[str, Any]
    entry: int


@dataclass(frozen=True, slots=True)
class Corrected:
    """Edits of events as they were written. ``whose``: whose own sheet; empty: corrections of the reading."""

    session: str
    reading: int | None
    sheet: str
    whose: str
    edits: tuple[Edit, ...]
    reps: tuple[RepPlace, ...]
    why: str
    by: str
    at: str
    entry: int


@dataclass(frozen=True, slots=True)
class KeptRep:
    """A rep a person stands by, with its present values, its state and where it comes from."""

    rep: Rep
    state: RepState
    entry: int
    place: int


@dataclass(frozen=True, slots=True)
class SetAside:
    """A rep that was none, or cannot be used."""

    session: str
    rep: int
    why: str
    by: str
    at: str
    entry: int


@dataclass(frozen=True, slots=True)
class Change:
    """One amendment. ``entry`` says it, ``amends`` is what it corrects; ``place``: the rep row, if one."""

    entry: int
    amends: int
    kind: str
    session: str | None
    dog: str | None
    field: str
    place: int | None
    old: Any
    new: Any
    why: str
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class Overruling:
    """A person decided otherwise. ``next_step``: empty where the call leads by itself."""

    call: str
    why: str
    by: str
    entry: int
    next_step: str = ""
    asks_s: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class OverrulingKept:
    """One overruling there ever was: what was decided instead of the call of ``call_entry``, and why.

    ``withdrawn``: why it was taken back and by whom, None while it was not.
    """

    entry: int
    dog: str
    call_entry: int
    call: str
    next_step: str
    why: str
    by: str
    at: str
    withdrawn_entry: int | None
    withdrawn: str | None
    withdrawn_by: str | None


@dataclass(frozen=True, slots=True)
class SignsKept:
    """Signs seen in a dog. ``cleared``: the entry that says they were looked into, None while none does."""

    entry: int
    dog: str
    signs: tuple[str, ...]
    level: int
    session: str | None
    rep: int | None
    latency: str
    note: str
    by: str
    at: str
    cleared: int | None


@dataclass(frozen=True, slots=True)
class ClearingKept:
    """A person looked into signs. ``vet``: a vet saw the dog."""

    entry: int
    dog: str
    why: str
    vet: bool
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class CallMade:
    """What was called for a dog, and whether a person decided otherwise.

    ``risk``: how often such a call is wrong. ``alone``: what the numbers alone would have called, where
    something came before them.
    """

    dog: str
    step: str
    call: str
    next_step: str
    evidence: Mapping[str, Any]
    because: tuple[str, ...]
    asks_s: tuple[float, ...]
    last_session: str | None
    programme: str
    at: str
    entry: int
    overruled: Overruling | None
    risk: tuple[str, ...] = ()
    alone: str | None = None


@dataclass(frozen=True, slots=True)
class RationKept:
    """What a dog is fed on a day, as last said."""

    dog: str
    day: str
    ration: Ration
    note: str
    by: str
    at: str
    entry: int


@dataclass(frozen=True, slots=True)
class CardTaken:
    """A session card as it was taken, before the session."""

    dog: str
    step: str
    from_call: int | None
    called: str
    reps: tuple[PlannedRep, ...]
    limited_by: str
    left_reps: int | None
    session_reps: int | None
    programme: str
    by: str
    at: str
    entry: int


@dataclass(frozen=True, slots=True)
class CueKept:
    """A cue that a trainer named: its name in rep tables, and what it is."""

    cue: str
    about: str
    by: str
    at: str
    entry: int


@dataclass(frozen=True, slots=True)
class Tally:
    """How many reps of one session at one step there are, and how many of them were met."""

    session: str
    started_at: str
    step: str
    reps: int
    met: int


@dataclass(frozen=True, slots=True)
class SessionCount:
    """How many reps of a session are confirmed, met, and still only measured."""

    session: str
    reps: int
    met: int
    to_confirm: int
