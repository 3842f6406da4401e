"""What was called for each dog, and where a person decided otherwise."""

import json
from typing import Any

from nares.record.chain import Entry
from nares.record.kinds import CallOverruled, StepCalled
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
TABLES = (CALLS,)
KINDS = frozenset({"step_called", "call_overruled"})
_PUT = CALLS.put()
_OVERRULE = (
    "UPDATE calls SET overruled_entry = ?, overruled_call = ?, overruled_why = ?, overruled_by = ? "
    "WHERE entry = (SELECT max(entry) FROM calls WHERE dog = ?)"
)


def apply(cursor: Cursor, entry: Entry, said: Any) -> None:
    """Add a call, or overrule the newest one of that dog."""
    if isinstance(said, StepCalled):
        cursor.execute(_PUT, _call(entry, said))
    elif isinstance(said, CallOverruled):
        cursor.execute(_OVERRULE, (entry.number, said.call, said.why, entry.by, said.dog))


def restate(cursor: Cursor, entry: Entry, said: Any) -> None:
    """Give an amended overruling its present words; a call itself is never amended."""
    if isinstance(said, CallOverruled):
        sql = "UPDATE calls SET overruled_call = ?, overruled_why = ? WHERE overruled_entry = ?"
        cursor.execute(sql, (said.call, said.why, entry.number))


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
        said.last_session,
        said.programme,
        entry.happened_at,
        None,
        None,
        None,
        None,
    )
