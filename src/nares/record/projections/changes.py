"""Every amendment with its old and its new value, and the payloads that hold after them."""

import json
from typing import Any

from nares.record.chain import Entry
from nares.record.kinds import Amended
from nares.record.pointer import parts_of, with_value
from nares.record.tables import Cursor, Table

CHANGES = Table(
    "changes",
    {
        "entry": "integer",
        "amends": "integer",
        "kind": "text",
        "session": "text?",
        "dog": "text?",
        "field": "text",
        "place": "integer?",
        "old": "text",
        "new": "text",
        "why": "text",
        "made_by": "text",
        "at": "text",
    },
    key=("entry",),
    lists=(("amends", "entry"), ("session", "entry"), ("dog", "entry")),
)
PRESENT = Table("present", {"entry": "integer", "payload": "text"}, key=("entry",))
TABLES = (CHANGES, PRESENT)
KINDS = frozenset({"amended"})
_PUT_CHANGE, _PUT_PRESENT = CHANGES.put(), PRESENT.put()


def amend(cursor: Cursor, entry: Entry, said: Amended, target: Entry) -> dict[str, Any]:
    """Keep one amendment of ``target`` (with its present payload), and return the payload that holds now."""
    payload: dict[str, Any] = with_value(dict(target.payload), said.field, said.new)
    row = (
        entry.number,
        said.entry,
        target.kind,
        target.payload.get("session"),
        target.payload.get("dog"),
        said.field,
        _place(said.field),
        json.dumps(said.old, ensure_ascii=False),
        json.dumps(said.new, ensure_ascii=False),
        said.why,
        entry.by,
        entry.happened_at,
    )
    cursor.execute(_PUT_CHANGE, row)
    cursor.execute(_PUT_PRESENT, (said.entry, json.dumps(payload, ensure_ascii=False)))
    return payload


def _place(pointer: str) -> int | None:
    parts = parts_of(pointer)
    return int(parts[1]) if len(parts) > 1 and parts[0] == "reps" else None
