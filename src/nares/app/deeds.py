"""What a person asks for, as data: one frozen request per deed, the same from every door.

A door fills one of these from a form, a file or the command line and hands it to the job function of
the same name in `nares.app.jobs`. Times of day are ISO 8601 with a zone. ``seen`` is the newest entry the
person knew of when deciding; what an entry after it has changed is refused, so that nobody's correction is
undone by a page opened before it. None: not looked at.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from nares.base.vocab import Region, Rep
from nares.measure.corrections import Edit as Edit  # what a door puts into a request


@dataclass(frozen=True, slots=True)
class Receipt:
    """What a deed left behind: the number and digest of its last entry, and a sentence to show."""

    entry: int
    digest: str
    said: str
    session: str | None = None


@dataclass(frozen=True, slots=True)
class AddDog:
    """Put a dog on the record."""

    name: str
    breed: str
    born: str | None = None
    sex: str | None = None
    programme: str = "box"
    note: str = ""
    by: str = ""


@dataclass(frozen=True, slots=True)
class RunSession:
    """Keep one recorded box session of a dog and measure it.

    ``asks_s`` gives the ask of each rep in order; the last one goes for all that follow. ``step`` is the
    dog's current step when None. ``session`` is named after the dog with the next number when None.
    ``started_at`` is the time the file was last written when None. ``name`` is the file's own name.
    ``marked_by`` held the clicker; whoever enters the session when empty. ``marker``: what was marked with,
    ``click``, ``whistle`` or ``word``; ``clicker`` is a short recording of it, for a word its examples.
    ``cues``: what else was there in every rep, beside what the step says.
    """

    recording: Path
    dog: str
    by: str
    started_at: str | None = None
    step: str | None = None
    session: str | None = None
    front: Region | None = None
    side: Region | None = None
    clicker: Path | None = None
    asks_s: tuple[float, ...] = ()
    note: str = ""
    name: str | None = None
    then: tuple[Path, ...] = ()
    beside: Path | None = None
    marked_by: str = ""
    marker: str = "click"
    cues: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ConfirmReps:
    """Stand by reps of a session, with a reason where they differ.

    ``reps`` None means every rep still only measured and sure enough, as proposed; those flagged
    ``low_certainty`` are left for a look.
    """

    session: str
    by: str
    reps: tuple[Rep, ...] | None = None
    why: str = ""
    seen: int | None = None


@dataclass(frozen=True, slots=True)
class CorrectRep:
    """Correct values of one rep: ``changes`` maps a column of the rep table to its new value as text.

    A rep that was only measured becomes confirmed with these values; a confirmed one is amended.
    """

    session: str
    rep: int
    changes: Mapping[str, str]
    why: str
    by: str
    seen: int | None = None


@dataclass(frozen=True, slots=True)
class MeasureAgain:
    """Measure a kept session again with these regions; the reading made before stays."""

    session: str
    by: str
    front: Region | None = None
    side: Region | None = None


@dataclass(frozen=True, slots=True)
class FollowEvents:
    """Let a confirmed rep take the values its corrected events say now."""

    session: str
    rep: int
    by: str
    seen: int | None = None


@dataclass(frozen=True, slots=True)
class CorrectEvents:
    """Put what a person changed on the timeline on the record, in the order it was changed.

    ``reading``: the entry of the reading that was looked at. ``own``: the marks of ``by`` on a sheet that
    began empty, kept for comparing; they correct nothing.
    """

    session: str
    by: str
    edits: tuple[Edit, ...]
    reading: int | None = None
    own: bool = False
    why: str = ""


@dataclass(frozen=True, slots=True)
class Corrected:
    """What became of each change, by its id. ``refused``: id to reason. ``receipt``: None if none was new."""

    saved: tuple[str, ...]
    refused: Mapping[str, str]
    receipt: Receipt | None


@dataclass(frozen=True, slots=True)
class SetAside:
    """Say that a measured rep was none, or cannot be used, and why."""

    session: str
    rep: int
    by: str
    why: str
    seen: int | None = None


@dataclass(frozen=True, slots=True)
class Amend:
    """Correct one value of an entry in the open. ``field`` is a JSON pointer into its payload."""

    entry: int
    field: str
    new: Any
    why: str
    by: str
    seen: int | None = None


@dataclass(frozen=True, slots=True)
class ImportReps:
    """Bring a rep table into the record: all of it or nothing."""

    table: Path
    by: str
    add_dogs: bool = False


@dataclass(frozen=True, slots=True)
class SetRation:
    """Say what a dog is fed on a day, so that its sessions stay within it. ``day`` None is today.

    Fields as in `nares.care.ration.Ration`.
    """

    dog: str
    by: str = ""
    ration_g: float | None = None
    reward_g: float | None = None
    bowl_g: float = 0.0
    rewards: int | None = None
    rewards_per_rep: int = 1
    day: str | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class TakeCard:
    """Take the next session's card, so that it is on the record before the first rep.

    ``seen``: the entry of the call the card was shown for; None: not looked at.
    """

    dog: str
    by: str = ""
    seen: int | None = None


@dataclass(frozen=True, slots=True)
class WhatIf:
    """Look at a dog's step by other levels; None: the programme's own. Nothing is written.

    Rates and chances 0 to 1, ``cap`` in reps; ``chance`` is the chance of success the ask aims at.
    """

    dog: str
    ready: float | None = None
    not_ready: float | None = None
    false_raise: float | None = None
    missed_raise: float | None = None
    cap: int | None = None
    chance: float | None = None


@dataclass(frozen=True, slots=True)
class LookAtSheet:
    """Look at a spreadsheet: how it is read, and what that would put on the record.

    ``sheet``: the sheet's name, the first that holds anything when empty. ``mapping``: how to read it, as
    plain data; ``use``: a mapping kept under this name. Neither: one is proposed. ``name``: the file's own
    name. ``header_line``: where the header ends, for a proposal. ``only_new``: leave out sessions that are
    on the record already.
    """

    path: Path
    sheet: str = ""
    mapping: Mapping[str, Any] | None = None
    use: str = ""
    name: str = ""
    add_dogs: bool = False
    only_new: bool = False
    header_line: int | None = None


@dataclass(frozen=True, slots=True)
class ImportSheet:
    """Bring the reps of a spreadsheet into the record: all of it or nothing.

    ``seen``: the digest of the mapping that was looked at, so that nothing unseen is kept; empty: not looked
    at by a person. ``keep_as``: keep the mapping under this name.
    """

    look: LookAtSheet
    by: str
    seen: str = ""
    keep_as: str = ""


@dataclass(frozen=True, slots=True)
class SetClockBack:
    """Say that the clock had been ahead when the record was last written."""

    why: str
    by: str


@dataclass(frozen=True, slots=True)
class OverruleCall:
    """Decide otherwise than the newest call for a dog, with the reason.

    ``next_step``: the step to go to, by key; empty: where ``call`` leads by itself. ``seen``: the newest
    entry about the call that the person knew of.
    """

    dog: str
    call: str
    why: str
    by: str
    next_step: str = ""
    seen: int | None = None


@dataclass(frozen=True, slots=True)
class WithdrawOverruling:
    """Take back the overruling that stands against the newest call, in the open."""

    dog: str
    why: str
    by: str
    seen: int | None = None


@dataclass(frozen=True, slots=True)
class NoteSigns:
    """Write down signs of aversion or stress, by key. ``session`` and ``rep``: when, if it is known."""

    dog: str
    signs: tuple[str, ...]
    by: str
    session: str = ""
    rep: int | None = None
    latency: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class ClearSigns:
    """Say that the signs that stand were looked into, and what was found. ``vet``: a vet saw the dog."""

    dog: str
    why: str
    by: str
    vet: bool = False
    seen: int | None = None
