"""A mapping: which column says what, what its words mean, and what holds for columns the sheet lacks.

Conventions
-----------
A mapping is plain data, so that it can be shown, sent by a form, kept on the record and used again. Columns
go by the name in the header. ``given`` holds text as the rep table writes it, for fields no column says. A
word is a cell in small letters; the empty word is an empty cell.
"""

from collections.abc import Mapping as Table
from dataclasses import dataclass, field
from typing import Any

from nares.base.errors import Unknown, Unusable
from nares.decide.sheets.fields import BY_KEY, SERIES
from nares.decide.sheets.lengths import CLOCKS, UNITS
from nares.decide.sheets.moments import ORDERS

NAMINGS = ("as written", "dog and name", "dog, day and name", "dog and day")
"""How sessions are called: by the sheet's own names, or by these parts."""

LAYOUTS = ("rep", "session")
"""What one line of the table is."""

GIVEN = {
    "hand": "inside",
    "pay_place": "inside",
    "distance_m": "0",
    "disturbance": "0",
    "source": "target",
    "cues": "target",
}
"""What holds for a field that no column says, until the trainer says otherwise."""

NO_REP = "none"
"""What an empty cell may mean where it would say whether a rep was met: that there was no rep."""

CARRIED = ("dog", "session", "day", "time", "step")
"""Fields whose empty cells may take the value above, as in a sheet with merged cells."""


@dataclass(frozen=True, slots=True)
class Mapping:
    """How a sheet is read.

    Attributes:
        header_line: The last line of the header; 0 where there is none.
        one_line: What one line is, one of `LAYOUTS`.
        columns: Field to column.
        series: With one line a session: field to its columns, one for each rep in order.
        words: Field to word to value.
        given: Field to value, where no column says it.
        order: Which of day and month comes first, one of `moments.ORDERS`; empty while nobody has said.
        units: Field to the unit its bare numbers count.
        clock_as: How times of day are meant where a length is wanted, one of `lengths.CLOCKS`.
        zone: The time zone of times that carry none.
        naming: How sessions are called, one of `NAMINGS`.
        carried: Fields whose empty cells take the value above.
    """

    header_line: int = 1
    one_line: str = "rep"
    columns: Table[str, str] = field(default_factory=dict)
    series: Table[str, tuple[str, ...]] = field(default_factory=dict)
    words: Table[str, Table[str, str]] = field(default_factory=dict)
    given: Table[str, str] = field(default_factory=dict)
    order: str = ""
    units: Table[str, str] = field(default_factory=dict)
    clock_as: str = "min:s"
    zone: str = ""
    naming: str = "dog and day"
    carried: tuple[str, ...] = ()


def require_mapping(mapping: Mapping, heads: tuple[str, ...]) -> None:
    """Refuse a mapping that cannot be, whatever the cells hold.

    Raises:
        Unknown: If it names a field or a column that does not exist.
        Unusable: If a choice is none of those there are, or a column is used twice.
    """
    for name in (*mapping.columns, *mapping.series, *mapping.given, *mapping.words, *mapping.units):
        if name not in BY_KEY:
            raise Unknown(f"There is no field {name!r}. The fields are: {', '.join(BY_KEY)}.")
    used = [*mapping.columns.values(), *(head for heads_ in mapping.series.values() for head in heads_)]
    for head in used:
        if head not in heads:
            raise Unknown(f"The sheet has no column {head!r}. Its columns are: {', '.join(heads)}.")
        if used.count(head) > 1:
            raise Unusable(f"The column {head!r} is used for two things. Say the one it means.")
    for name in mapping.series:
        if name not in SERIES:
            raise Unusable(f"Columns for each rep hold one of {', '.join(SERIES)}, not {name}. Choose one.")
    _one_of(mapping.one_line, LAYOUTS, "What one line is")
    _one_of(mapping.order, ("", *ORDERS), "The order of day and month")
    _one_of(mapping.clock_as, CLOCKS, "How times are meant")
    _one_of(mapping.naming, NAMINGS, "How sessions are called")
    for unit in mapping.units.values():
        _one_of(unit, UNITS, "The unit of a length of time")


def _one_of(said: str, known: tuple[str, ...], what: str) -> None:
    if said not in known:
        choices = ", ".join(choice for choice in known if choice)
        raise Unusable(f"{what} is {said!r}. Choose one of: {choices}.")


def as_plain(mapping: Mapping) -> dict[str, Any]:
    """A mapping as values JSON can hold."""
    return {
        "header_line": mapping.header_line,
        "one_line": mapping.one_line,
        "columns": dict(mapping.columns),
        "series": {name: list(heads) for name, heads in mapping.series.items()},
        "words": {name: dict(words) for name, words in mapping.words.items()},
        "given": dict(mapping.given),
        "order": mapping.order,
        "units": dict(mapping.units),
        "clock_as": mapping.clock_as,
        "zone": mapping.zone,
        "naming": mapping.naming,
        "carried": list(mapping.carried),
    }


def from_plain(said: Table[str, Any]) -> Mapping:
    """A mapping from such values; what is not said is as in a new one.

    Raises:
        Unusable: If a value is of the wrong kind.
    """
    try:
        known = {name: value for name, value in said.items() if name in Mapping.__dataclass_fields__}
        known["series"] = {name: tuple(map(str, heads)) for name, heads in said.get("series", {}).items()}
        known["words"] = {name: dict(words) for name, words in said.get("words", {}).items()}
        known["carried"] = tuple(map(str, said.get("carried", ())))
        known["header_line"] = int(said.get("header_line", 1))
        for name in ("columns", "given", "units"):
            known[name] = {str(key): str(value) for key, value in said.get(name, {}).items()}
        return Mapping(**known)
    except (AttributeError, TypeError, ValueError) as fault:
        raise Unusable(f"This is no mapping of a sheet ({fault}). Make it anew from the sheet.") from None
