"""Everything that is SQLite's own way: opening, durability, triggers, how a table is created.

Conventions
-----------
The rest of the record speaks plain DB-API with ``?`` marks and SQL that other databases share. ``entries``
holds the number, the canonical body as bytes and the digest, nothing that could say something else than the
body. Triggers refuse UPDATE and DELETE; SQLite's REPLACE deletes behind a DELETE trigger's back, so a guard
before INSERT looks at every unique column and at the number, and ``recursive_triggers`` is on besides.
Triggers stop accidents and other programs. Whoever owns the file can drop them: that is what the chain and
the printed head digest are for.
"""

import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from nares.base.errors import Refused, Unusable
from nares.record.tables import Table

APPLICATION_ID = 0x4E415245
WAIT_S = 20.0
_TRY_AGAIN_S = 0.01

_CONNECTION = """
PRAGMA journal_mode = WAL;
PRAGMA synchronous = FULL;
PRAGMA foreign_keys = ON;
PRAGMA recursive_triggers = ON;
"""

_ENTRIES = (
    """CREATE TABLE IF NOT EXISTS entries (
        number INTEGER PRIMARY KEY CHECK (number >= 1),
        body BLOB NOT NULL,
        digest TEXT NOT NULL UNIQUE CHECK (length(digest) = 64)
    ) STRICT""",
    """CREATE TABLE IF NOT EXISTS meta (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT""",
    """CREATE VIEW IF NOT EXISTS entries_as_text AS
        SELECT number, CAST(body AS TEXT) AS body, digest FROM entries""",
    """CREATE TRIGGER IF NOT EXISTS entries_are_not_updated BEFORE UPDATE ON entries
        BEGIN SELECT RAISE(ABORT, 'Entries are never changed. Append an amended entry.'); END""",
    """CREATE TRIGGER IF NOT EXISTS entries_are_not_deleted BEFORE DELETE ON entries
        BEGIN SELECT RAISE(ABORT, 'Entries are never deleted. Append an amended entry.'); END""",
    """CREATE TRIGGER IF NOT EXISTS entries_are_not_replaced BEFORE INSERT ON entries
        WHEN EXISTS (SELECT 1 FROM entries WHERE number = NEW.number OR digest = NEW.digest)
        BEGIN SELECT RAISE(ABORT, 'Entries are never replaced. Append an amended entry.'); END""",
    """CREATE TRIGGER IF NOT EXISTS entries_follow_each_other BEFORE INSERT ON entries
        WHEN NEW.number IS NOT (SELECT coalesce(max(number), 0) + 1 FROM entries)
        BEGIN SELECT RAISE(ABORT, 'An entry takes the next number.'); END""",
)

_TYPES = {"text": "TEXT", "integer": "INTEGER", "real": "REAL"}


def connect(path: Path, *, write: bool) -> sqlite3.Connection:
    """Open the file with durable settings; the tables are made by `create_entries`.

    Raises:
        Unusable: If the file is no record or cannot be opened.
    """
    try:
        return _opened_when_free(path, "rwc" if write else "ro")
    except sqlite3.OperationalError as fault:
        if not write and _at_rest(path):
            return _opened(path, "ro&immutable=1")
        raise Unusable(
            f"The record {path} cannot be opened{' to write' if write else ''}: {fault}. "
            "Check the folder, its rights and its space."
        ) from None
    except sqlite3.Error as fault:
        raise Unusable(f"{path} cannot be read as a record: {fault}. Give the file record.sqlite3.") from None


def _opened_when_free(path: Path, mode: str) -> sqlite3.Connection:
    """Open, waiting up to `WAIT_S` for others who open the same file.

    A new file is turned to its write-ahead log by whoever comes first. SQLite tells the others at once
    that it is busy, whatever their timeout, since waiting there with a lock in hand could last for ever.
    """
    until = time.monotonic() + WAIT_S
    while True:
        try:
            return _opened(path, mode)
        except sqlite3.OperationalError as fault:
            if not _busy(fault) or time.monotonic() > until:
                raise
        time.sleep(_TRY_AGAIN_S)


def _busy(fault: sqlite3.Error) -> bool:
    code: int = getattr(fault, "sqlite_errorcode", 0)  # an error raised by Python's own layer has none
    return code & 0xFF == sqlite3.SQLITE_BUSY  # the low byte, under which SQLite keeps its finer codes


def _opened(path: Path, mode: str) -> sqlite3.Connection:
    connection = sqlite3.connect(
        f"{path.resolve().as_uri()}?mode={mode}",
        uri=True,
        isolation_level=None,
        check_same_thread=False,
        timeout=WAIT_S,
        cached_statements=256,
    )
    try:
        if mode == "rwc":
            connection.executescript(_CONNECTION)
        connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    except sqlite3.Error:
        connection.close()
        raise
    return connection


def _at_rest(path: Path) -> bool:
    """Whether all of a record is in its one file, as on a disc handed over to be read only.

    Beside a write-ahead log that holds entries, the file alone would be an older record.
    """
    log = path.with_name(f"{path.name}-wal")
    return not log.exists() or log.stat().st_size == 0


def memory() -> sqlite3.Connection:
    """An empty database in memory, to fold entries into and compare."""
    return sqlite3.connect(":memory:", isolation_level=None)


@contextmanager
def transaction(connection: sqlite3.Connection) -> Iterator[sqlite3.Cursor]:
    """All or nothing, with the write lock taken at once so that no other writer comes between.

    Raises:
        Refused: If another process holds the record for longer than `WAIT_S`, or a guard in the file refuses.
    """
    cursor = connection.cursor()
    try:
        cursor.execute("BEGIN IMMEDIATE")
    except sqlite3.OperationalError as fault:
        raise Refused(f"The record cannot be written now: {fault}. Try again in a moment.") from None
    try:
        yield cursor
        cursor.execute("COMMIT")
    except (sqlite3.Error, OverflowError) as fault:  # a number beyond 64 bits is an overflow
        _undo(connection)
        raise Refused(f"The record refused: {fault}. Nothing was written.") from fault
    except BaseException:
        _undo(connection)
        raise


def _undo(connection: sqlite3.Connection) -> None:
    if connection.in_transaction:
        connection.execute("ROLLBACK")


@contextmanager
def snapshot(connection: sqlite3.Connection) -> Iterator[sqlite3.Cursor]:
    """One unchanging view of the file for several reads, while others may write."""
    if connection.in_transaction:
        yield connection.cursor()
        return
    connection.execute("BEGIN")
    try:
        yield connection.cursor()
    finally:
        _undo(connection)


def create_entries(cursor: sqlite3.Cursor) -> None:
    """Make the entries table and its guards where they are missing."""
    for statement in _ENTRIES:
        cursor.execute(statement)


def is_record(connection: sqlite3.Connection) -> bool:
    """Whether the file holds an entries table."""
    found = connection.execute("SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = 'entries'")
    return found.fetchone() is not None


def is_empty(connection: sqlite3.Connection) -> bool:
    """Whether the file holds no table at all."""
    return connection.execute("SELECT 1 FROM sqlite_master LIMIT 1").fetchone() is None


def has_table(cursor: sqlite3.Cursor, name: str) -> bool:
    """Whether a table of this name exists."""
    found = cursor.execute("SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = ?", (name,))
    return found.fetchone() is not None


def create_table(cursor: sqlite3.Cursor, table: Table) -> None:
    """Make a projection's table with its indexes."""
    columns = ", ".join(_column(name, kind) for name, kind in table.columns.items())
    cursor.execute(f"CREATE TABLE {table.name} ({columns}, PRIMARY KEY ({', '.join(table.key)})) STRICT")
    for names in table.lists:
        index = f"{table.name}_by_{'_'.join(names)}"
        cursor.execute(f"CREATE INDEX {index} ON {table.name} ({', '.join(names)})")


def drop_table(cursor: sqlite3.Cursor, name: str) -> None:
    """Remove a projection's table with its indexes."""
    cursor.execute(f"DROP TABLE IF EXISTS {name}")


def _column(name: str, kind: str) -> str:
    empty = kind.endswith("?")
    return f"{name} {_TYPES[kind.rstrip('?')]}{'' if empty else ' NOT NULL'}"
