"""What is shown of a spreadsheet before its reps are kept, as data."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from nares.base.findings import Finding
from nares.base.vocab import Rep


@dataclass(frozen=True, slots=True)
class SheetColumn:
    """A column: its name and letter, what it is taken for, and the first things in it.

    ``field``: a field's key, ``reps:`` and a field's key for one rep of a session, or empty.
    """

    head: str
    letter: str
    field: str
    examples: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SheetWord:
    """A word of a column, and the value it is taken for; empty while nobody has said."""

    word: str
    value: str


@dataclass(frozen=True, slots=True)
class SheetSession:
    """A session that would be kept. ``known``: one of that name is on the record already."""

    session: str
    dog: str
    started_at: str
    step: str
    reps: int
    met: int
    known: bool


@dataclass(frozen=True, slots=True)
class RepFromLine:
    """A rep as it would be kept, and the line it comes from."""

    line: int
    rep: Rep


@dataclass(frozen=True, slots=True)
class SheetPage:
    """A spreadsheet, how it is read, and what that would put on the record.

    ``fields``: what a column can be taken for, with its name. ``carriable``: fields whose empty cells may
    take the value above. ``mapping`` is plain data (`nares.decide.sheets.as_plain`), ``seen`` its digest,
    by which a door can tell that what is kept is what was looked at. ``first_reps``: the first of ``reps``.
    ``sound``: whether it can be kept. ``kept_mappings``: names under which mappings are kept. ``before``:
    entries that brought in this same file.
    """

    sha256: str
    name: str
    sheets: tuple[str, ...]
    sheet: str
    mapping: Mapping[str, Any]
    seen: str
    columns: tuple[SheetColumn, ...]
    words: Mapping[str, tuple[SheetWord, ...]]
    steps: Mapping[str, str]
    dogs: tuple[str, ...]
    findings: tuple[Finding, ...]
    passed_over: tuple[Finding, ...]
    notes: tuple[str, ...]
    reps: int
    first_reps: tuple[RepFromLine, ...]
    sessions: tuple[SheetSession, ...]
    dogs_in_it: tuple[str, ...]
    new_dogs: tuple[str, ...]
    kept_mappings: tuple[str, ...]
    before: tuple[int, ...]
    sound: bool
    fields: Mapping[str, str]
    carriable: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SheetBefore:
    """A spreadsheet that was brought in before."""

    entry: int
    name: str
    at: str
    by: str
    reps: int
    sessions: int
    kept_as: str


@dataclass(frozen=True, slots=True)
class SheetsPage:
    """Where a spreadsheet is chosen: mappings kept, spreadsheets brought in before, what a sheet can say."""

    kept_mappings: tuple[str, ...]
    before: tuple[SheetBefore, ...]
    fields: Mapping[str, str]
