"""Rows of the tables of line-ups as guards and lookups read them: one run, all runs, the places."""

import json
from dataclasses import dataclass, fields
from typing import Any

import msgspec

from nares.base.errors import Unknown
from nares.base.lineups import Area, RunKey
from nares.record.chain import Sealed, entry_from
from nares.record.kinds_lineups import LineupSealed
from nares.record.payloads import completed
from nares.record.tables import Cursor


@dataclass(frozen=True, slots=True)
class RunRow:
    """How far a run has come. ``*_entry`` None: not yet. Times are those of entry, in UTC."""

    lineup: str
    run: int
    commitment: str
    placed_entry: int | None
    placed_by: str | None
    placed_at: str | None
    begun_entry: int | None
    begun_by: str | None
    begun_at: str | None
    present: tuple[str, ...]
    called_entry: int | None
    called_position: int | None
    called_by: str | None
    called_at: str | None
    on_paper: bool
    opened_entry: int | None
    opened_at: str | None
    opened_key: RunKey | None
    void_entry: int | None
    void_why: str | None

    @property
    def done(self) -> bool:
        """Whether the run is open or void."""
        return self.opened_entry is not None or self.void_entry is not None

    @property
    def last_at(self) -> str | None:
        """Until when at least what was placed lay there; None: never placed, as far as is known."""
        return self.opened_at or self.called_at or self.begun_at or self.placed_at


_COLUMNS = ", ".join(one.name for one in fields(RunRow))
_RUNS = f"SELECT {_COLUMNS} FROM lineup_runs WHERE lineup = ?"


def _run_from(row: tuple[Any, ...]) -> RunRow:
    """One row of the table of runs."""
    said = dict(zip((one.name for one in fields(RunRow)), row, strict=True))
    said["present"] = tuple(json.loads(said["present"] or "[]"))
    said["on_paper"] = bool(said["on_paper"])
    if said["opened_key"] is not None:
        said["opened_key"] = msgspec.json.decode(said["opened_key"], type=RunKey)
    return RunRow(**said)


def run_rows(cursor: Cursor, lineup: str) -> list[RunRow]:
    """Every run of a line-up in order."""
    cursor.execute(f"{_RUNS} ORDER BY run", (lineup,))
    return [_run_from(row) for row in cursor.fetchall()]


def run_row(cursor: Cursor, lineup: str, run: int) -> RunRow:
    """One run.

    Raises:
        Unknown: If there is no such line-up, or no such run in it.
    """
    cursor.execute(f"{_RUNS} AND run = ?", (lineup, run))
    row = cursor.fetchone()
    if row is None:
        raise Unknown(f"There is no run {run} of a line-up {lineup!r}. Look it up on the page Line-ups.")
    return _run_from(row)


def sealed_row(cursor: Cursor, lineup: str) -> LineupSealed:
    """What was sealed, as it stands on the record.

    Raises:
        Unknown: If there is no such line-up.
    """
    cursor.execute(
        "SELECT number, body, digest FROM entries "
        "WHERE number = (SELECT entry FROM lineups WHERE lineup = ?)",
        (lineup,),
    )
    row = cursor.fetchone()
    if row is None:
        raise Unknown(f"There is no line-up called {lineup!r}. Look it up on the page Line-ups.")
    entry = entry_from(Sealed(*row))
    return msgspec.convert(completed(entry.kind, entry.payload), LineupSealed)


def area_row(cursor: Cursor, lineup: str) -> Area:
    """The places of a line-up.

    Raises:
        Unknown: If there is no such line-up.
    """
    return sealed_row(cursor, lineup).area
