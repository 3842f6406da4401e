"""Signs of aversion or stress that were seen in each dog, and when somebody looked into them."""

import json
from typing import Any

from nares.record.chain import Entry
from nares.record.kinds import SignsCleared, SignsSeen
from nares.record.tables import Cursor, Table

SIGNS = Table(
    "signs",
    {
        "entry": "integer",
        "dog": "text",
        "signs": "text",
        "level": "integer",
        "session": "text?",
        "rep": "integer?",
        "latency": "text",
        "note": "text",
        "made_by": "text",
        "at": "text",
        "cleared_entry": "integer?",
    },
    key=("entry",),
    lists=(("dog", "entry"),),
)
SIGNS_CLEARED = Table(
    "signs_cleared",
    {
        "entry": "integer",
        "dog": "text",
        "why": "text",
        "vet": "integer",
        "made_by": "text",
        "at": "text",
    },
    key=("entry",),
    lists=(("dog", "entry"),),
)
TABLES = (SIGNS, SIGNS_CLEARED)
KINDS = frozenset({"signs_seen", "signs_cleared"})
_PUT, _PUT_CLEARED = SIGNS.put(), SIGNS_CLEARED.put()


def apply(cursor: Cursor, entry: Entry, said: Any) -> None:
    """Add what was seen; mark what was looked into."""
    if isinstance(said, SignsSeen):
        signs = json.dumps(said.signs)
        values = (said.dog, signs, said.level, said.session, said.rep, said.latency, said.note)
        cursor.execute(_PUT, (entry.number, *values, entry.by, entry.happened_at, None))
    elif isinstance(said, SignsCleared):
        how = (said.dog, said.why, int(said.vet), entry.by, entry.happened_at)
        cursor.execute(_PUT_CLEARED, (entry.number, *how))
        sql = "UPDATE signs SET cleared_entry = ? WHERE entry = ? AND dog = ? AND cleared_entry IS NULL"
        cursor.executemany(sql, [(entry.number, number, said.dog) for number in said.signs])


def restate(cursor: Cursor, entry: Entry, said: Any) -> None:
    """Give amended signs their present words; whether they were looked into stays as it is."""
    if isinstance(said, SignsSeen):
        sql = "UPDATE signs SET rep = ?, latency = ?, note = ? WHERE entry = ?"
        cursor.execute(sql, (said.rep, said.latency, said.note, entry.number))
