"""Edits of a timeline as rows of the record: read back with who made them, and checked before writing."""

import json
from dataclasses import fields
from typing import Any

from nares.base.errors import Refused, Unknown
from nares.measure.admitting import admit
from nares.measure.corrections import Edit, Event, read_events
from nares.record.kinds import EventsCorrected
from nares.record.projections.fold import present
from nares.record.tables import Cursor

_FIELDS = tuple(one.name for one in fields(Edit))


def edits_from(text: str, by: str) -> tuple[Edit, ...]:
    """Edits as a table keeps them. ``by``: who wrote them, where an edit itself names nobody else."""
    return tuple(Edit(**_fitting(said, by)) for said in json.loads(text))


def require_admitted(cursor: Cursor, said: EventsCorrected) -> None:
    """Refuse edits that are there already, that cannot be, or that find nothing to change.

    Raises:
        Unknown: If the session keeps no recording.
        Refused: Saying which of these it is.
    """
    read: tuple[Event, ...] = ()
    if said.sheet == "reading" and said.reading is not None:
        read = read_events(present(cursor, said.reading).payload["reading"])
    duration_s = _duration_s(cursor, said.session)
    admitted = admit(read, _before(cursor, said), said.edits, duration_s=duration_s)
    if admitted.known:
        raise Refused(f"The change {admitted.known[0]} is on the record already. Send each change once.")
    for why in admitted.refused.values():
        raise Refused(why)


def require_numbered(said: EventsCorrected) -> None:
    """Refuse reps numbered twice or from below 1."""
    numbers = [place.rep for place in said.reps]
    if len(set(numbers)) < len(numbers) or any(number < 1 for number in numbers):
        raise Refused("Reps are numbered from 1, each once. Number them again.")


def _before(cursor: Cursor, said: EventsCorrected) -> list[Edit]:
    """Every edit of the same sheet written so far; of the same reading, where it is one's corrections."""
    where = "session = ? AND sheet = ? AND whose = ?"
    values: list[Any] = [said.session, said.sheet, said.whose]
    if said.sheet == "reading":
        where, values = f"{where} AND reading = ?", [*values, said.reading]
    cursor.execute(f"SELECT edits, made_by FROM corrections WHERE {where} ORDER BY entry", values)
    return [edit for text, by in cursor.fetchall() for edit in edits_from(text, by)]


def _duration_s(cursor: Cursor, session: str) -> float:
    sql = "SELECT duration_s FROM recordings WHERE session = ? ORDER BY entry DESC LIMIT 1"
    cursor.execute(sql, (session,))
    row = cursor.fetchone()
    if row is None:
        raise Unknown(f"Session {session!r} keeps no recording, so it has no timeline. Keep one first.")
    return float(row[0])


def _fitting(said: dict[str, Any], by: str) -> dict[str, Any]:
    known = {name: said[name] for name in _FIELDS if name in said}
    times: dict[str, Any] = {name: tuple(known[name]) for name in ("was", "now") if name in known}
    return {**known, **times, "by": known.get("by") or by}
