"""The record on disk: one file, one way to write.

Conventions
-----------
`Store.append` and `Store.append_all` are the only ways to write. Each runs in one transaction that takes the
write lock at once: the clock is read, the entry is guarded, sealed and stored, and the tables that pages read
are brought up to date, all of it or nothing. When a call returns, the entry is on disk (WAL, synchronous
FULL). A store may be used from several threads, and a file from several processes.

Looking things up is `nares.record.lookups`, which a store also is; checking is `nares.record.verify`.
"""

import sqlite3
import threading
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, Self

from nares.base.errors import BrokenChain, Refused, Unknown, Unusable
from nares.base.times import utc_text
from nares.record import clock as times
from nares.record import dialect
from nares.record.chain import FIRST_PREVIOUS, Entry, Sealed, entry_from, seal
from nares.record.guards import guard
from nares.record.kinds import Amended, ClockSet, KennelFounded, RepsConfirmed, SessionRun
from nares.record.kinds_lineups import CallMade
from nares.record.lookups import Lookups
from nares.record.payloads import fitted, understood
from nares.record.projections.fold import TABLES, VERSION, fold

Clock = Callable[[], datetime]


@dataclass(frozen=True, slots=True)
class Proposed:
    """An entry someone wants to write: payload as a mapping or as the kind's dataclass."""

    kind: str
    payload: Any
    happened_at: datetime | str
    by: str


@dataclass(frozen=True, slots=True)
class _End:
    """Where the chain ends at present: the next number, what it links to, the newest time of entry."""

    number: int
    previous: str
    newest: str | None


class Store(Lookups):
    """A record in one SQLite file."""

    def __init__(self, path: Path, kennel: str, site: str, clock: Clock | None) -> None:
        self.path, self.kennel, self.site = path, kennel, site
        self._clock = clock
        self._local = threading.local()
        self._opened: list[sqlite3.Connection] = []

    @classmethod
    def open(cls, path: Path, *, kennel: str, site: str, clock: Clock) -> Self:
        """Open a record to write, making the file where there is none.

        Args:
            path: The file, for example ``nares-data/record.sqlite3``.
            kennel: Whose record this is; must be that of the entries already there.
            site: Where this chain is kept; likewise.
            clock: Called for the time of entry; must return a time with a zone.

        Raises:
            Refused: If the file is the record of another kennel or site.
            BrokenChain: If its newest entry cannot be read; open it to read and verify it.
            Unusable: If the file is no record, or cannot be opened.
        """
        path.parent.mkdir(parents=True, exist_ok=True)
        store = cls(path, kennel, site, clock)
        try:
            store._prepare()
        except BaseException:
            store.close()
            raise
        return store

    @classmethod
    def open_to_read(cls, path: Path) -> Self:
        """Open an existing record to read and verify it; nothing can be written.

        Raises:
            Unknown: If there is no such file.
            Unusable: If it is no record.
        """
        if not path.is_file():
            raise Unknown(f"There is no record at {path}. Give the file record.sqlite3 of a data folder.")
        store = cls(path, "", "", None)
        connection = store._connection()
        if not dialect.is_record(connection):
            store.close()
            raise Unusable(f"{path} is a database but not a record. Give the file record.sqlite3.")
        # A record whose newest entry cannot be read must still open, or nobody could verify it.
        with suppress(BrokenChain):
            newest = store._newest_entry(connection.cursor())
            store.kennel, store.site = (newest.kennel, newest.site) if newest else ("", "")
        return store

    def close(self) -> None:
        """Close every connection; the store cannot be used afterwards."""
        while self._opened:
            self._opened.pop().close()
        self._local = threading.local()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def append(self, kind: str, payload: Any, *, happened_at: datetime | str, by: str) -> Entry:
        """Write one entry.

        Args:
            kind: A name of `nares.record.kinds.KINDS`.
            payload: Its fields as a mapping, or the kind's dataclass.
            happened_at: When it happened, with a zone.
            by: Who says so.

        Returns:
            The entry as it now stands on disk.

        Raises:
            Refused: If the entry cannot be, naming why; nothing is written.
            Unknown: If it names a dog, session, rep or entry nobody has given.
        """
        return self.append_all([Proposed(kind, payload, happened_at, by)])[0]

    def append_all(self, proposed: Iterable[Proposed]) -> list[Entry]:
        """Write several entries in order, all of them or none.

        Raises:
            Refused: If one of them cannot be; nothing is written.
            Unknown: If one names a dog, session, rep or entry nobody has given.
        """
        if self._clock is None:
            raise Refused("This record was opened to read only. Open it for its kennel and site to write.")
        with dialect.transaction(self._connection()) as cursor:
            now, end = self._clock(), self._end(cursor)
            written: list[Entry] = []
            for one in proposed:
                entry = self._write(cursor, one, now, end)
                newest = entry.entered_at if one.kind == "clock_set" else end.newest
                end = _End(entry.number + 1, entry.digest, newest)
                written.append(entry)
        return written

    def set_clock_back(self, *, why: str, by: str) -> Entry:
        """Say in the open that the clock had been ahead, so that writing can go on from the present time.

        Raises:
            Refused: If the clock is not behind the record, or no reason is given.
        """
        newest = self._end(self._connection().cursor()).newest
        now = self._now()
        return self.append("clock_set", ClockSet(newest or "", why), happened_at=now, by=by)

    def rebuild(self) -> int:
        """Drop every table that pages read and fold it anew from the entries.

        Returns:
            How many entries were folded.
        """
        with dialect.transaction(self._connection()) as cursor:
            return _refold(cursor)

    def _now(self) -> datetime:
        if self._clock is None:
            raise Refused("This record was opened to read only.")
        return self._clock()

    def _connection(self) -> sqlite3.Connection:
        connection: sqlite3.Connection | None = getattr(self._local, "connection", None)
        if connection is None:
            connection = dialect.connect(self.path, write=self._clock is not None)
            self._local.connection = connection
            self._opened.append(connection)
        return connection

    def _prepare(self) -> None:
        connection = self._connection()
        if not (dialect.is_empty(connection) or dialect.is_record(connection)):
            raise Unusable(f"{self.path} is a database but not a record. Give another file.")
        with dialect.transaction(connection) as cursor:
            dialect.create_entries(cursor)
            self._require_same_house(cursor)
            cursor.execute("SELECT value FROM meta WHERE name = 'projections'")
            folded = cursor.fetchone()
            if folded is None or folded[0] != str(VERSION):
                _refold(cursor)

    def _require_same_house(self, cursor: sqlite3.Cursor) -> None:
        newest = self._newest_entry(cursor)
        if newest is not None and (newest.kennel, newest.site) != (self.kennel, self.site):
            raise Refused(
                f"This is the record of {newest.kennel}, {newest.site}, not of {self.kennel}, {self.site}. "
                "Open it under its own names, or give another data folder."
            )

    def _newest_entry(self, cursor: sqlite3.Cursor) -> Entry | None:
        cursor.execute("SELECT number, body, digest FROM entries ORDER BY number DESC LIMIT 1")
        row = cursor.fetchone()
        return entry_from(Sealed(*row)) if row else None

    def _end(self, cursor: sqlite3.Cursor) -> _End:
        cursor.execute("SELECT number, digest FROM entries ORDER BY number DESC LIMIT 1")
        number, digest = cursor.fetchone() or (0, FIRST_PREVIOUS)
        cursor.execute(
            "SELECT max(entered_at) FROM lines WHERE entry >= "
            "coalesce((SELECT max(entry) FROM lines WHERE kind = 'clock_set'), 0)"
        )
        return _End(number + 1, digest, cursor.fetchone()[0])

    def _write(self, cursor: sqlite3.Cursor, one: Proposed, now: datetime, end: _End) -> Entry:
        if not one.by.strip():
            raise Refused("It is not said who writes this. Give a name.")
        payload = fitted(one.kind, one.payload)
        said = understood(one.kind, payload)
        self._require_house_of(said)
        _require_set_back(said, now, end)
        entered_at = times.entered_at(now, end.newest, set_back=isinstance(said, ClockSet))
        guard(cursor, said)
        for started_at in _said_to_have_begun(said):
            times.happened_at(started_at, now)
        sealed = seal(
            end.number,
            end.previous,
            {
                "kennel": self.kennel,
                "site": self.site,
                "kind": one.kind,
                "happened_at": times.happened_at(one.happened_at, now),
                "entered_at": entered_at,
                "by": one.by,
                "payload": payload,
            },
        )
        cursor.execute("INSERT INTO entries (number, body, digest) VALUES (?, ?, ?)", _row(sealed))
        entry = entry_from(sealed)
        fold(cursor, entry)
        return entry

    def _require_house_of(self, said: Any) -> None:
        if isinstance(said, KennelFounded) and (said.kennel, said.site) != (self.kennel, self.site):
            raise Refused(
                f"This record was opened for {self.kennel}, {self.site}, not for {said.kennel}, {said.site}."
            )


def _require_set_back(said: Any, now: datetime, end: _End) -> None:
    if not isinstance(said, ClockSet):
        return
    if not said.why.strip():
        raise Refused("A reason is missing. Say why the clock was ahead.")
    if end.newest is None or said.was != end.newest:
        raise Refused(f"The record was last written at {end.newest}, not at {said.was}. Give that time.")
    if utc_text(now) >= end.newest:
        raise Refused("The clock is not behind the record, so there is nothing to set back.")


def _said_to_have_begun(said: Any) -> Iterator[str]:
    """Times inside a payload that, like the entry's own, cannot lie ahead of the clock."""
    if isinstance(said, SessionRun):
        yield said.started_at
    elif isinstance(said, RepsConfirmed):
        yield from {rep.started_at for rep in said.reps}
    elif isinstance(said, CallMade):
        yield said.made_at
    elif isinstance(said, Amended) and said.field.endswith("/started_at"):
        yield str(said.new)


def _row(sealed: Sealed) -> tuple[int, bytes, str]:
    return sealed.number, sealed.body, sealed.digest


def _refold(cursor: sqlite3.Cursor) -> int:
    for table in TABLES:
        dialect.drop_table(cursor, table.name)
        dialect.create_table(cursor, table)
    stored = cursor.connection.execute("SELECT number, body, digest FROM entries ORDER BY number")
    count = 0
    for row in stored:
        fold(cursor, entry_from(Sealed(*row)))
        count += 1
    cursor.execute(
        "INSERT INTO meta (name, value) VALUES ('projections', ?) "
        "ON CONFLICT (name) DO UPDATE SET value = excluded.value",
        (str(VERSION),),
    )
    return count
