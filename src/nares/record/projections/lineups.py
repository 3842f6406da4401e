"""Line-ups as they were sealed, how far each run has come, who sat where, who saw what."""

import json
from typing import Any

import msgspec

from nares.base.times import read_utc, utc_text
from nares.design.lineups.plans import same_name
from nares.record.chain import Entry
from nares.record.kinds_lineups import (
    CallMade,
    KeyOpened,
    KeySeen,
    LineupSealed,
    RunBegun,
    RunObserved,
    RunOpened,
    RunPlaced,
    RunVoided,
    SeatTaken,
)
from nares.record.tables import Cursor, Table

LINEUPS = Table(
    "lineups",
    {
        "lineup": "text",
        "entry": "integer",
        "dog": "text",
        "place": "text",
        "commitment": "text",
        "sealed_at": "text",
        "sealed_by": "text",
        "closed_entry": "integer?",
        "closed_at": "text?",
    },
    key=("lineup",),
    lists=(("dog",), ("place",), ("commitment",)),
)
RUNS = Table(
    "lineup_runs",
    {
        "lineup": "text",
        "run": "integer",
        "commitment": "text",
        "placed_entry": "integer?",
        "placed_by": "text?",
        "placed_at": "text?",
        "begun_entry": "integer?",
        "begun_by": "text?",
        "begun_at": "text?",
        "present": "text?",
        "called_entry": "integer?",
        "called_position": "integer?",
        "called_by": "text?",
        "called_at": "text?",
        "on_paper": "integer?",
        "opened_entry": "integer?",
        "opened_at": "text?",
        "opened_key": "text?",
        "void_entry": "integer?",
        "void_why": "text?",
    },
    key=("lineup", "run"),
)
OBSERVED = Table(
    "lineup_observed",
    {
        "lineup": "text",
        "run": "integer",
        "role": "text",
        "entry": "integer",
        "person": "text",
        "observed": "text",
        "at": "text",
    },
    key=("lineup", "run", "role"),
)
SEATS = Table(
    "lineup_seats",
    {"entry": "integer", "lineup": "text", "role": "text", "person": "text", "at": "text"},
    key=("entry",),
    lists=(("lineup",),),
)
SEEN = Table(
    "lineup_seen",
    {"entry": "integer", "lineup": "text", "runs": "text", "person": "text", "how": "text", "at": "text"},
    key=("entry",),
    lists=(("lineup",),),
)
TABLES = (LINEUPS, RUNS, OBSERVED, SEATS, SEEN)
KINDS = frozenset(
    {
        "lineup_sealed",
        "seat_taken",
        "key_seen",
        "run_placed",
        "run_begun",
        "call_made",
        "run_observed",
        "run_opened",
        "run_voided",
        "key_opened",
    }
)
_PUT, _PUT_OBSERVED, _PUT_SEAT, _PUT_SEEN = LINEUPS.put(), OBSERVED.put(), SEATS.put(), SEEN.put()
_RUN = (
    "INSERT INTO lineup_runs (lineup, run, commitment) VALUES (?, ?, ?) ON CONFLICT (lineup, run) DO NOTHING"
)


def apply(cursor: Cursor, entry: Entry, said: Any) -> None:
    """Take one step of a line-up into the tables; an amended entry is simply applied again."""
    number, at, by = entry.number, entry.entered_at, entry.by
    match said:
        case LineupSealed():
            place = same_name(said.area.place)
            row = (said.lineup, number, said.dog, place, said.commitment, at, by, None, None)
            cursor.execute(_PUT, row)
            runs = enumerate(said.run_commitments, 1)
            cursor.executemany(_RUN, [(said.lineup, run, commitment) for run, commitment in runs])
        case SeatTaken():
            cursor.execute(_PUT_SEAT, (number, said.lineup, said.role, said.person, at))
        case KeySeen():
            cursor.execute(_PUT_SEEN, (number, said.lineup, json.dumps(said.runs), said.person, said.how, at))
        case RunObserved():
            seen = msgspec.json.encode(said.observed).decode()
            cursor.execute(_PUT_OBSERVED, (said.lineup, said.run, said.role, number, said.person, seen, at))
        case KeyOpened():
            sql = "UPDATE lineups SET closed_entry = ?, closed_at = ? WHERE lineup = ?"
            cursor.execute(sql, (number, at, said.lineup))
        case _:
            values = _of_run(entry, said)
            names = ", ".join(f"{name} = ?" for name in values)
            sql = f"UPDATE lineup_runs SET {names} WHERE lineup = ? AND run = ?"
            cursor.execute(sql, (*values.values(), said.lineup, said.run))


def _of_run(entry: Entry, said: Any) -> dict[str, Any]:
    """What an entry about one run says of it, by column. The time is that of entry, which nobody types."""
    number, at = entry.number, entry.entered_at
    match said:
        case RunPlaced():
            return {"placed_entry": number, "placed_by": said.person, "placed_at": at}
        case RunBegun():
            present = json.dumps(said.present)
            return {"begun_entry": number, "begun_by": entry.by, "begun_at": at, "present": present}
        case CallMade():
            return {
                "called_entry": number,
                "called_position": said.position,
                "called_by": said.person,
                "called_at": utc_text(read_utc(said.made_at)) if said.on_paper else at,
                "on_paper": int(said.on_paper),
            }
        case RunOpened():
            key = msgspec.json.encode(said.key).decode()
            return {"opened_entry": number, "opened_at": at, "opened_key": key}
        case RunVoided():
            return {"void_entry": number, "void_why": said.why}
    raise TypeError(f"{type(said).__name__} is about no run")
