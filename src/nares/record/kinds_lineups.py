"""What can be put on the record about line-ups: one frozen dataclass per kind of entry.

Conventions as in `nares.record.kinds`, which joins these to their names. A sealed key is not among them:
until it is opened, the record holds only what commits to it (`nares.record.vault` keeps the key itself).
"""

from dataclasses import dataclass, field
from typing import Any, Literal

from nares.base.lineups import Area, Drawing, Observed, Role, RunKey


@dataclass(frozen=True, slots=True)
class LineupSealed:
    """A line-up was drawn and its key sealed: the commitments to the key, never the key.

    ``commitment``: SHA-256 of the canonical JSON of the whole key; ``run_commitments``: the same of each
    run's part. ``asked``: what it was drawn from, without the seed. ``people``: who was to do what, by role.
    ``drawn_by``: who could have read the key where it was drawn into a file; empty: nobody.
    ``tries``: 0, for how many orders were tried follows from the seed and stands in the key.
    """

    lineup: str
    dog: str
    commitment: str
    run_commitments: tuple[str, ...]
    area: Area
    asked: dict[str, Any]
    drawing: Drawing
    rules: tuple[str, ...] = ()
    tries: int = 0
    people: dict[Role, str] = field(default_factory=dict)
    drawn_by: str = ""
    set_time_min: float | None = None
    note: str = ""
    schema: int = 1


@dataclass(frozen=True, slots=True)
class SeatTaken:
    """Somebody sat down at a line-up with the code of a seat."""

    lineup: str
    role: Role
    person: str
    schema: int = 1


@dataclass(frozen=True, slots=True)
class KeySeen:
    """Somebody was shown what lies where before it was opened: who, of which runs, and how."""

    lineup: str
    runs: tuple[int, ...]
    person: str
    how: Literal["page", "sheet", "file"] = "page"
    schema: int = 1


@dataclass(frozen=True, slots=True)
class RunPlaced:
    """The placer had set a run and was out of sight."""

    lineup: str
    run: int
    person: str
    note: str = ""
    schema: int = 1


@dataclass(frozen=True, slots=True)
class RunBegun:
    """A run began. ``present``: everybody who could see or be seen, by name."""

    lineup: str
    run: int
    present: tuple[str, ...]
    schema: int = 1


@dataclass(frozen=True, slots=True)
class CallMade:
    """What the handler called: a position, or None for "clear". ``made_at``: when, as far as paper says it.

    ``on_paper``: typed in later from a sheet, so that only the paper vouches for the time; ``note``: why.
    """

    lineup: str
    run: int
    position: int | None
    person: str
    made_at: str
    on_paper: bool = False
    note: str = ""
    schema: int = 1


@dataclass(frozen=True, slots=True)
class RunObserved:
    """What the evaluator, or the recorder, saw in a run before its key was opened."""

    lineup: str
    run: int
    person: str
    role: Role
    observed: Observed
    schema: int = 1


@dataclass(frozen=True, slots=True)
class RunOpened:
    """The key of one run was opened: what lay where, which gives the commitment sealed before."""

    lineup: str
    run: int
    key: RunKey
    person: str
    schema: int = 1


@dataclass(frozen=True, slots=True)
class RunVoided:
    """A run does not count, and why. ``was_open``: said after its key had been opened."""

    lineup: str
    run: int
    why: str
    person: str
    was_open: bool = False
    schema: int = 1


@dataclass(frozen=True, slots=True)
class KeyOpened:
    """The whole key of a line-up was opened, which gives the commitment sealed before."""

    lineup: str
    key: dict[str, Any]
    why: str = ""
    schema: int = 1
