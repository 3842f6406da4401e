"""The table of calls: one CSV row a run, read whole or not at all, every fault named by its line.

Conventions
-----------
Columns ``run``, ``position`` (empty or "clear": called clear), ``called_by``,
``called_at``; the last two may be missing, others are ignored. Comma, semicolon or tab between cells, with
or without a byte order mark. Lines count from 1, the header's.
"""

import csv
import io
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from nares.base.errors import OutOfRange
from nares.base.findings import Finding
from nares.base.lineups import Called
from nares.base.times import read_utc

BOM = "\ufeff"
NEEDED = ("run", "position")
CLEAR = ("", "clear")


@dataclass(frozen=True, slots=True)
class CallsTable:
    """Calls as read; empty when there is any fault. ``notes``: what was tolerated, in sentences."""

    calls: tuple[Called, ...]
    findings: tuple[Finding, ...]
    notes: tuple[str, ...]


def parse_calls(text: str, runs: Mapping[int, Collection[int]]) -> CallsTable:
    """Read a table of calls and list every fault in it.

    Args:
        text: The table.
        runs: The positions of each run of the key.
    """
    notes = ["The table begins with a byte order mark; it is set aside."] if text.startswith(BOM) else []
    text = text.removeprefix(BOM)
    head = text.split("\n", 1)[0]
    between = max(",;\t", key=head.count)
    if between != "," and between in head:
        notes.append(f"Cells are parted by {'a semicolon' if between == ';' else 'a tab'}; read so.")
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=between, strict=True)
    findings: list[Finding] = []
    calls: list[Called] = []
    lines: dict[int, int] = {}
    try:
        columns = [cell.strip().lower() for cell in next(rows, [])]
        findings += _header(columns)
        if findings:
            return CallsTable((), tuple(findings), tuple(notes))
        for cells in rows:
            if not any(cell.strip() for cell in cells):
                continue
            row = {name: cell.strip() for name, cell in zip(columns, cells, strict=False)}
            called, found = _read(rows.line_num, len(cells), columns, row, runs, lines)
            findings += found
            calls += [called] if called else []
    except csv.Error as fault:
        findings.append(
            Finding("csv", f"line {rows.line_num}", f"This is no CSV: {fault}. Save it anew as CSV.")
        )
    return CallsTable(() if findings else tuple(calls), tuple(findings), tuple(notes))


def _header(columns: list[str]) -> Iterator[Finding]:
    for name in NEEDED:
        if name not in columns:
            yield Finding(
                "no-column",
                "line 1",
                f"There is no column {name!r}. Begin with run,position,called_by,called_at.",
            )
    for name in sorted({name for name in columns if name and columns.count(name) > 1}):
        yield Finding("column-twice", "line 1", f"The column {name!r} is there twice. Keep one.")


def _read(
    line: int,
    cells: int,
    columns: list[str],
    row: dict[str, str],
    runs: Mapping[int, Collection[int]],
    lines: dict[int, int],
) -> tuple[Called | None, list[Finding]]:
    """One row: the call, or what is wrong with it; remembers on which line each run stands."""
    where = f"line {line}"
    found = []
    if cells > len(columns):
        found.append(
            Finding("too-many-cells", where, "There are more cells than columns. Take the last ones out.")
        )
    run = _number(row.get("run", ""))
    if run is None or run not in runs:
        said = row.get("run", "")
        text = f"The key has no run {said!r}. Its runs are {_span(list(runs))}."
        return None, [*found, Finding("unknown-run", where, text)]
    if run in lines:
        text = f"Run {run} is called twice, first on line {lines[run]}. Keep the call that was made."
        return None, [*found, Finding("run-twice", where, text)]
    lines[run] = line
    said = row.get("position", "")
    position = None if said.lower() in CLEAR else _number(said)
    if (position is None and said.lower() not in CLEAR) or (
        position is not None and position not in runs[run]
    ):
        text = (
            f"Run {run} has no position {said!r}. Its positions are {_span(list(runs[run]))}; leave "
            "empty for clear."
        )
        found.append(Finding("unknown-position", where, text))
    at = row.get("called_at", "")
    if at:
        try:
            read_utc(at)
        except OutOfRange as fault:
            found.append(Finding("time", where, str(fault)))
    return (None if found else Called(run, position, row.get("called_by", ""), at)), found


def _number(cell: str) -> int | None:
    return int(cell) if cell.isascii() and cell.isdigit() and len(cell) < 10 else None


def _span(numbers: list[int]) -> str:
    low, high = min(numbers, default=0), max(numbers, default=0)
    return f"{low} to {high}" if low < high else str(low)
