"""A first mapping for a sheet nobody has mapped yet: by the words in its header and by what its cells hold.

Conventions
-----------
A proposal is shown and changed by the trainer; nothing is read by it unseen. Where a header may mean two
things, the cells decide. What cannot be known (day or month first, a cross that may be a tick) is left
open, and reading the sheet then says so for every line it concerns.
"""

import re
from collections import Counter
from collections.abc import Callable, Sequence
from collections.abc import Mapping as Table
from dataclasses import replace
from datetime import date, time, timedelta

from nares.decide.sheets.cells import Cell, Sheet, key_of, text_of
from nares.decide.sheets.fields import FIELDS, SERIES, field_of_head, known_words, plain_head, unit_of
from nares.decide.sheets.layout import Layout, lay_out
from nares.decide.sheets.lengths import read_length
from nares.decide.sheets.mapping import CARRIED, GIVEN, NO_REP, Mapping
from nares.decide.sheets.moments import ORDERS, order_of, read_clock, read_moment

WORD_FIELDS = ("dog", "step", "met", "paid", "ended_by", "hand", "pay_place", "disturbance", "source")
ENOUGH = 300
"""Cells of a column looked at to see what it holds. [count]"""

PER_REP = ("met", "hold_s", "rep", "paid", "ended_by")
"""What one column cannot say for a line that holds several reps."""

MOST_WORDS = 60
"""A column with more different words than this is no list of words. [count]"""
_NUMBERED = re.compile(r"^(?P<stem>.*?)\s*(?P<number>\d{1,3})$")
_STEMS = {"": "met", "r": "met", "rep": "met", "trial": "met", "try": "met", "t": "met", "h": "hold_s"}


def propose(
    sheet: Sheet,
    *,
    dogs: Sequence[str] = (),
    steps: Table[str, str] | None = None,
    header_line: int | None = None,
    zone: str = "",
) -> Mapping:
    """Propose how to read a sheet.

    Args:
        sheet: The cells.
        dogs: The dogs on the record.
        steps: The steps of their programme: key to name.
        header_line: Where the header ends; looked for when None.
        zone: The time zone of this computer.
    """
    layout = lay_out(sheet, header_line)
    series = _series(sheet, layout)
    taken = {head for heads in series.values() for head in heads}
    columns = _columns(sheet, layout, taken)
    if series:
        columns = {name: head for name, head in columns.items() if name not in PER_REP}
    cells = {name: _column(sheet, layout, head) for name, head in columns.items()}
    said = {**cells, **{name: _cells_of(sheet, layout, heads) for name, heads in series.items()}}
    words = {
        name: _words(name, said[name], dogs, steps or {}, in_series=name in series)
        for name in WORD_FIELDS
        if name in said
    }
    given = {name: value for name, value in GIVEN.items() if name not in columns}
    if "dog" not in columns and len(dogs) == 1:
        given["dog"] = dogs[0]
    return Mapping(
        header_line=layout.header_line,
        one_line="session" if series else "rep",
        columns=columns,
        series=series,
        words={name: found for name, found in words.items() if found},
        given=given,
        order=order_of(cells.get("day", [])),
        units={
            name: _unit(name, columns, series, said[name]) for name in ("hold_s", "ask_s") if name in said
        },
        clock_as=_clock_as(said.get("hold_s", []) + said.get("ask_s", [])),
        zone=zone,
        naming=_naming(cells),
        carried=tuple(name for name in CARRIED if name in cells and _is_carried(cells[name])),
    )


def words_in(sheet: Sheet, mapping: Mapping) -> dict[str, tuple[str, ...]]:
    """Every different word that the mapped columns of words hold, most frequent first."""
    layout = lay_out(sheet, mapping.header_line)
    found: dict[str, tuple[str, ...]] = {}
    for name in WORD_FIELDS:
        single = (mapping.columns[name],) if name in mapping.columns else ()
        heads = mapping.series.get(name, single) if mapping.one_line == "session" else single
        counted = Counter(key_of(cell) for cell in _cells_of(sheet, layout, heads))
        if heads:
            # Elsewhere an empty cell takes what stands above or holds for the whole sheet: it is no word.
            counted.pop("", None) if name not in ("met", "paid") else None
            found[name] = tuple(word for word, _ in counted.most_common(MOST_WORDS))
    return found


def with_known_words(mapping: Mapping, sheet: Sheet, dogs: Sequence[str], steps: Table[str, str]) -> Mapping:
    """The same mapping with a meaning for every word that is known; what the trainer said goes before."""
    words = {}
    for name, seen in words_in(sheet, mapping).items():
        in_series = mapping.one_line == "session" and name in mapping.series
        known = _words(name, [word or None for word in seen], dogs, steps, in_series=in_series)
        words[name] = {**known, **mapping.words.get(name, {})}
    return replace(mapping, words={name: found for name, found in words.items() if found})


def _column(sheet: Sheet, layout: Layout, head: str) -> list[Cell]:
    column = layout.column_of(head)
    return [] if column is None else [sheet.cell(line, column) for line in layout.lines]


def _cells_of(sheet: Sheet, layout: Layout, heads: Sequence[str]) -> list[Cell]:
    return [cell for head in heads for cell in _column(sheet, layout, head)]


def _series(sheet: Sheet, layout: Layout) -> dict[str, tuple[str, ...]]:
    """Columns that are numbered 1, 2, 3 … under one word hold one rep each."""
    stems: dict[str, list[tuple[int, str]]] = {}
    for head in layout.heads:
        found = _NUMBERED.match(plain_head(head))
        if found and not head.startswith("column "):
            stems.setdefault(found["stem"], []).append((int(found["number"]), head))
    series: dict[str, tuple[str, ...]] = {}
    for stem, numbered in stems.items():
        if len(numbered) < 3 or [number for number, _ in numbered] != list(range(1, len(numbered) + 1)):
            continue
        heads = tuple(head for _, head in numbered)
        meant = _series_field(stem, _cells_of(sheet, layout, heads))
        series.setdefault(meant, heads)
    return series


def _series_field(stem: str, cells: list[Cell]) -> str:
    """What a numbered run of columns holds: by its word, else holds where most cells are lengths of time."""
    named = field_of_head(stem)
    if named and named[0] in SERIES:
        return named[0]
    lengths = [cell for cell in cells if cell is not None and key_of(cell) not in known_words("met")]
    filled = [cell for cell in cells if cell is not None]
    long = sum(_reads(read_length, cell) for cell in lengths)
    return "hold_s" if filled and long > len(filled) / 2 else _STEMS.get(stem, "met")


def _columns(sheet: Sheet, layout: Layout, taken: set[str]) -> dict[str, str]:
    """The best column for every field, each column once."""
    offers: list[tuple[float, int, str, str]] = []
    for place, head in enumerate(layout.heads):
        if head in taken:
            continue
        cells = _some([cell for cell in _column(sheet, layout, head) if cell is not None])
        for field in FIELDS:
            score = _score(field.key, field.kind, head, cells)
            if score > 0:
                offers.append((score, -place, field.key, head))
    columns: dict[str, str] = {}
    for _, _, name, head in sorted(offers, reverse=True):
        if name not in columns and head not in columns.values():
            columns[name] = head
    return {field.key: columns[field.key] for field in FIELDS if field.key in columns}


def _some(cells: Sequence[Cell]) -> Sequence[Cell]:
    """Enough cells, from all over a column, to see what it holds."""
    return cells[:: -(-len(cells) // ENOUGH)] if cells else cells


def _score(name: str, kind: str, head: str, cells: Sequence[Cell]) -> float:
    """How well a column fits a field: its header's word, and whether its cells can be read as such."""
    plain = plain_head(head)
    exact = any(plain in field.heads for field in FIELDS if field.key == name)
    found = field_of_head(head)
    worth = 1.0 if exact else found[1] if found and found[0] == name else 0.0
    if not worth and name != "day":
        return 0.0
    fits = _fit(name, kind, cells)
    if not worth:
        # Without a word that says so only what looks like nothing else is proposed.
        return 0.3 * fits if fits > 0.9 and cells and not _bare_numbers(cells) else 0.0
    return worth * (0.2 + 0.8 * fits) if cells else 0.2 * worth


def _bare_numbers(cells: Sequence[Cell]) -> bool:
    return any(map(_is_plain_number, cells))


def _is_plain_number(cell: Cell) -> bool:
    number = isinstance(cell, int | float) and not isinstance(cell, bool)
    return number or (isinstance(cell, str) and cell.isascii() and cell.isdigit())


def _fit(name: str, kind: str, cells: Sequence[Cell]) -> float:
    """The share of filled cells that can be read as this field."""
    if not cells:
        return 0.0
    if kind == "day":
        good = sum(any(_reads(_as_day(order), cell) for order in ORDERS) for cell in cells)
    elif kind == "clock":
        good = sum(_reads(read_clock, cell) for cell in cells)
    elif kind == "length":
        good = sum(_reads(read_length, cell) for cell in cells)
    elif kind in ("number", "count"):
        good = sum(_is_number(cell) for cell in cells)
    elif known := known_words(name):
        good = sum(key_of(cell) in known or key_of(cell) == "x" for cell in cells)
    else:
        good = sum(not isinstance(cell, date | time | timedelta) for cell in cells)
    return good / len(cells)


def _is_number(cell: Cell) -> bool:
    return isinstance(cell, int | float) or bool(re.match(r"^\d+([.,]\d+)?( ?m)?$", text_of(cell)))


def _as_day(order: str) -> Callable[[Cell], object]:
    return lambda cell: read_moment(cell, order)


def _reads(reader: Callable[[Cell], object], cell: Cell) -> bool:
    try:
        return reader(cell) is not None
    except ValueError:
        return False


def _words(
    name: str, cells: Sequence[Cell], dogs: Sequence[str], steps: Table[str, str], *, in_series: bool
) -> dict[str, str]:
    """What the words of a column, or of a series of columns, mean, as far as that is known."""
    seen = {key_of(cell) for cell in cells}
    known = known_words(name)
    if name == "dog":
        known = {dog.casefold(): dog for dog in dogs}
    elif name == "step":
        known = {name.casefold(): key for key, said in steps.items() for name in (said, key)}
    found = {word: known[word] for word in sorted(seen) if word in known}
    if name in ("met", "paid"):
        found |= _crosses(seen, found)
    if in_series and "" in seen:
        # With a word for a miss beside it an empty cell is no rep; beside ticks alone only a person can tell
        # whether it was missed or never asked for, and guessing would drop every miss.
        found.pop("", None)
        found |= {"": NO_REP} if "0" in found.values() else {}
    return found


def _crosses(seen: set[str], found: Table[str, str]) -> dict[str, str]:
    """A cross alone beside empty cells is a tick; beside a word for yes it is a fail; else nobody knows."""
    marks = {word for word in seen if word}
    if marks == {"x"} and "" in seen:
        return {"x": "1", "": "0"}
    if "" in seen and set(found.values()) == {"1"} and len(marks) == 1 and len(min(marks)) == 1:
        return {"": "0"}  # a sign or nothing; beside a written word an empty cell may just be unfilled
    if "x" in marks and set(found.values()) == {"1"}:
        return {"x": "0"}
    if "x" in marks and set(found.values()) == {"0"}:
        return {"x": "1"}
    return {}


def _unit(name: str, columns: Table[str, str], series: Table[str, Sequence[str]], cells: list[Cell]) -> str:
    """The unit the header names; else milliseconds where the numbers are far too large for seconds."""
    head = columns.get(name) or series[name][0]
    told = unit_of(head)
    if told:
        return told
    numbers = sorted(float(text_of(cell)) for cell in cells if _is_plain_number(cell))
    return "ms" if numbers and numbers[len(numbers) // 2] >= 200 else "s"


def _clock_as(cells: list[Cell]) -> str:
    """Times without seconds were typed as minutes and seconds; with seconds they stand as they are."""
    clocks = [cell for cell in cells if isinstance(cell, time)]
    return "h:min:s" if any(cell.second or cell.microsecond for cell in clocks) else "min:s"


def _naming(cells: Table[str, list[Cell]]) -> str:
    """The fewest parts that tell the sessions of a sheet from each other and from those on the record."""
    names = [cell for cell in cells.get("session", []) if cell is not None]
    if not names:
        return "dog and day"
    numbered = all(len(text_of(name)) <= 4 or text_of(name).isdecimal() for name in names)
    named_dogs = zip(cells["session"], cells.get("dog", []), strict=False)
    pairs = {(key_of(name), key_of(dog)) for name, dog in named_dogs}
    shared = len(pairs) > len({name for name, _ in pairs})
    days: dict[str, set[str]] = {}
    for name, day in zip(cells["session"], cells.get("day", []), strict=False):
        if name is not None and day is not None:
            days.setdefault(key_of(name), set()).add(key_of(day)[:10])
    if any(len(found) > 1 for found in days.values()):
        return "dog, day and name"
    return "dog and name" if numbered or shared else "as written"


def _is_carried(cells: list[Cell]) -> bool:
    """Whether empty cells stand below filled ones in a column where every line must say something."""
    return bool(cells) and cells[0] is not None and any(cell is None for cell in cells)
