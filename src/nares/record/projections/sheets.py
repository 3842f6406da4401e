"""Spreadsheets that were brought in, and from which line of which one each rep came."""

import json
from typing import Any

from nares.record.chain import Entry
from nares.record.kinds import SheetImported
from nares.record.tables import Cursor, Table

SHEETS = Table(
    "sheets",
    {
        "entry": "integer",
        "name": "text",
        "sha256": "text",
        "sheet": "text",
        "mapping": "text",
        "kept_as": "text",
        "made_by": "text",
        "at": "text",
    },
    key=("entry",),
    lists=(("kept_as", "entry"), ("sha256",)),
)
SHEET_LINES = Table(
    "sheet_lines",
    {"session": "text", "rep": "integer", "line": "integer", "entry": "integer"},
    key=("session", "rep"),
)
TABLES = (SHEETS, SHEET_LINES)
KINDS = frozenset({"sheet_imported"})
_PUT_SHEET, _PUT_LINE = SHEETS.put(), SHEET_LINES.put()


def apply(cursor: Cursor, entry: Entry, said: Any) -> None:
    """Keep a spreadsheet's name, digest and mapping, and the line of every rep."""
    if isinstance(said, SheetImported):
        mapping = json.dumps(said.mapping, ensure_ascii=False, sort_keys=True)
        row = (entry.number, said.name, said.sha256, said.sheet, mapping, said.kept_as, entry.by)
        cursor.execute(_PUT_SHEET, (*row, entry.happened_at))
        lines = ((name, rep, line, entry.number) for name, reps in said.lines.items() for rep, line in reps)
        cursor.executemany(_PUT_LINE, lines)
