"""Where in a sheet the table is: its header, its rows, and what is passed over.

Conventions
-----------
A header may stand below a title, may be spread over two lines (a word above, numbers below), may be
repeated further down, or may be missing. Columns without a name go by their letter, and so does the second
of two columns with one name. Nothing is passed over unseen: every line with something in it is a row of the
table or is named with the reason why it is none.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from nares.base.findings import Finding
from nares.decide.sheets.cells import Cell, Sheet, key_of, letter, text_of
from nares.decide.sheets.fields import field_of_head

LOOK_FOR_HEADER = 40
"""Lines looked at for a header. [count]"""

TOTALS = frozenset(
    ["total", "totals", "subtotal", "sum", "summary", "average", "mean", "avg", "median", "count", "overall"]
)


@dataclass(frozen=True, slots=True)
class Layout:
    """Where the table is. ``header_line``: the last line of the header, 0 where there is none.

    ``heads``: the name of each column, unlike each other. ``lines``: the lines of the table.
    ``passed_over``: lines that hold something and are no row of it.
    """

    header_line: int
    heads: tuple[str, ...]
    lines: tuple[int, ...]
    passed_over: tuple[Finding, ...]

    def column_of(self, head: str) -> int | None:
        """Where a column stands, counted from 0, or None."""
        return self.heads.index(head) if head in self.heads else None

    def place(self, line: int, head: str) -> str:
        """A cell's place in words: line, column by letter and name."""
        column = self.column_of(head)
        where = "" if column is None else f" {letter(column)}"
        return f"line {line}, column{where}" + ("" if head == f"column{where}" else f" ({head})")


def lay_out(sheet: Sheet, header_line: int | None = None) -> Layout:
    """Find the table in a sheet.

    Args:
        sheet: The cells.
        header_line: The last line of the header as a person says it, 0 for none; looked for when None.
    """
    last = find_header(sheet) if header_line is None else min(max(header_line, 0), len(sheet.rows))
    heads, top = _heads(sheet, last)
    above = [_above(sheet, line) for line in range(1, top) if any(_filled(sheet.rows[line - 1]))]
    header = sheet.rows[last - 1] if last else ()
    lines, passed = [], above
    for line in range(last + 1, len(sheet.rows) + 1):
        row = sheet.rows[line - 1]
        why = _why_no_row(row, header)
        if why:
            passed.append(Finding("passed-over", f"line {line}", f"{why}: {_short(row)}"))
        elif any(_filled(row)):
            lines.append(line)
    return Layout(last, heads, tuple(lines), tuple(passed))


def find_header(sheet: Sheet) -> int:
    """The last line of the header, 0 where the sheet begins with its rows."""
    best, best_score = 0, 0.0
    for line, row in enumerate(sheet.rows[:LOOK_FOR_HEADER], start=1):
        score = _header_score(row)
        if score > best_score:
            best, best_score = line, score
    if best and best < len(sheet.rows) and _continues(sheet.rows[best - 1], sheet.rows[best]):
        best += 1
    return best


def _header_score(row: Sequence[Cell]) -> float:
    """Known names count most; two names nobody knows make a header only where no value stands beside them."""
    filled = [cell for cell in row if cell is not None]
    known = [found[1] for cell in filled if isinstance(cell, str) and (found := field_of_head(cell))]
    values = sum(not isinstance(cell, str) or cell[0].isdigit() for cell in filled)
    if len(filled) < 2 or values > len(filled) / 2:
        return 0.0
    if not known:
        return 0.1 if not values and len(set(map(key_of, filled))) == len(filled) else 0.0
    return sum(known) - 0.6 * values


def _continues(upper: Sequence[Cell], lower: Sequence[Cell]) -> bool:
    """Whether a second header line follows: numbers 1, 2, 3 … under a word over several columns."""
    gaps = [place for place, cell in enumerate(lower) if cell is not None]
    under_nothing = [place for place in gaps if place >= len(upper) or upper[place] is None]
    counted = [_whole(lower[place]) for place in gaps]
    return len(under_nothing) >= 2 and len(gaps) >= 3 and counted == list(range(1, len(gaps) + 1))


def _whole(cell: Cell) -> int | None:
    text = text_of(cell)
    return int(text) if text.isascii() and text.isdigit() else None


def _heads(sheet: Sheet, last: int) -> tuple[tuple[str, ...], int]:
    """The names of all columns, and the first line of the header (one behind none)."""
    width = sheet.width
    if not last:
        return tuple(f"column {letter(column)}" for column in range(width)), 1
    names = [text_of(sheet.cell(last, column)) for column in range(width)]
    top = last
    if last > 1 and _continues(sheet.rows[last - 2], sheet.rows[last - 1]):
        top, over = last - 1, ""
        for column in range(width):
            over = text_of(sheet.cell(last - 1, column)) or (over if names[column] else "")
            names[column] = f"{over} {names[column]}".strip()
    return tuple(_unlike(names)), top


def _unlike(names: Sequence[str]) -> list[str]:
    seen: set[str] = set()
    heads = []
    for column, name in enumerate(names):
        head = name or f"column {letter(column)}"
        head = f"{head} (column {letter(column)})" if head in seen else head
        seen.add(head)
        heads.append(head)
    return heads


def _filled(row: Sequence[Cell]) -> list[bool]:
    return [cell is not None for cell in row]


def _above(sheet: Sheet, line: int) -> Finding:
    return Finding("passed-over", f"line {line}", f"Above the header: {_short(sheet.rows[line - 1])}")


def _why_no_row(row: Sequence[Cell], header: Sequence[Cell]) -> str:
    filled = [cell for cell in row if cell is not None]
    if not filled:
        return ""
    if len(row) == len(header) and all(map(_alike, row, header)):
        return "The header once more"
    if isinstance(filled[0], str) and filled[0].casefold().rstrip(": ") in TOTALS:
        return "A line of totals"
    wordy = isinstance(filled[0], str) and (len(filled[0].split()) > 2 or filled[0].endswith((":", ".")))
    return "A note" if len(filled) == 1 and wordy else ""


def _alike(cell: Cell, other: Cell) -> bool:
    return cell == other or key_of(cell) == key_of(other)


def _short(row: Sequence[Cell]) -> str:
    said = ", ".join(text_of(cell) for cell in row if cell is not None)
    return said if len(said) <= 80 else f"{said[:77]}..."
