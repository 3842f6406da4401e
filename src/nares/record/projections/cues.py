"""Cues that a trainer gave a name."""

from typing import Any

from nares.record.chain import Entry
from nares.record.kinds import CueNamed
from nares.record.tables import Cursor, Table

CUES = Table(
    "cues",
    {"cue": "text", "about": "text", "made_by": "text", "at": "text", "entry": "integer"},
    key=("cue",),
)
TABLES = (CUES,)
KINDS = frozenset({"cue_named"})
_PUT = CUES.put()


def apply(cursor: Cursor, entry: Entry, said: Any) -> None:
    """Add a name; an amended one is put again."""
    if isinstance(said, CueNamed):
        cursor.execute(_PUT, (said.cue, said.about, entry.by, entry.happened_at, entry.number))
