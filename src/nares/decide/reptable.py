"""The rep table: one CSV row a rep, read whole or not at all, written back without loss.

Conventions
-----------
Text in, text out; files belong to the edges. The header is required and names the columns of
`nares.decide.repcells`; unknown columns are kept and ignored. A byte order mark is tolerated and kept.
Faults are findings naming line and column as a person counts them, the header being line 1, and a table
with any finding gives no rep at all. A row whose rep has not changed is written back as the very bytes
it was read from.
"""

import csv
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from nares.base.findings import Finding, refuse_if_any
from nares.base.times import read_utc
from nares.base.vocab import Rep
from nares.decide.repcells import COLUMNS, READERS, cell_of

BOM = "\ufeff"


@dataclass(frozen=True, slots=True)
class Row:
    """One row as read: its line, its cells under the header, the bytes it came from, and its rep."""

    line: int
    cells: tuple[str, ...]
    raw: str
    rep: Rep | None


@dataclass(frozen=True, slots=True)
class RepTable:
    """A table as read. ``reps`` is empty when there is any finding. ``header`` is the raw first line."""

    reps: tuple[Rep, ...]
    findings: tuple[Finding, ...]
    columns: tuple[str, ...] = COLUMNS
    header: str = ""
    rows: tuple[Row, ...] = ()

    @property
    def unknown_columns(self) -> tuple[str, ...]:
        """Columns that are kept and ignored."""
        return tuple(column for column in self.columns if column not in READERS)


def parse_rep_table(text: str) -> RepTable:
    """Read a table and list every fault in it."""
    records, broken = _records(text)
    if broken or not records:
        none = Finding(
            "no-header", "line 1", f"The table is empty. Begin with a header: {', '.join(COLUMNS)}."
        )
        return RepTable((), tuple(broken) or (none,))
    _, header_cells, header = records[0]
    header = BOM + header if text.startswith(BOM) else header
    columns = tuple(cell.strip() for cell in header_cells)
    faults = list(_header_findings(columns))
    if faults:
        return RepTable((), tuple(faults), columns, header)
    rows = []
    for line, cells, raw in records[1:]:
        rep, found = _read_row(line, cells, columns)
        faults += found
        rows.append(Row(line, cells, raw, rep))
    faults += [*_repeats(rows), *_clock_findings(rows)]
    reps = () if faults else tuple(row.rep for row in rows if row.rep is not None)
    return RepTable(reps, tuple(faults), columns, header, tuple(rows))


def read_rep_table(text: str) -> RepTable:
    """Read a table without faults.

    Raises:
        Unusable: Naming every fault with its line and column.
    """
    table = parse_rep_table(text)
    refuse_if_any(table.findings, what="The rep table")
    return table


def write_rep_table(reps: Sequence[Rep], like: RepTable | None = None) -> str:
    """Write reps as a table.

    Args:
        reps: The reps, in the order they are to be written.
        like: The table they came from: its columns, their order and their unknown cells are kept, and
            unchanged rows are written back byte for byte.
    """
    if like is None:
        return _line(COLUMNS) + "".join(_line([cell_of(rep, c) for c in COLUMNS]) for rep in reps)
    known = {_key(row.rep): row for row in like.rows if row.rep is not None}
    ending = _ending(like.header)
    lines = [_ended(like.header, ending), *(_kept(rep, known.get(_key(rep)), like, ending) for rep in reps)]
    text = "".join(lines)
    ends_open = bool(like.rows) and not like.rows[-1].raw.endswith(("\n", "\r"))
    return text.removesuffix(ending) if ends_open else text


def _records(text: str) -> tuple[list[tuple[int, tuple[str, ...], str]], list[Finding]]:
    """Every record with its first line and its raw bytes; blank lines are passed over."""
    lines = list(io.StringIO(text.removeprefix(BOM), newline=""))
    reader = csv.reader(lines, strict=True)
    records: list[tuple[int, tuple[str, ...], str]] = []
    start = 0
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                records.append((start + 1, tuple(cells), "".join(lines[start : reader.line_num])))
            start = reader.line_num
    except csv.Error as fault:
        text = f"This line is not CSV ({fault}). Check its quotation marks."
        return [], [Finding("not-csv", f"line {start + 1}", text)]
    return records, []


def _header_findings(columns: tuple[str, ...]) -> Iterator[Finding]:
    if len(columns) == 1 and ";" in columns[0]:
        text = "The columns are separated by semicolons. Save the table with commas."
        yield Finding("semicolons", "line 1", text)
        return
    for column in COLUMNS:
        if column not in columns:
            text = f"The column {column!r} is missing. Add it to the header and to every row."
            yield Finding("missing-column", f"line 1, column {column}", text)
    for column in sorted({c for c in columns if c in READERS and columns.count(c) > 1}):
        text = f"The column {column!r} stands there twice. Keep one of them."
        yield Finding("repeated-column", f"line 1, column {column}", text)


def _read_row(
    line: int, cells: tuple[str, ...], columns: tuple[str, ...]
) -> tuple[Rep | None, list[Finding]]:
    if len(cells) != len(columns):
        text = f"There are {len(cells)} cells under {len(columns)} columns. Check the commas of this line."
        return None, [Finding("wrong-length", f"line {line}", text)]
    values, findings = {}, []
    for column, cell in zip(columns, cells, strict=True):
        if column not in READERS:
            continue
        try:
            values[column] = READERS[column](cell)
        except ValueError as fault:
            found = f"{column} is {cell!r}. {fault}."
            findings.append(Finding("wrong-value", f"line {line}, column {column}", found))
    return (None, findings) if findings else (Rep(**values), [])


def _key(rep: Rep) -> tuple[str, str, int]:
    return rep.dog, rep.session, rep.rep


def _repeats(rows: Sequence[Row]) -> Iterator[Finding]:
    first: dict[tuple[str, str, int], int] = {}
    for row in rows:
        if row.rep is None:
            continue
        if _key(row.rep) in first:
            text = (
                f"Rep {row.rep.rep} of session {row.rep.session} of {row.rep.dog} already stands on "
                f"line {first[_key(row.rep)]}. Give every rep of a session its own number."
            )
            yield Finding("repeated-rep", f"line {row.line}, column rep", text)
        first.setdefault(_key(row.rep), row.line)


def _clock_findings(rows: Sequence[Row]) -> Iterator[Finding]:
    """Within a session a later rep cannot have an earlier time."""
    latest: dict[tuple[str, str], Rep] = {}
    in_order = [row for row in rows if row.rep is not None]
    for row in sorted(in_order, key=lambda r: r.rep.rep if r.rep else 0):
        rep = row.rep
        if rep is None:
            continue
        before = latest.get((rep.dog, rep.session))
        if before is not None and read_utc(rep.started_at) < read_utc(before.started_at):
            text = (
                f"Rep {rep.rep} of session {rep.session} begins at {rep.started_at}, before rep {before.rep} "
                f"at {before.started_at}. Correct the time or the rep number."
            )
            yield Finding("clock-backwards", f"line {row.line}, column started_at", text)
        latest[(rep.dog, rep.session)] = rep


def _kept(rep: Rep, row: Row | None, like: RepTable, ending: str) -> str:
    if row is not None and row.rep == rep:
        return _ended(row.raw, ending)
    return _line([_cell(rep, row, place, column) for place, column in enumerate(like.columns)], ending)


def _cell(rep: Rep, row: Row | None, place: int, column: str) -> str:
    old = row.cells[place] if row is not None else ""
    if column not in READERS:
        return old
    unchanged = row is not None and getattr(row.rep, column) == getattr(rep, column)
    return old if unchanged else cell_of(rep, column)


def _line(cells: Sequence[str], ending: str = "\n") -> str:
    out = io.StringIO()
    csv.writer(out, lineterminator=ending).writerow(cells)
    return out.getvalue()


def _ending(header: str) -> str:
    return "\r\n" if header.endswith("\r\n") else "\r" if header.endswith("\r") else "\n"


def _ended(raw: str, ending: str) -> str:
    return raw if raw.endswith(("\n", "\r")) else raw + ending
