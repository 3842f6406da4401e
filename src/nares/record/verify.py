"""Does the record still hold together? Every digest, every link, every number, every table.

The entries are the truth: a table that differs from what the entries say is a finding about the table, and
`Store.rebuild` puts it right; a finding about an entry cannot be put right, only explained.
"""

import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import zip_longest
from typing import Any

from nares.base.errors import NaresError, Unknown
from nares.base.findings import Finding
from nares.record import dialect
from nares.record.canonical import canonical
from nares.record.chain import Entry, Sealed, verify_chain
from nares.record.kinds import KINDS, SCHEMAS, Amended
from nares.record.payloads import understood
from nares.record.pointer import value_at, with_value
from nares.record.projections.fold import TABLES, fold
from nares.record.store import Store
from nares.record.tables import Table

SHOWN = 20
"""How many findings about one table are listed."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """Whether a record holds. ``first_bad``: the number of the first bad entry, None when all are good."""

    holds: bool
    entries: int
    head: str | None
    first_bad: int | None
    findings: tuple[Finding, ...]


def verify(store: Store, *, head: str | None = None, tables: bool = True) -> Verdict:
    """Recompute every digest and link, and compare the tables with a fold of the entries.

    Args:
        store: The record.
        head: A digest from paper or an export that must still be there.
        tables: Whether to compare the tables too.

    Returns:
        The verdict with all findings, those about entries first.
    """
    with dialect.snapshot(store._connection()) as cursor:
        stored = [Sealed(*row) for row in cursor.execute(_STORED)]
        seen: list[Entry] = []
        findings = list(verify_chain(stored, head=head, entries_seen=seen))
        first_bad = _number(findings[0]) if findings else None
        findings += [finding for entry in seen for finding in _misfit(entry)]
        findings += _amends_nothing(seen)
        if tables:
            findings += _compare(cursor, stored, seen)
    newest = stored[-1].digest if stored else None
    return Verdict(not findings, len(stored), newest, first_bad, tuple(findings))


_STORED = "SELECT number, CAST(body AS BLOB), CAST(digest AS TEXT) FROM entries ORDER BY number"


def _number(finding: Finding) -> int:
    return int(finding.where.removeprefix("entry "))


def _misfit(entry: Entry) -> Iterator[Finding]:
    # A kind or schema from a newer release is no fault; a known one that does not fit was not written here.
    known = entry.kind in KINDS and entry.payload.get("schema") == SCHEMAS[entry.kind]
    if known and understood(entry.kind, entry.payload) is None:
        yield Finding("misfit", f"entry {entry.number}", f"Its payload does not fit {entry.kind}.")


def _amends_nothing(seen: list[Entry]) -> Iterator[Finding]:
    payloads: dict[int, Any] = {}
    for entry in seen:
        said = understood(entry.kind, entry.payload)
        payloads[entry.number] = dict(entry.payload)
        if not isinstance(said, Amended):
            continue
        try:
            if said.entry == entry.number:
                raise Unknown("it names itself")
            now = payloads[said.entry]
            if canonical(value_at(now, said.field)) != canonical(said.old):
                yield _pointless(entry, "the value it calls old was not there")
            payloads[said.entry] = with_value(now, said.field, said.new)
        except (KeyError, Unknown):
            yield _pointless(entry, f"there is no {said.field} in an entry {said.entry} before it")


def _pointless(entry: Entry, why: str) -> Finding:
    return Finding("amends-nothing", f"entry {entry.number}", f"It amends nothing: {why}.")


def _compare(cursor: sqlite3.Cursor, stored: list[Sealed], seen: list[Entry]) -> list[Finding]:
    anew = dialect.memory()
    try:
        _fold_all(anew.cursor(), stored, seen)
    except (NaresError, sqlite3.Error, ValueError) as fault:
        return [Finding("not-folded", "tables", f"The entries could not be folded into tables: {fault}.")]
    found = [finding for table in TABLES for finding in _differences(cursor, anew.cursor(), table)]
    anew.close()
    return found


def _fold_all(cursor: sqlite3.Cursor, stored: list[Sealed], seen: list[Entry]) -> None:
    cursor.execute("BEGIN")
    cursor.execute("CREATE TABLE entries (number INTEGER PRIMARY KEY, body BLOB, digest TEXT)")
    rows = ((sealed.number, sealed.body, sealed.digest) for sealed in stored)
    cursor.executemany("INSERT INTO entries VALUES (?, ?, ?)", rows)
    for table in TABLES:
        dialect.create_table(cursor, table)
    for entry in seen:
        fold(cursor, entry)


def _differences(cursor: sqlite3.Cursor, anew: sqlite3.Cursor, table: Table) -> Iterator[Finding]:
    if not dialect.has_table(cursor, table.name):
        yield Finding("table", table.name, "The table is missing. Rebuild the tables from the entries.")
        return
    sql = f"SELECT {', '.join(table.columns)} FROM {table.name} ORDER BY {', '.join(table.key)}"
    shown = 0
    for now, should in zip_longest(cursor.execute(sql), anew.execute(sql)):
        if now != should and shown < SHOWN:
            shown += 1
            yield Finding("table", table.name, _difference(table, now, should))


def _difference(table: Table, now: tuple[object, ...] | None, should: tuple[object, ...] | None) -> str:
    row = should or now or ()
    key = ", ".join(
        f"{name} {value!r}" for name, value in zip(table.columns, row, strict=False) if name in table.key
    )
    if now is None or should is None:
        said = "is missing" if now is None else "does not come from any entry"
        return f"The row with {key} {said}. Rebuild the tables from the entries."
    wrong = ", ".join(
        f"{name} is {there!r}, the entries say {true!r}"
        for name, there, true in zip(table.columns, now, should, strict=True)
        if there != true
    )
    return f"In the row with {key}: {wrong}. Rebuild the tables from the entries."
