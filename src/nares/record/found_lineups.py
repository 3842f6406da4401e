"""What looking up line-ups returns: frozen rows, nothing formatted. Times are ISO 8601 in UTC."""

from dataclasses import dataclass
from typing import Any, Literal

from nares.base.lineups import Observed, Role
from nares.record.kinds_lineups import LineupSealed


@dataclass(frozen=True, slots=True)
class LineupKept:
    """A line-up as it was sealed. ``closed_entry``, ``closed_at`` None: its key is not on the record."""

    sealed: LineupSealed
    entry: int
    digest: str
    sealed_at: str
    sealed_by: str
    closed_entry: int | None
    closed_at: str | None


@dataclass(frozen=True, slots=True)
class SeatKept:
    """Somebody sat down at a line-up."""

    role: Role
    person: str
    at: str
    entry: int


@dataclass(frozen=True, slots=True)
class SeenKept:
    """Somebody was shown what lay where."""

    runs: tuple[int, ...]
    person: str
    how: Literal["page", "sheet", "file"]
    at: str
    entry: int


@dataclass(frozen=True, slots=True)
class ObservedKept:
    """What one person saw in a run, by the role they sat in."""

    run: int
    role: Role
    person: str
    observed: Observed
    at: str
    entry: int


@dataclass(frozen=True, slots=True)
class KeyKept:
    """The whole key of a closed line-up, and why it was closed early, where it was."""

    key: dict[str, Any]
    why: str
    at: str
    entry: int
