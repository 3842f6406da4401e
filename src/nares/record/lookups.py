"""Looking things up: what pages, statistics and jobs read.

Conventions
-----------
Every answer comes from the projections or from one entry; nothing here writes. A name nobody has given raises
`Unknown`; a question without an answer yet returns None or an empty list. Reps that were set aside are left
out unless asked for, so that no statistic counts them by accident.
"""

import json
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Any

from nares.base.errors import Unknown
from nares.base.vocab import Rep
from nares.measure.numbering import RepPlace
from nares.record import dialect
from nares.record.chain import Entry, Sealed, entry_from
from nares.record.counting import Counting
from nares.record.edits import edits_from
from nares.record.found import (
    CallMade,
    Change,
    Corrected,
    Dog,
    KeptRep,
    Overruling,
    Programme,
    ReadingKept,
    Recording,
    RepState,
    Session,
    SetAside,
    SheetKept,
)
from nares.record.judgements import Judgements
from nares.record.lineup_lookups import LineupLookups
from nares.record.plan_lookups import PlanLookups
from nares.record.projections.fold import present

_SESSION = (
    "SELECT session, dog, step, started_at, asks_s, hand, pay_place, distance_m, disturbance, source, cues, "
    "note, front, side, entry FROM sessions"
)
_RECORDING = (
    "SELECT session, sha256, name, media_type, bytes, duration_s, frames_per_s, streams, notes, entry "
    "FROM recordings"
)
_REPS = (
    "SELECT started_at, step, rep, ask_s, hold_s, ended_by, met, hand, pay_place, distance_m, disturbance, "
    "source, cues, paid, entry, place FROM reps WHERE session = ? AND standing = 1 ORDER BY rep"
)
_CHANGE = "SELECT entry, amends, kind, session, dog, field, place, old, new, why, made_by, at FROM changes"
_CALL = (
    "SELECT dog, step, called, next_step, evidence, because, asks_s, last_session, programme, at, entry, "
    "overruled_call, overruled_why, overruled_by, overruled_entry, "
    "(SELECT next_step FROM overrulings o WHERE o.entry = calls.overruled_entry), "
    "(SELECT asks_s FROM overrulings o WHERE o.entry = calls.overruled_entry), risk, alone FROM calls"
)


NEWEST = 2**62
"""A number that no entry reaches."""


class Lookups(Counting, Judgements, LineupLookups, PlanLookups):
    """Questions a record answers."""

    # Entries

    def head(self) -> tuple[int, str] | None:
        """Number and digest of the newest entry, or None for an empty record."""
        row = self._one("SELECT number, digest FROM entries ORDER BY number DESC LIMIT 1")
        return (row[0], row[1]) if row else None

    def count(self, kind: str | None = None) -> int:
        """How many entries there are, of one kind or of all."""
        if kind is None:
            row = self._one("SELECT count(*) FROM lines")
        else:
            row = self._one("SELECT count(*) FROM lines WHERE kind = ?", kind)
        return int(row[0]) if row else 0

    def kinds(self) -> list[str]:
        """The kinds of entries there are, by name."""
        return [row[0] for row in self._rows("SELECT DISTINCT kind FROM lines ORDER BY kind")]

    def entry(self, number: int) -> Entry:
        """One entry as it was written.

        Raises:
            Unknown: If there is no such entry.
        """
        row = self._one("SELECT number, body, digest FROM entries WHERE number = ?", number)
        if row is None:
            raise Unknown(f"There is no entry {number}. Look up its number on the page Record.")
        return entry_from(Sealed(*row))

    def present(self, number: int) -> Entry:
        """One entry with the payload that holds after every amendment.

        Raises:
            Unknown: If there is no such entry.
        """
        return present(self._connection().cursor(), number)

    def entries(self, *, page: int = 1, size: int = 50, kind: str | None = None) -> list[Entry]:
        """A page of entries as they were written, newest first; pages count from 1."""
        start = (max(page, 1) - 1) * size
        where, values = ("WHERE kind = ?", (kind,)) if kind else ("", ())
        sql = (
            "SELECT e.number, e.body, e.digest FROM "
            f"(SELECT entry FROM lines {where} ORDER BY entry DESC LIMIT ? OFFSET ?) AS l "
            "JOIN entries e ON e.number = l.entry ORDER BY e.number DESC"
        )
        return [entry_from(Sealed(*row)) for row in self._rows(sql, *values, size, start)]

    def amended_by(self, numbers: Sequence[int] | None = None) -> dict[int, tuple[int, ...]]:
        """Which entries amend which: entry to the numbers of its amendments, oldest first."""
        found: defaultdict[int, list[int]] = defaultdict(list)
        wanted = None if numbers is None else set(numbers)
        for amends, entry in self._rows("SELECT amends, entry FROM changes ORDER BY entry"):
            if wanted is None or amends in wanted:
                found[amends].append(entry)
        return {number: tuple(entries) for number, entries in found.items()}

    def changes(
        self, *, session: str | None = None, dog: str | None = None, entry: int | None = None
    ) -> list[Change]:
        """Amendments with old and new value, oldest first; of one session, dog or amended entry if given."""
        asked = {"session": session, "dog": dog, "amends": entry}
        given = {name: value for name, value in asked.items() if value is not None}
        where = " AND ".join(f"{name} = ?" for name in given)
        sql = f"{_CHANGE} {'WHERE ' + where if where else ''} ORDER BY entry"
        return [_change(row) for row in self._rows(sql, *given.values())]

    # Dogs and programmes

    def dogs(self) -> list[Dog]:
        """Every dog, in the order they were added."""
        sql = "SELECT dog, breed, born, sex, programme, note, entry FROM dogs ORDER BY entry"
        return [Dog(*row) for row in self._rows(sql)]

    def dog(self, name: str) -> Dog:
        """One dog.

        Raises:
            Unknown: If there is no dog of this name.
        """
        row = self._one("SELECT dog, breed, born, sex, programme, note, entry FROM dogs WHERE dog = ?", name)
        if row is None:
            raise Unknown(f"There is no dog called {name!r}. Add the dog first.")
        return Dog(*row)

    def programmes(self) -> list[Programme]:
        """The newest text of each programme, by name."""
        sql = (
            "SELECT name, body, sha256, entry FROM programmes "
            "WHERE entry IN (SELECT max(entry) FROM programmes GROUP BY name) ORDER BY name"
        )
        return [Programme(*row) for row in self._rows(sql)]

    def programme(self, name: str) -> Programme | None:
        """The newest text of one programme, or None if it was never kept."""
        sql = "SELECT name, body, sha256, entry FROM programmes WHERE name = ? ORDER BY entry DESC LIMIT 1"
        row = self._one(sql, name)
        return Programme(*row) if row else None

    # Sessions, recordings, readings

    def sessions(self, dog: str | None = None, *, most: int | None = None, newer: int = 0) -> list[Session]:
        """Sessions newest first, of one dog or of all; at most so many, after so many newer ones."""
        where, values = ("WHERE dog = ?", (dog,)) if dog is not None else ("", ())
        limit = NEWEST if most is None else most
        sql = f"{_SESSION} {where} ORDER BY started_at DESC, entry DESC LIMIT ? OFFSET ?"
        return [_session(row) for row in self._rows(sql, *values, limit, newer)]

    def session(self, name: str) -> Session:
        """One session.

        Raises:
            Unknown: If there is no session of this name.
        """
        row = self._one(f"{_SESSION} WHERE session = ?", name)
        if row is None:
            raise Unknown(f"There is no session called {name!r}. Look it up on the dog's page.")
        return _session(row)

    def recording_of(self, session: str) -> Recording | None:
        """The recording that a session's newest reading is of, else the newest kept with it, or None.

        Where several parts were read as one it is the first, with the length of them all.
        """
        rows = self._rows(f"{_RECORDING} WHERE session = ? ORDER BY entry DESC", session)
        kept = [_recording(row) for row in rows]
        reading = self.reading_of(session) if len(kept) > 1 else None
        read = next((one for one in kept if reading and one.sha256 == reading.sha256), None)
        if reading is None or read is None:
            return kept[0] if kept else None
        facts = reading.reading["recording"]
        return replace(read, duration_s=facts["duration_s"]) if facts.get("parts") else read

    def recording(self, sha256: str) -> Recording | None:
        """The recording with this SHA-256, or None if it was never kept."""
        row = self._one(f"{_RECORDING} WHERE sha256 = ? ORDER BY entry LIMIT 1", sha256)
        return _recording(row) if row else None

    def recordings(self) -> list[Recording]:
        """Every recording, in the order they were kept."""
        return [_recording(row) for row in self._rows(f"{_RECORDING} ORDER BY entry")]

    def reading_of(self, session: str, *, until: int | None = None) -> ReadingKept | None:
        """The newest reading made of a session, or None. ``until``: the last entry that counts."""
        sql = "SELECT entry FROM readings WHERE session = ? AND entry <= ? ORDER BY entry DESC LIMIT 1"
        row = self._one(sql, session, NEWEST if until is None else until)
        if row is None:
            return None
        said = self.entry(row[0]).payload
        return ReadingKept(
            said["session"], said["sha256"], said["made_with"], said["settings"], said["reading"], row[0]
        )

    def readings_of(self, session: str) -> list[int]:
        """The entries of every reading made of a session, oldest first."""
        sql = "SELECT entry FROM readings WHERE session = ? ORDER BY entry"
        return [row[0] for row in self._rows(sql, session)]

    def corrections_of(self, session: str, *, sheet: str = "reading", whose: str = "") -> list[Corrected]:
        """Every edit of a session's events, oldest first: those of the reading, or one person's own sheet."""
        sql = f"{_CORRECTED} WHERE session = ? AND sheet = ? AND whose = ? ORDER BY entry"
        return [_corrected(row) for row in self._rows(sql, session, sheet, whose)]

    def own_sheets(self, session: str) -> list[str]:
        """Who marked a session from an empty sheet, in the order they began."""
        sql = "SELECT whose FROM corrections WHERE session = ? AND sheet = 'own' "
        sql += "GROUP BY whose ORDER BY min(entry)"
        return [row[0] for row in self._rows(sql, session)]

    # Reps

    def reps(
        self,
        *,
        session: str | None = None,
        dog: str | None = None,
        step: str | None = None,
        also_set_aside: bool = False,
        newest: int | None = None,
    ) -> list[KeptRep]:
        """Confirmed reps with their present values, oldest session first, in order of their numbers.

        ``newest``: of at most so many sessions, the newest ones.
        """
        asked = {"session": session, "dog": dog}
        given = {name: value for name, value in asked.items() if value is not None}
        where = f"WHERE {' AND '.join(f'{name} = ?' for name in given)}" if given else ""
        with dialect.snapshot(self._connection()) as cursor:
            # Session by session needs no join and no sorting; few reps are amended or set aside.
            cursor.execute(
                f"SELECT session, dog FROM sessions {where} ORDER BY started_at DESC, entry DESC LIMIT ?",
                [*given.values(), NEWEST if newest is None else newest],
            )
            sessions = cursor.fetchall()[::-1]
            amended = set(cursor.execute("SELECT amends, place FROM changes WHERE place IS NOT NULL"))
            aside = set(cursor.execute("SELECT session, rep FROM reps_aside"))
            reps = [
                rep
                for name, whose in sessions
                for rep in _reps(cursor.execute(_REPS, (name,)), name, whose, amended, aside)
            ]
        return [
            rep
            for rep in reps
            if (also_set_aside or rep.state != "set aside") and step in (None, rep.rep.step)
        ]

    def rep_numbers(self, session: str) -> set[int]:
        """Every number a rep of a session ever had: read, corrected, confirmed or set aside."""
        lists = (f"SELECT reps FROM {table} WHERE session = ?" for table in ("readings", "corrections"))
        single = (f"SELECT rep FROM {table} WHERE session = ?" for table in ("reps", "reps_aside"))
        read = {number for sql in lists for row in self._rows(sql, session) for number in json.loads(row[0])}
        return read | {row[0] for sql in single for row in self._rows(sql, session)}

    def set_aside(self, session: str) -> list[SetAside]:
        """The reps of a session that are set aside, by number."""
        sql = "SELECT session, rep, why, made_by, at, entry FROM reps_aside WHERE session = ? ORDER BY rep"
        return [SetAside(*row) for row in self._rows(sql, session)]

    # Spreadsheets

    def sheets(self) -> list[SheetKept]:
        """Every spreadsheet that was brought in, newest first."""
        return [_sheet(row) for row in self._rows(f"{_SHEET} ORDER BY entry DESC")]

    def sheet_of(self, session: str) -> tuple[SheetKept, dict[int, int]] | None:
        """The spreadsheet a session came from and the line of each rep by its number, or None."""
        rows = self._rows("SELECT entry, rep, line FROM sheet_lines WHERE session = ? ORDER BY rep", session)
        row = self._one(f"{_SHEET} WHERE entry = ?", rows[0][0]) if rows else None
        return None if row is None else (_sheet(row), {rep: line for _, rep, line in rows})

    # Calls

    def calls(self, dog: str) -> list[CallMade]:
        """What was called for a dog, newest first."""
        return [_call(row) for row in self._rows(f"{_CALL} WHERE dog = ? ORDER BY entry DESC", dog)]

    def latest_call(self, dog: str) -> CallMade | None:
        """The newest call for a dog, or None."""
        row = self._one(f"{_CALL} WHERE dog = ? ORDER BY entry DESC LIMIT 1", dog)
        return _call(row) if row else None


_CORRECTED = "SELECT session, reading, sheet, whose, edits, places, why, made_by, at, entry FROM corrections"


_SHEET = "SELECT entry, name, sha256, sheet, mapping, kept_as, made_by, at FROM sheets"


def _sheet(row: tuple[Any, ...]) -> SheetKept:
    values = (*row[:4], json.loads(row[4]), *row[5:])
    return SheetKept(*values)


def _session(row: tuple[Any, ...]) -> Session:
    asks_s, cues = tuple(json.loads(row[4])), tuple(json.loads(row[10]))
    values = (*row[:4], asks_s, *row[5:10], cues, row[11], _region(row[12]), _region(row[13]), row[14])
    return Session(*values)


def _region(text: str | None) -> tuple[float, float, float, float] | None:
    if text is None:
        return None
    x, y, w, h = json.loads(text)
    return (x, y, w, h)


def _recording(row: tuple[Any, ...]) -> Recording:
    values = (*row[:7], tuple(json.loads(row[7])), tuple(json.loads(row[8])), row[9])
    return Recording(*values)


def _corrected(row: tuple[Any, ...]) -> Corrected:
    places = tuple(RepPlace(said["rep"], said["start_s"], said["end_s"]) for said in json.loads(row[5]))
    values = (*row[:4], edits_from(row[4], row[7]), places, *row[6:])
    return Corrected(*values)


def _reps(
    rows: Iterable[tuple[Any, ...]], name: str, dog: str, amended: set[Any], aside: set[Any]
) -> Iterator[KeptRep]:
    # Unpacked by name: over tens of thousands of reps this is what takes the time.
    for at, step, rep, ask, hold, end, met, hand, pay, dist, level, src, cues, paid, entry, place in rows:
        kept = Rep(
            dog,
            name,
            at,
            step,
            rep,
            ask,
            hold,
            end,
            met == 1,
            hand,
            pay,
            dist,
            level,
            src,
            _cues(cues),
            paid == 1,
        )
        yield KeptRep(kept, _state((entry, place) in amended, (name, rep) in aside), entry, place)


def _state(amended: bool, aside: bool) -> RepState:
    if aside:
        return "set aside"
    return "corrected" if amended else "confirmed"


@lru_cache(maxsize=4096)
def _cues(text: str) -> tuple[str, ...]:
    return tuple(json.loads(text))


def _change(row: tuple[Any, ...]) -> Change:
    values = (*row[:7], json.loads(row[7]), json.loads(row[8]), *row[9:])
    return Change(*values)


def _call(row: tuple[Any, ...]) -> CallMade:
    overruled = None
    if row[14] is not None:
        asks_s = tuple(json.loads(row[16] or "[]"))
        overruled = Overruling(row[11], row[12], row[13], row[14], row[15] or "", asks_s)
    lists = (json.loads(row[4]), tuple(json.loads(row[5])), tuple(json.loads(row[6])))
    values = (*row[:4], *lists, *row[7:11], overruled, tuple(json.loads(row[17])), row[18])
    return CallMade(*values)
