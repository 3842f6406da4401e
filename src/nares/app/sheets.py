"""A trainer's own spreadsheet: looked at with a mapping, kept whole or not at all, and the call after it.

Looking and keeping read the sheet by the same function, so what was previewed is what is kept. The record
says of these reps that they come from a spreadsheet: its name, its digest, how it was read, and the line of
each rep.
"""

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from nares.app.confirming import call_again
from nares.app.deciding import programme_of, shipped_programme_text, step_name
from nares.app.deeds import ImportSheet, LookAtSheet, Receipt
from nares.app.desk import Desk
from nares.app.sheet_files import SheetFile, read_sheet_file
from nares.app.sheets_page import (
    RepFromLine,
    SheetBefore,
    SheetColumn,
    SheetPage,
    SheetSession,
    SheetsPage,
    SheetWord,
)
from nares.app.tables import by_session, session_entries
from nares.app.zones import zone_of
from nares.base.errors import Refused, Unknown
from nares.base.findings import Finding, refuse_if_any
from nares.base.times import read_utc
from nares.decide import read_programme
from nares.decide.isolation.easing import step_of
from nares.decide.sheets import (
    CARRIED,
    FIELDS,
    SheetRead,
    SheetRep,
    as_plain,
    from_plain,
    lay_out,
    propose,
    read_sheet,
    text_of,
    with_known_words,
    words_in,
)
from nares.decide.sheets import (
    Mapping as SheetMapping,
)
from nares.decide.sheets.cells import letter
from nares.record.found import SheetKept
from nares.record.store import Proposed

EXAMPLES = 4
"""First things of a column that are shown. [count]"""

FIRST_REPS = 12
"""First reps that are shown. [count]"""

AHEAD = timedelta(minutes=2)
"""A session may begin this much after the clock's time, as on the record."""


@dataclass(frozen=True, slots=True)
class _Looked:
    """A sheet as read by a mapping: what it holds, what of it is new, and every fault."""

    file: SheetFile
    mapping: SheetMapping
    read: SheetRead
    reps: tuple[SheetRep, ...]
    known: frozenset[str]
    new_dogs: tuple[str, ...]
    findings: tuple[Finding, ...]


def sheet_page(desk: Desk, asked: LookAtSheet) -> SheetPage:
    """Show a spreadsheet, how it would be read, and what would be kept. Nothing is written.

    Raises:
        Unusable: If the file or the mapping cannot be used at all.
        Unknown: If there is no such sheet, column, field or kept mapping.
    """
    looked = _look(desk, asked)
    read, mapping = looked.read, looked.mapping
    lines = {(one.rep.session, one.rep.rep): one.line for one in read.reps}
    every = by_session([one.rep for one in read.reps])
    ordered = [rep for session in every for rep in session]
    seen = words_in(looked.file.sheet, mapping)
    return SheetPage(
        sha256=looked.file.sha256,
        name=asked.name or asked.path.name,
        sheets=looked.file.names,
        sheet=looked.file.sheet.name,
        mapping=as_plain(mapping),
        seen=_digest(looked.file, mapping),
        columns=_columns(looked),
        words={
            name: tuple(SheetWord(word, mapping.words.get(name, {}).get(word, "")) for word in words)
            for name, words in seen.items()
        },
        steps=_steps(desk),
        dogs=tuple(dog.dog for dog in desk.store.dogs()),
        findings=looked.findings,
        passed_over=read.passed_over,
        notes=read.notes,
        reps=len(looked.reps),
        first_reps=tuple(RepFromLine(lines[rep.session, rep.rep], rep) for rep in ordered[:FIRST_REPS]),
        sessions=tuple(
            SheetSession(
                rows[0].session,
                rows[0].dog,
                rows[0].started_at,
                rows[0].step,
                len(rows),
                sum(rep.met for rep in rows),
                rows[0].session in looked.known,
            )
            for rows in every
        ),
        dogs_in_it=tuple(dict.fromkeys(rep.dog for rep in ordered)),
        new_dogs=looked.new_dogs,
        kept_mappings=tuple(kept_mappings(desk)),
        before=tuple(one.entry for one in desk.store.sheets() if one.sha256 == looked.file.sha256),
        sound=not looked.findings and bool(looked.reps),
        fields=_fields(),
        carriable=CARRIED,
    )


def sheets_page(desk: Desk) -> SheetsPage:
    """Show what was brought in before, and by which mappings the next one can be read."""
    before = tuple(_before(desk, one) for one in desk.store.sheets())
    return SheetsPage(tuple(kept_mappings(desk)), before, _fields())


def _fields() -> dict[str, str]:
    return {field.key: field.name for field in FIELDS}


def _before(desk: Desk, one: SheetKept) -> SheetBefore:
    lines = desk.store.entry(one.entry).payload["lines"]
    return SheetBefore(
        one.entry, one.name, one.at, one.by, sum(map(len, lines.values())), len(lines), one.kept_as
    )


def import_sheet(desk: Desk, asked: ImportSheet) -> Receipt:
    """Put the reps of a spreadsheet on the record, with where they come from and the call after them.

    Raises:
        Unusable: If anything in it cannot be read, naming every line; nothing is kept then.
        Refused: If its sessions are on the record already, or the mapping is not the one that was looked at.
    """
    looked = _look(desk, asked.look)
    if asked.seen and asked.seen != _digest(looked.file, looked.mapping):
        raise Refused(
            "The mapping was changed since the preview, or the file is another. Look at the preview again."
        )
    name = asked.look.name or asked.look.path.name
    refuse_if_any(looked.findings, what=f"The spreadsheet {name}")
    if not looked.reps:
        raise Refused("Every session of this spreadsheet is on the record already. Nothing was kept.")
    by, now = desk.by(asked.by), desk.now()
    written = desk.store.append_all(_entries(desk, asked, looked, name, by, now))
    return Receipt(written[-1].number, written[-1].digest, _said(desk, looked, name, written[0].number))


def kept_mappings(desk: Desk) -> dict[str, dict[str, Any]]:
    """The mappings kept under a name, the newest of each name."""
    kept: dict[str, dict[str, Any]] = {}
    for one in desk.store.sheets():
        if one.kept_as:
            kept.setdefault(one.kept_as, one.mapping)
    return dict(sorted(kept.items()))


def _look(desk: Desk, asked: LookAtSheet) -> _Looked:
    file = read_sheet_file(asked.path, asked.sheet)
    mapping = _mapping(desk, asked, file)
    read = read_sheet(file.sheet, mapping, zone=zone_of(mapping.zone), steps=_steps(desk))
    kept = {session.session for session in desk.store.sessions()}
    dogs = {dog.dog for dog in desk.store.dogs()}
    known = frozenset(one.rep.session for one in read.reps) & kept
    new = () if not asked.only_new else known
    reps = tuple(one for one in read.reps if one.rep.session not in new)
    new_dogs = tuple(dict.fromkeys(one.rep.dog for one in read.reps if one.rep.dog not in dogs))
    more = [*_times_ahead(desk, reps), *_foreign_steps(desk, reps, dogs)]
    if known and not asked.only_new:
        more.append(_already(sorted(known)))
    if new_dogs and not asked.add_dogs:
        text = f"{', '.join(new_dogs)}: not on the record. Check the spelling, or have them added."
        more.append(Finding("new-dogs", "Dogs", text))
    return _Looked(file, mapping, read, reps, known, new_dogs, (*read.findings, *more))


def _mapping(desk: Desk, asked: LookAtSheet, file: SheetFile) -> SheetMapping:
    """The mapping that was said, else one kept under a name, else a proposal; known words filled in."""
    dogs, steps = [dog.dog for dog in desk.store.dogs()], _steps(desk)
    if asked.mapping is not None:
        mapping = from_plain(asked.mapping)
    elif asked.use:
        known = kept_mappings(desk)
        if asked.use not in known:
            names = f" Kept are: {', '.join(known)}." if known else " None is kept yet."
            raise Unknown(f"No mapping is kept under the name {asked.use!r}.{names}")
        mapping = from_plain(known[asked.use])
    else:
        mapping = propose(file.sheet, dogs=dogs, steps=steps, header_line=asked.header_line)
    return with_known_words(mapping, file.sheet, dogs, steps)


def _digest(file: SheetFile, mapping: SheetMapping) -> str:
    said = json.dumps([file.sha256, file.sheet.name, as_plain(mapping)], sort_keys=True, ensure_ascii=False)
    return hashlib.sha256(said.encode()).hexdigest()[:16]


def _steps(desk: Desk) -> dict[str, str]:
    """Every step of every programme in use: key to name."""
    names = dict.fromkeys(dog.programme for dog in desk.store.dogs())
    programmes = [programme_of(desk, name) for name in names] or [read_programme(shipped_programme_text())]
    return {step.key: step.name for programme in programmes for step in programme.steps}


def _times_ahead(desk: Desk, reps: Sequence[SheetRep]) -> Iterator[Finding]:
    latest = desk.now() + AHEAD
    for line in dict.fromkeys(one.line for one in reps if read_utc(one.rep.started_at) > latest):
        text = "The day is still to come. Check the date, the order of day and month, and the time zone."
        yield Finding("time-ahead", f"line {line}", text)


def _foreign_steps(desk: Desk, reps: Sequence[SheetRep], dogs: set[str]) -> Iterator[Finding]:
    """A step of another programme than the dog's own."""
    pairs = {(one.rep.dog, one.rep.step): one.line for one in reversed(reps) if one.rep.dog in dogs}
    for (dog, key), line in pairs.items():
        programme = desk.store.dog(dog).programme
        if step_of(programme_of(desk, programme), key) is None:
            text = f"{dog} works through the programme {programme}, which has no step {key}. Choose another."
            yield Finding("foreign-step", f"line {line}", text)


def _already(names: Sequence[str]) -> Finding:
    more = f" and {len(names) - 3} more" if len(names) > 3 else ""
    text = f"{', '.join(names[:3])}{more}: on the record already. Leave them out by taking new sessions only."
    return Finding("known-sessions", "Sessions", text)


def _columns(looked: _Looked) -> tuple[SheetColumn, ...]:
    layout = lay_out(looked.file.sheet, looked.mapping.header_line)
    meant = {head: name for name, head in looked.mapping.columns.items()}
    meant |= {head: f"reps:{name}" for name, heads in looked.mapping.series.items() for head in heads}
    return tuple(
        SheetColumn(head, letter(place), meant.get(head, ""), _examples(looked, layout.lines, place))
        for place, head in enumerate(layout.heads)
    )


def _examples(looked: _Looked, lines: Sequence[int], place: int) -> tuple[str, ...]:
    cells = (text_of(looked.file.sheet.cell(line, place)) for line in lines[:200])
    return tuple(dict.fromkeys(cell for cell in cells if cell))[:EXAMPLES]


def _entries(
    desk: Desk, asked: ImportSheet, looked: _Looked, name: str, by: str, now: datetime
) -> Iterator[Proposed]:
    for dog in looked.new_dogs:
        if any(one.rep.dog == dog for one in looked.reps):
            yield Proposed("dog_added", {"dog": dog, "breed": "not given"}, now, by)
    lines: dict[str, list[tuple[int, int]]] = {}
    for one in looked.reps:
        lines.setdefault(one.rep.session, []).append((one.rep.rep, one.line))
    origin: Mapping[str, Any] = {
        "name": name,
        "sha256": looked.file.sha256,
        "bytes": looked.file.bytes,
        "sheet": looked.file.sheet.name,
        "mapping": as_plain(looked.mapping),
        "kept_as": asked.keep_as.strip(),
        "lines": lines,
    }
    yield Proposed("sheet_imported", origin, now, by)
    reps = [one.rep for one in looked.reps]
    for session in sorted(by_session(reps), key=lambda rows: read_utc(rows[0].started_at)):
        yield from session_entries(session, by)
    for dog in dict.fromkeys(rep.dog for rep in reps):
        yield from call_again(desk, dog, now, by)


def _said(desk: Desk, looked: _Looked, name: str, first: int) -> str:
    sessions = {one.rep.session for one in looked.reps}
    said = [
        f"{_counted(len(looked.reps), 'rep')} of {_counted(len(sessions), 'session')} from {name} "
        f"{'is' if len(looked.reps) == 1 else 'are'} on the record, from entry {first}."
    ]
    for dog in dict.fromkeys(one.rep.dog for one in looked.reps):
        call = desk.store.latest_call(dog)
        if call is not None:
            programme = programme_of(desk, desk.store.dog(dog).programme)
            said.append(f"{dog}: {call.call} at {step_name(programme, call.step)}.")
    return " ".join(said)


def _counted(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"
