"""What was called for each dog, where a person decided otherwise, and what was taken back of that.

``calls`` holds each call with the overruling that stands against it; ``overrulings`` every overruling there
ever was, also those a later one replaced or somebody took back.
"""

import json
from typing import Any

from nares.record.chain import Entry
from nares.record.kinds import CallOverruled, OverrulingWithdrawn, StepCalled
from nares.record.tables import Cursor, Table

CALLS = Table(
    "calls",
    {
        "entry": "integer",
        "dog": "text",
        "step": "text",
        "called": "text",
        "next_step": "text",
        "evidence": "text",
        "because": "text",
        "asks_s": "text",
        "risk": "text",
        "alone": "text?",
        "last_session": "text?",
        "programme": "text",
        "at": "text",
        "overruled_entry": "integer?",
        "overruled_call": "text?",
        "overruled_why": "text?",
        "overruled_by": "text?",
    },
    key=("entry",),
    lists=(("dog", "entry"), ("overruled_entry",)),
)
OVERRULINGS = Table(
    "overrulings",
    {
        "entry": "integer",
        "dog": "text",
        "call_entry": "integer",
        "decided": "text",
        "next_step": "text",
        "asks_s": "text",
        "why": "text",
        "made_by": "text",
        "at": "text",
        "withdrawn_entry": "integer?",
        "withdrawn_why": "text?",
        "withdrawn_by": "text?",
    },
    key=("entry",),
    lists=(("dog", "entry"), ("call_entry",)),
)
TABLES = (CALLS, OVERRULINGS)
KINDS = frozenset({"step_called", "call_overruled", "overruling_withdrawn"})
_PUT, _PUT_OVERRULING = CALLS.put(), OVERRULINGS.put()
_NEWEST = "SELECT max(entry) FROM calls WHERE dog = ?"
_STANDS = (
    "UPDATE calls SET overruled_entry = ?, overruled_call = ?, overruled_why = ?, overruled_by = ? "
    "WHERE entry = ?"
)


def apply(cursor: Cursor, entry: Entry, said: Any) -> None:
    """Add a call; overrule the newest one of that dog; take an overruling back."""
    if isinstance(said, StepCalled):
        cursor.execute(_PUT, _call(entry, said))
    elif isinstance(said, CallOverruled):
        _overrule(cursor, entry, said)
    elif isinstance(said, OverrulingWithdrawn):
        _withdraw(cursor, entry, said)


def restate(cursor: Cursor, entry: Entry, said: Any) -> None:
    """Give an amended overruling its present words; a call itself is never amended."""
    if isinstance(said, CallOverruled):
        sql = "UPDATE calls SET overruled_call = ?, overruled_why = ? WHERE overruled_entry = ?"
        cursor.execute(sql, (said.call, said.why, entry.number))
        sql = "UPDATE overrulings SET decided = ?, why = ? WHERE entry = ?"
        cursor.execute(sql, (said.call, said.why, entry.number))
    elif isinstance(said, OverrulingWithdrawn):
        sql = "UPDATE overrulings SET withdrawn_why = ? WHERE withdrawn_entry = ?"
        cursor.execute(sql, (said.why, entry.number))


def _overrule(cursor: Cursor, entry: Entry, said: CallOverruled) -> None:
    cursor.execute(_NEWEST, (said.dog,))
    row = cursor.fetchone()
    if row is None or row[0] is None:
        return  # only a record written past this program can overrule nothing
    cursor.execute(_STANDS, (entry.number, said.call, said.why, entry.by, row[0]))
    asks_s, at = json.dumps(said.asks_s), entry.happened_at
    values = (said.dog, row[0], said.call, said.next_step, asks_s, said.why, entry.by, at, None, None, None)
    cursor.execute(_PUT_OVERRULING, (entry.number, *values))


def _withdraw(cursor: Cursor, entry: Entry, said: OverrulingWithdrawn) -> None:
    sql = "UPDATE overrulings SET withdrawn_entry = ?, withdrawn_why = ?, withdrawn_by = ? WHERE entry = ?"
    cursor.execute(sql, (entry.number, said.why, entry.by, said.overruling))
    cursor.execute("SELECT entry FROM calls WHERE overruled_entry = ?", (said.overruling,))
    row = cursor.fetchone()
    if row is not None:
        cursor.execute(_STANDS, (None, None, None, None, row[0]))


def _call(entry: Entry, said: StepCalled) -> tuple[Any, ...]:
    return (
        entry.number,
        said.dog,
        said.step,
        said.call,
        said.next_step,
        json.dumps(said.evidence, ensure_ascii=False, sort_keys=True),
        json.dumps(said.because, ensure_ascii=False),
        json.dumps(said.asks_s),
        json.dumps(said.risk, ensure_ascii=False),
        None if said.alone is None else said.alone.get("call"),
        said.last_session,
        said.programme,
        entry.happened_at,
        None,
        None,
        None,
        None,
    )
