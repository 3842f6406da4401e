"""A sheet as it was found: cells in rows, each with the place a person knows it by.

Conventions
-----------
Rows count from 1, as a spreadsheet numbers them; columns go by letter (``A``) and by the name in the header.
A cell holds what its file says: text, a number, yes or no, a day, a time, a length of time, or nothing.
Text is kept without the blanks around it, and text of blanks alone is nothing.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

Cell = str | int | float | bool | date | datetime | time | timedelta | None

LONGEST_ROWS = 50_000
"""Most rows read of one sheet. [count]"""

WIDEST_COLUMNS = 200
"""Most columns read of one sheet. [count]"""


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet of a file. ``rows`` begin with the file's first line and may differ in length."""

    name: str
    rows: tuple[tuple[Cell, ...], ...]

    @property
    def width(self) -> int:
        """How many columns the widest row has. [count]"""
        return max(map(len, self.rows), default=0)

    def cell(self, line: int, column: int) -> Cell:
        """The cell of a line (from 1) in a column (from 0); nothing beyond the end of its row."""
        row = self.rows[line - 1]
        return row[column] if column < len(row) else None


def clean(cell: Cell) -> Cell:
    """Take blanks, also those that do not break, from around text; text of nothing else is nothing."""
    if not isinstance(cell, str):
        return cell
    text = " ".join(cell.replace("\u00a0", " ").replace("\u202f", " ").replace("\ufeff", "").split())
    return text or None


def sheet_of(name: str, rows: Iterable[Iterable[Cell]]) -> Sheet:
    """Make a sheet of rows, without what is empty to the right of each row and below the last."""
    kept = [_without_end(tuple(clean(cell) for cell in row)) for row in rows]
    while kept and not kept[-1]:
        kept.pop()
    return Sheet(name, tuple(kept))


def _without_end(row: tuple[Cell, ...]) -> tuple[Cell, ...]:
    end = len(row)
    while end and row[end - 1] is None:
        end -= 1
    return row[:end]


def letter(column: int) -> str:
    """The letters of a column counted from 0.

    >>> letter(0), letter(25), letter(26), letter(701)
    ('A', 'Z', 'AA', 'ZZ')
    """
    letters = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def text_of(cell: Cell) -> str:
    """A cell as a person would write it down.

    >>> text_of(2.0), text_of(True), text_of(time(9, 30)), text_of(None)
    ('2', 'yes', '09:30', '')
    """
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float | int):
        return f"{cell:.10g}"
    if isinstance(cell, datetime):
        return cell.isoformat(sep=" ", timespec="minutes" if not cell.second else "seconds")
    if isinstance(cell, time):
        return cell.isoformat(timespec="minutes" if not (cell.second or cell.microsecond) else "auto")
    return str(cell)


def key_of(cell: Cell) -> str:
    """A cell as the key of a list of words: small letters, yes and no for true and false.

    >>> key_of("  OK ".strip()), key_of(1.0), key_of(None)
    ('ok', '1', '')
    """
    return text_of(cell).casefold()
