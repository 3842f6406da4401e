"""From a mapped sheet to reps: every fault by line and column, every rep with the line it came from.

Conventions
-----------
A sheet with any fault gives no rep at all. Where the sheet does not say who ended a hold, a rep that was met
is taken as ended by the mark and one that was not as ended by the dog; where it does not say what was paid, a
met rep was. Both are said. A sheet that only counts (8 of 10) is refused: in which order the reps came
decides the call, and nobody can give an order back that was not written down.
"""

from collections.abc import Iterator, Sequence
from collections.abc import Mapping as Table
from dataclasses import dataclass, field
from datetime import datetime, time, timedelta, tzinfo

from nares.base.findings import Finding
from nares.base.times import utc_text
from nares.base.vocab import Rep
from nares.decide.sheets.cells import Sheet
from nares.decide.sheets.fields import BY_KEY
from nares.decide.sheets.layout import Layout, lay_out
from nares.decide.sheets.mapping import Mapping, require_mapping
from nares.decide.sheets.row import Draft, RowReader
from nares.decide.sheets.sessions import Dated, named_sessions

NAMED_APART = ("day", "time", "session", "rep")
"""Fields that make a session's name, a rep's number and its time."""

MOST_FINDINGS = 200
"""Faults named of one sheet; a sheet with more is mapped wrongly. [count]"""


@dataclass(frozen=True, slots=True)
class SheetRep:
    """One rep and the line of the sheet it came from."""

    rep: Rep
    line: int


@dataclass(frozen=True, slots=True)
class SheetRead:
    """A sheet as read. ``reps`` is empty when there is any finding.

    ``passed_over``: lines that are no reps, with the reason. ``notes``: what was taken for granted.
    """

    reps: tuple[SheetRep, ...]
    findings: tuple[Finding, ...]
    passed_over: tuple[Finding, ...] = ()
    notes: tuple[str, ...] = ()
    layout: Layout = field(default=Layout(0, (), (), ()))


def read_sheet(sheet: Sheet, mapping: Mapping, *, zone: tzinfo, steps: Table[str, str]) -> SheetRead:
    """Read the reps of a sheet by a mapping.

    Args:
        sheet: The cells.
        mapping: What they mean.
        zone: The time zone of times that carry none.
        steps: The steps of the programme, key to name; a step that is none of them is a fault.

    Raises:
        Unknown: If the mapping names a field or a column that does not exist.
        Unusable: If the mapping cannot be.
    """
    layout = lay_out(sheet, mapping.header_line)
    require_mapping(mapping, layout.heads)
    missing = list(_missing(mapping))
    if missing:
        return SheetRead((), tuple(missing), layout.passed_over, (), layout)
    reader = RowReader(sheet, layout, mapping, frozenset(steps))
    drafts, passed = [], list(layout.passed_over)
    for line in layout.lines:
        found = reader.read(line)
        passed += [found] if isinstance(found, Finding) else []
        drafts += found if isinstance(found, list) else []
    faults = list(reader.findings)
    reps: list[SheetRep] = []
    if not faults and not drafts:
        faults = [
            Finding("no-reps", "the sheet", "No line below the header is a rep. Check the header line.")
        ]
    if not faults:
        reps, faults = _reps(drafts, mapping, zone)
    passed.sort(key=lambda one: int(one.where.split()[-1]))
    kept = () if faults else tuple(reps)
    return SheetRead(
        kept, tuple(faults[:MOST_FINDINGS]), tuple(passed), tuple(_notes(mapping, drafts)), layout
    )


def _missing(mapping: Mapping) -> Iterator[Finding]:
    """Fields without which there is no rep."""
    said = {*mapping.columns, *mapping.given}
    wide = mapping.series if mapping.one_line == "session" else {}
    for name in ("dog", "day", "step"):
        if name not in said:
            text = "No column says it. Choose its column" + (
                "." if name == "day" else ", or give one value for the whole sheet."
            )
            yield Finding("missing", BY_KEY[name].name, text)
    if mapping.one_line == "session" and not wide:
        text = (
            "No columns are chosen for the reps. With one line a session each rep needs a column of its own."
        )
        yield Finding("missing", "Reps", text)
    known = {*said, *wide}
    if "met" not in known and not {"hold_s", "ask_s"} <= known:
        text = (
            "No column says it, and hold and ask together do not either. "
            "Choose the column that says whether a rep was met."
        )
        yield Finding("missing", BY_KEY["met"].name, text)


def _reps(drafts: Sequence[Draft], mapping: Mapping, zone: tzinfo) -> tuple[list[SheetRep], list[Finding]]:
    whole = mapping.one_line == "session"
    dated = [_dated(draft, zone, whole=whole) for draft in drafts]
    names, faults = named_sessions(dated, mapping.naming)
    started = _starts(dated, names)
    count: dict[str, int] = {}
    first: dict[tuple[str, int], int] = {}
    reps = []
    for draft, name in zip(drafts, names, strict=True):
        count[name] = count.get(name, 0) + 1
        number = draft.values.get("rep") or count[name]
        if (name, number) in first:
            text = (
                f"Rep {number} of session {name} already stands on line {first[name, number]}. "
                "Give every rep its own number, or choose no column for it."
            )
            faults.append(Finding("repeated-rep", f"line {draft.line}", text))
        first.setdefault((name, number), draft.line)
        values = {key: value for key, value in draft.values.items() if key not in NAMED_APART}
        rep = Rep(session=name, rep=number, started_at=utc_text(started[name]), **values)
        reps.append(SheetRep(rep, draft.line))
    return reps, faults


def _dated(draft: Draft, zone: tzinfo, *, whole: bool) -> Dated:
    moment = draft.values["day"]
    clock: time | None = draft.values.get("time") or moment.clock
    at = datetime.combine(moment.day, clock or time(12), moment.zone or zone)
    return Dated(
        draft.line,
        draft.values["dog"],
        draft.values.get("session"),
        at,
        clock is not None,
        draft.values.get("rep"),
        whole,
    )


def _starts(dated: Sequence[Dated], names: Sequence[str]) -> dict[str, datetime]:
    """When each session began: its earliest time; sessions of one day without one follow a minute apart."""
    starts: dict[str, datetime] = {}
    timed: dict[str, bool] = {}
    for one, name in zip(dated, names, strict=True):
        starts[name] = min(starts.get(name, one.at), one.at)
        timed[name] = one.timed
    taken: dict[tuple[str, datetime], int] = {}
    dogs = {name: one.dog for one, name in zip(dated, names, strict=True)}
    for name, at in starts.items():
        if not timed[name]:
            number = taken.get((dogs[name], at), 0)
            taken[dogs[name], at] = number + 1
            starts[name] = at + timedelta(minutes=number)
    return starts


def _notes(mapping: Mapping, drafts: Sequence[Draft]) -> Iterator[str]:
    """What is taken for granted because the sheet does not say it."""
    said = {*mapping.columns, *mapping.given, *(mapping.series if mapping.one_line == "session" else ())}
    if "met" not in said:
        yield "Met is taken from the hold and the ask: a rep whose hold reached its ask was met."
    if "ended_by" not in said:
        yield (
            "Who ended the hold is not in the sheet: a rep that was met is taken as ended by the mark, "
            "one that was not as ended by the dog."
        )
    if "paid" not in said:
        yield "What was paid is not in the sheet: a rep that was met is taken as paid."
    if "hold_s" not in said:
        yield "Holds are not in the sheet: these reps say nothing of how long the dog holds."
    if "rep" not in said and mapping.one_line == "rep":
        yield "Reps are numbered in the order of their lines: the first line of a session is its first rep."
    if drafts and not any(draft.values.get("time") or draft.values["day"].clock for draft in drafts):
        yield (
            "Times of day are not in the sheet: sessions are put at noon, and several on one day a minute "
            "apart in the order of their lines."
        )
    for name in ("hand", "pay_place", "distance_m", "disturbance", "source"):
        if name in mapping.given and name not in mapping.columns:
            yield f"{BY_KEY[name].name} is not in the sheet: {mapping.given[name]} is taken for every rep."
