"""Sessions, the recordings kept with them, what the machine read in those, what people corrected in that."""

import json
from typing import Any

from nares.base.times import read_utc, utc_text
from nares.record.chain import Entry
from nares.record.kinds import EventsCorrected, ReadingMade, RecordingKept, SessionRun
from nares.record.tables import Cursor, Table

SESSIONS = Table(
    "sessions",
    {
        "session": "text",
        "dog": "text",
        "step": "text",
        "started_at": "text",
        "asks_s": "text",
        "hand": "text",
        "pay_place": "text",
        "distance_m": "real",
        "disturbance": "integer",
        "source": "text",
        "cues": "text",
        "note": "text",
        "front": "text?",
        "side": "text?",
        "entry": "integer",
    },
    key=("session",),
    lists=(("dog", "started_at"),),
)
RECORDINGS = Table(
    "recordings",
    {
        "entry": "integer",
        "session": "text",
        "sha256": "text",
        "name": "text",
        "media_type": "text",
        "bytes": "integer",
        "duration_s": "real",
        "frames_per_s": "real?",
        "streams": "text",
        "notes": "text",
    },
    key=("entry",),
    lists=(("session", "entry"), ("sha256",)),
)
READINGS = Table(
    "readings",
    {"entry": "integer", "session": "text", "sha256": "text", "reps": "text"},
    key=("entry",),
    lists=(("session", "entry"),),
)
CORRECTIONS = Table(
    "corrections",
    {
        "entry": "integer",
        "session": "text",
        "reading": "integer?",
        "sheet": "text",
        "whose": "text",
        "edits": "text",
        "places": "text",
        "reps": "text",
        "why": "text",
        "made_by": "text",
        "at": "text",
    },
    key=("entry",),
    lists=(("session", "entry"),),
)
TABLES = (SESSIONS, RECORDINGS, READINGS, CORRECTIONS)
KINDS = frozenset({"session_run", "recording_kept", "reading_made", "events_corrected"})
_PUT_SESSION, _PUT_RECORDING, _PUT_READING = SESSIONS.put(), RECORDINGS.put(), READINGS.put()
_PUT_CORRECTION = CORRECTIONS.put()


def apply(cursor: Cursor, entry: Entry, said: Any) -> None:
    """Add or restate a session, a recording, a reading or corrections of its events."""
    if isinstance(said, SessionRun):
        cursor.execute(_PUT_SESSION, _session(entry.number, said))
    elif isinstance(said, RecordingKept):
        cursor.execute(_PUT_RECORDING, _recording(entry.number, said))
    elif isinstance(said, ReadingMade):
        cursor.execute(_PUT_READING, (entry.number, said.session, said.sha256, _rep_numbers(said.reading)))
    elif isinstance(said, EventsCorrected):
        cursor.execute(_PUT_CORRECTION, _correction(entry, said))


def _session(number: int, said: SessionRun) -> tuple[Any, ...]:
    return (
        said.session,
        said.dog,
        said.step,
        utc_text(read_utc(said.started_at)),  # one form, so that text sorts as time
        json.dumps(said.asks_s),
        said.hand,
        said.pay_place,
        said.distance_m,
        said.disturbance,
        said.source,
        json.dumps(said.cues, ensure_ascii=False),
        said.note,
        json.dumps(said.front) if said.front else None,
        json.dumps(said.side) if said.side else None,
        number,
    )


def _recording(number: int, said: RecordingKept) -> tuple[Any, ...]:
    return (
        number,
        said.session,
        said.sha256,
        said.name,
        said.media_type,
        said.bytes,
        said.duration_s,
        said.frames_per_s,
        json.dumps(said.streams, ensure_ascii=False),
        json.dumps(said.notes, ensure_ascii=False),
    )


def _correction(entry: Entry, said: EventsCorrected) -> tuple[Any, ...]:
    return (
        entry.number,
        said.session,
        said.reading,
        said.sheet,
        said.whose,
        json.dumps(entry.payload["edits"], ensure_ascii=False),
        json.dumps(entry.payload["reps"]),
        json.dumps([place.rep for place in said.reps]),
        said.why,
        entry.by,
        entry.happened_at,
    )


def _rep_numbers(reading: dict[str, Any]) -> str:
    # The reading itself stays in its entry: it is long, and only one page at a time wants it.
    reps = reading.get("reps")
    rows = reps if isinstance(reps, list) else []
    return json.dumps([row["rep"] for row in rows if isinstance(row, dict) and type(row.get("rep")) is int])
