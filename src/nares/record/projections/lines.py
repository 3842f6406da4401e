"""One line for each entry: what lists and filters need, without opening the entry."""

from typing import Any

from nares.record.chain import Entry
from nares.record.tables import Cursor, Table

LINES = Table(
    "lines",
    {"entry": "integer", "kind": "text", "happened_at": "text", "entered_at": "text", "made_by": "text"},
    key=("entry",),
    lists=(("kind", "entry"), ("entered_at",)),
)
TABLES = (LINES,)
KINDS: frozenset[str] = frozenset()
_PUT = LINES.put()


def apply(cursor: Cursor, entry: Entry, said: Any) -> None:
    """Add the line of an entry of any kind, known or not."""
    row = (entry.number, entry.kind, entry.happened_at, entry.entered_at, entry.by)
    cursor.execute(_PUT, row)
