"""Folding entries into tables: the one place that knows every group.

A group is a module with ``TABLES``, ``KINDS`` (the kinds it listens to), ``apply`` (a new entry) and, where
applying again would not do, ``restate`` (an amended entry with its present payload). Folding depends on the
entries alone: not on the clock, not on chance, not on the order of anything but the numbers. Entries of an
unknown kind or shape get a line and nothing else.
"""

import json
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from nares.base.errors import Unknown
from nares.record.chain import Entry, Sealed, entry_from
from nares.record.kinds import Amended
from nares.record.payloads import completed, understood
from nares.record.projections import (
    calls,
    changes,
    cues,
    dogs,
    lines,
    lineups,
    plans,
    reps,
    sessions,
    sheets,
    signs,
)
from nares.record.tables import Cursor, Table

VERSION = 9
"""Counts up whenever a table or a fold changes: an older file is folded again when it is opened."""

TABLES: tuple[Table, ...] = (
    *lines.TABLES,
    *dogs.TABLES,
    *sessions.TABLES,
    *reps.TABLES,
    *changes.TABLES,
    *calls.TABLES,
    *plans.TABLES,
    *sheets.TABLES,
    *signs.TABLES,
    *lineups.TABLES,
    *cues.TABLES,
)

Fold = Callable[[Cursor, Entry, Any], None]
_APPLY: dict[str, Fold] = {
    kind: group.apply
    for group in (dogs, sessions, reps, calls, plans, sheets, signs, lineups, cues)
    for kind in group.KINDS
}
_RESTATE: dict[str, Fold] = {
    **_APPLY,
    **{kind: group.restate for group in (reps, calls, signs) for kind in group.KINDS},
}


def fold(cursor: Cursor, entry: Entry) -> None:
    """Bring every table up to date with one more entry."""
    lines.apply(cursor, entry, None)
    said = understood(entry.kind, entry.payload)
    if isinstance(said, Amended):
        _amend(cursor, entry, said)
    elif said is not None and entry.kind in _APPLY:
        _APPLY[entry.kind](cursor, entry, said)


def present(cursor: Cursor, number: int) -> Entry:
    """An entry with the payload that holds after every amendment so far.

    Raises:
        Unknown: If there is no such entry.
    """
    cursor.execute("SELECT number, body, digest FROM entries WHERE number = ?", (number,))
    row = cursor.fetchone()
    if row is None:
        raise Unknown(f"There is no entry {number}. Look up its number on the page Record.")
    entry = entry_from(Sealed(*row))
    cursor.execute("SELECT payload FROM present WHERE entry = ?", (number,))
    amended = cursor.fetchone()
    payload = json.loads(amended[0]) if amended else entry.payload
    return replace(entry, payload=completed(entry.kind, payload))


def _amend(cursor: Cursor, entry: Entry, said: Amended) -> None:
    try:
        target = present(cursor, said.entry)
        payload = changes.amend(cursor, entry, said, target)
    except Unknown:
        return  # Only a record written past this program can point nowhere; verifying names it.
    stated = understood(target.kind, payload)
    if stated is not None and target.kind in _RESTATE:
        _RESTATE[target.kind](cursor, replace(target, payload=payload), stated)
