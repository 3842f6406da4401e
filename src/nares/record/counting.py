"""How many reps were met, session by session and step by step, counted by the database itself.

Conventions
-----------
Counted are reps people stand by, as they stand now; reps set aside are left out. Five years of one dog's
sessions are counted in the time it takes to read a few hundred of its reps.
"""

import json
from collections import defaultdict
from typing import Any

from nares.record.asking import Asking
from nares.record.found import SessionCount, Tally

_STATED = (
    "SELECT entry, session, reps FROM readings "
    "UNION ALL SELECT entry, session, reps FROM corrections WHERE sheet = 'reading'"
)
_MEASURED = (
    f"SELECT m.session, m.reps FROM ({_STATED}) AS m JOIN sessions s ON s.session = m.session "
    f"WHERE m.entry IN (SELECT max(entry) FROM ({_STATED}) AS t GROUP BY session)"
)
"""The numbers of the reps of each session, by the newest reading or correction of it."""

_STANDING = (
    "FROM sessions s CROSS JOIN reps r ON r.session = s.session AND r.standing = 1 "
    "WHERE NOT EXISTS (SELECT 1 FROM reps_aside a WHERE a.session = r.session AND a.rep = r.rep)"
)
"""Reps that count, with their sessions; sessions first, so that one dog's are all that is looked at."""


class Counting(Asking):
    """Questions a record answers with counts."""

    def tallies(self, dog: str) -> list[Tally]:
        """Reps and reps met of each session of a dog at each step, oldest session first."""
        sql = (
            f"SELECT s.session, s.started_at, r.step, count(*), sum(r.met) {_STANDING} AND s.dog = ? "
            "GROUP BY s.started_at, s.entry, s.session, r.step ORDER BY s.started_at, s.entry, min(r.rep)"
        )
        return [Tally(*row) for row in self._rows(sql, dog)]

    def sessions_of(self, dog: str) -> int:
        """How many sessions a dog has had. [count]"""
        return int(self._rows("SELECT count(*) FROM sessions WHERE dog = ?", dog)[0][0])

    def recorded(self) -> set[str]:
        """Names of the sessions a recording was kept with."""
        return {row[0] for row in self._rows("SELECT DISTINCT session FROM recordings")}

    def session_counts(self, dog: str | None = None) -> dict[str, SessionCount]:
        """For each session: reps confirmed, met, and measured in the newest reading but not yet judged."""
        whose, values = (" AND s.dog = ?", (dog,)) if dog else ("", ())
        waiting = self._to_confirm(whose, values)
        sql = f"SELECT s.session, count(*), sum(r.met) {_STANDING}{whose} GROUP BY s.session"
        counted = {name: (reps, met) for name, reps, met in self._rows(sql, *values)}
        names = [row[0] for row in self._rows(f"SELECT s.session FROM sessions s WHERE 1{whose}", *values)]
        return {
            name: SessionCount(name, *counted.get(name, (0, 0)), to_confirm=waiting.get(name, 0))
            for name in names
        }

    def to_confirm(self, dog: str) -> int:
        """Reps of a dog that were measured and that nobody has judged. [count]"""
        return sum(self._to_confirm(" AND s.dog = ?", (dog,)).values())

    def _to_confirm(self, whose: str, values: tuple[Any, ...]) -> dict[str, int]:
        """Reps measured and not yet judged, of the sessions that have any measured."""
        measured = {row[0]: set(json.loads(row[1])) for row in self._rows(f"{_MEASURED}{whose}", *values)}
        judged: defaultdict[str, set[int]] = defaultdict(set)
        for table in ("reps", "reps_aside"):
            for name in measured:
                rows = self._rows(f"SELECT rep FROM {table} WHERE session = ?", name)
                judged[name].update(row[0] for row in rows)
        return {name: len(reps - judged[name]) for name, reps in measured.items()}
