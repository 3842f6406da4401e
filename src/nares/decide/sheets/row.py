"""One line of a sheet to the reps it holds, or to its faults.

Conventions
-----------
Every cell is read by the kind of its field; words go through the mapping's list. A fault names line and
column, quotes the cell and says what to do. An empty cell takes what is given for the whole sheet, the value
above where the mapping says so, or is a fault where a rep cannot be without it.
"""

from collections.abc import Iterator
from collections.abc import Mapping as Table
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Any

from nares.base.findings import Finding
from nares.decide.repcells import READERS
from nares.decide.sheets.cells import Cell, Sheet, key_of, text_of
from nares.decide.sheets.fields import BY_KEY, known_words
from nares.decide.sheets.layout import Layout
from nares.decide.sheets.lengths import counts_in, read_length, read_number
from nares.decide.sheets.mapping import GIVEN, NO_REP, Mapping
from nares.decide.sheets.moments import read_clock, read_moment

NEEDED = ("dog", "day", "step", "met", "hand", "pay_place", "distance_m", "disturbance", "source")
SAYS_REP = ("met", "hold_s", "ask_s", "rep", "ended_by", "paid")
"""Fields of which a line must say at least one to be a rep."""


@dataclass(frozen=True, slots=True)
class Draft:
    """A rep before its session has a name. ``values``: by field, ``day`` as a `Moment`."""

    line: int
    values: dict[str, Any]


class RowReader:
    """Reads line after line, keeps the values that are carried down, and gathers the faults."""

    def __init__(self, sheet: Sheet, layout: Layout, mapping: Mapping, steps: frozenset[str]) -> None:
        self.findings: list[Finding] = []
        self._sheet, self._layout, self._mapping, self._steps = sheet, layout, mapping, steps
        self._above: dict[str, Cell] = {}
        self._wide = dict(mapping.series) if mapping.one_line == "session" else {}

    def read(self, line: int) -> list[Draft] | Finding:
        """The reps of a line, or why it is none. Faults are kept in ``findings``."""
        cells = {name: self._cell(line, head) for name, head in self._mapping.columns.items()}
        if not self._says_a_rep(line, cells):
            row = [text_of(cell) for cell in self._sheet.rows[line - 1] if cell is not None]
            return Finding("passed-over", f"line {line}", f"It says nothing of a rep: {', '.join(row)[:80]}")
        self._carry(cells)
        values, sound = self._values(line, cells)
        if not self._wide:
            return self._finished(line, values, sound, self._mapping.columns)
        drafts: list[Draft] = []
        for number, heads in self._numbered():
            drafts += self._one_of_many(line, values, sound, number, heads)
        return drafts

    def _cell(self, line: int, head: str) -> Cell:
        column = self._layout.column_of(head)
        return None if column is None else self._sheet.cell(line, column)

    def _says_a_rep(self, line: int, cells: dict[str, Cell]) -> bool:
        wide = (self._cell(line, head) for heads in self._wide.values() for head in heads)
        if any(cell is not None for cell in wide):
            return True
        if not self._wide and any(cells.get(name) is not None for name in SAYS_REP):
            return True
        # An empty cell may be a word of its own: a rep without a tick was not met.
        needed = [name for name in ("dog", "day", "session") if name in cells]
        tells = "met" in self._wide or (not self._wide and "met" in cells)
        return tells and self._empty_is() in ("0", "1") and any(cells[name] is not None for name in needed)

    def _empty_is(self) -> str:
        """What an empty cell says of a rep; nothing while nobody has said."""
        return self._mapping.words.get("met", {}).get("", "")

    def _carry(self, cells: dict[str, Cell]) -> None:
        for name in self._mapping.carried:
            if name in cells:
                cells[name] = self._above.get(name) if cells[name] is None else cells[name]
                self._above[name] = cells[name]

    def _numbered(self) -> Iterator[tuple[int, dict[str, str]]]:
        longest = max(map(len, self._wide.values()))
        for place in range(longest):
            yield place + 1, {name: heads[place] for name, heads in self._wide.items() if place < len(heads)}

    def _one_of_many(
        self, line: int, values: dict[str, Any], sound: bool, number: int, heads: dict[str, str]
    ) -> list[Draft]:
        cells = {name: self._cell(line, head) for name, head in heads.items()}
        nothing = all(cell is None for cell in cells.values())
        if nothing and ("met" not in heads or not self._counts(line, heads)):
            return []
        more = {name: self._value(name, cell, line, heads[name]) for name, cell in cells.items()}
        good = sound and _FAULT not in more.values()
        return self._finished(
            line, {**values, **more, "rep": number}, good, {**self._mapping.columns, **heads}
        )

    def _counts(self, line: int, heads: dict[str, str]) -> bool:
        """Whether an empty place among a session's reps is one; asked once a line where nobody has said."""
        meant, where = self._empty_is(), f"line {line}"
        if not meant and not any(one.rule == "empty-place" and one.where == where for one in self.findings):
            text = (
                f"The column {heads['met']} is empty: a rep that was not met, or no rep at all? "
                "Say what an empty cell means."
            )
            self.findings.append(Finding("empty-place", where, text))
        return meant in ("0", "1")

    def _values(self, line: int, cells: dict[str, Cell]) -> tuple[dict[str, Any], bool]:
        heads = self._mapping.columns
        values = {name: self._value(name, cell, line, heads[name]) for name, cell in cells.items()}
        for name, said in self._mapping.given.items():
            if name not in self._mapping.columns and name not in self._wide:
                values[name] = self._given(name, said)
        return values, _FAULT not in values.values()

    def _given(self, name: str, said: str) -> Any:
        """A value for the whole sheet; it is said once where it cannot be."""
        try:
            if name == "step" and said not in self._steps:
                raise ValueError("The programme has no such step. Choose one of its steps")
            return READERS[name](said)
        except (KeyError, ValueError) as fault:
            why = str(fault) if isinstance(fault, ValueError) else "It is not given for a whole sheet"
            found = Finding("wrong-given", f"{BY_KEY[name].name}, for the sheet", f"It is {said!r}. {why}.")
            if found not in self.findings:
                self.findings.append(found)
            return _FAULT

    def _value(self, name: str, cell: Cell, line: int, head: str) -> Any:
        try:
            return self._read(name, cell)
        except ValueError as fault:
            said = "empty" if cell is None else repr(text_of(cell))
            self._fault("wrong-value", line, head, f"{BY_KEY[name].name} is {said}. {fault}.")
            return _FAULT

    def _read(self, name: str, cell: Cell) -> Any:
        kind = BY_KEY[name].kind
        if kind == "length":
            unit = self._mapping.units.get(name, "s")
            return _within(name, read_length(cell, unit=unit, clock_as=self._mapping.clock_as))
        if kind == "word":
            return self._word(name, cell)
        if cell is None:
            if name in ("rep", "time", "cues", "session"):
                return () if name == "cues" else None
            if name in GIVEN:
                return READERS[name](GIVEN[name])
            raise ValueError("Fill it in, or let empty cells take the value above")
        if kind == "day":
            return read_moment(cell, self._mapping.order)
        if kind == "clock":
            return read_clock(cell)
        if kind == "number":
            return READERS[name](f"{read_number(cell, unit='m'):.10g}")
        if kind == "count":
            return READERS[name](text_of(cell).lstrip("#").strip())
        if kind == "words":
            return tuple(text_of(cell).replace(",", " ").replace(";", " ").split())
        return self._named(name, cell)

    def _named(self, name: str, cell: Cell) -> str:
        if isinstance(cell, datetime | date | time):
            raise ValueError("It is a day or a time and no name. Check the column")
        return self._mapping.words.get(name, {}).get(key_of(cell)) or text_of(cell)

    def _word(self, name: str, cell: Cell) -> Any:
        word = key_of(cell)
        listed = self._mapping.words.get(name, {})
        if cell is None and listed.get(word) == NO_REP:
            raise ValueError("Empty was said to be no rep, but the line says more of it. Fill it in")
        if listed.get(word):
            return self._step(listed[word]) if name == "step" else READERS[name](listed[word])
        if cell is None:
            return self._empty(name)
        if name == "step":
            return self._step(text_of(cell))
        _require_no_count(name, cell)
        known = known_words(name).get(word)
        if known is None:
            raise ValueError("Nobody has said what this word means. Choose its meaning")
        return READERS[name](known)

    def _step(self, key: str) -> str:
        if key not in self._steps:
            raise ValueError("The programme has no step of this key or name. Choose the step this word means")
        return key

    def _empty(self, name: str) -> Any:
        if name in ("ended_by", "paid"):
            return None
        if name in GIVEN:
            return READERS[name](GIVEN[name])
        if name == "met":
            raise ValueError("Fill it in, or say what an empty cell means")
        raise ValueError("Fill it in, or let empty cells take the value above")

    def _finished(
        self, line: int, values: dict[str, Any], sound: bool, heads: Table[str, str]
    ) -> list[Draft]:
        """A whole rep: what follows from other values is filled in."""
        if not sound:
            return []
        hold_s, ask_s = values.get("hold_s"), values.get("ask_s")
        if values.get("met") is None:
            if hold_s is None or ask_s is None:
                text = "Hold or ask is empty, so nothing says whether the rep was met. Fill it in."
                self._fault("no-met", line, heads.get("hold_s", ""), text)
                return []
            values["met"] = hold_s >= ask_s
        met = bool(values["met"])
        filled = {"ask_s": ask_s, "hold_s": hold_s, "cues": (), **values}
        filled["ended_by"] = values.get("ended_by") or ("mark" if met else "dog")
        filled["paid"] = met if values.get("paid") is None else values["paid"]
        return [Draft(line, filled)]

    def _fault(self, rule: str, line: int, head: str, text: str) -> None:
        self.findings.append(Finding(rule, self._layout.place(line, head), text))


_FAULT = object()
"""Stands for a value that could not be read."""


def _within(name: str, length_s: float | None) -> float | None:
    if length_s is not None:
        READERS[name](f"{length_s:.10g}")
    return length_s


def _require_no_count(name: str, cell: Cell) -> None:
    """Say what is wrong with cells that count reps instead of telling them one by one."""
    if name not in ("met", "paid"):
        return
    counts = counts_in(cell)
    whole = isinstance(cell, int | float) and not isinstance(cell, bool) and cell > 1
    if counts or whole or (isinstance(cell, str) and cell.isascii() and cell.isdigit() and int(cell) > 1):
        raise ValueError(
            "It counts reps and does not say in which order they came, and the call depends on the order. "
            "Write one line, or one column, for each rep"
        )
    if isinstance(cell, datetime | date):
        raise ValueError(
            "It is a day: a spreadsheet turns 8/10 into one. If it counts reps, write one line for each rep"
        )
