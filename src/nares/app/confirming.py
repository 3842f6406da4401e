"""What a person stands by: confirm reps as proposed, correct them, set them aside. Each decides anew.

A rep confirmed with other values than proposed keeps the machine's reading beside it. A rep that was
already confirmed is amended value by value, so that every old value stays visible. A deed that says what was
seen is refused when something newer is said of the same rep or value: looked at before, for the sentence, and
again inside the transaction, where nobody can come between.
"""

import csv
import io
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import asdict
from datetime import datetime
from functools import partial

from nares.app.deciding import decide_for, step_called
from nares.app.deeds import Amend, ConfirmReps, CorrectRep, Receipt, SetAside
from nares.app.desk import Desk
from nares.app.pages import RepLine
from nares.app.sessions import changed_meanwhile, rep_lines, require_unchanged, shown
from nares.app.standing import timeline_of
from nares.base.errors import Refused, Unknown
from nares.base.findings import refuse_if_any
from nares.base.vocab import Rep
from nares.decide.repcells import COLUMNS, cell_of
from nares.decide.reptable import parse_rep_table
from nares.record.pointer import value_at
from nares.record.store import Proposed

NOT_SEEN = {"ended_by": "", "met": "", "paid": ""}
"""What a person must say of a rep whose end was not seen: left out, the rep is refused by name."""


def confirm_reps(desk: Desk, asked: ConfirmReps) -> Receipt:
    """Stand by reps of a session, as proposed or with other values, and decide again.

    Raises:
        Unknown: If there is no such session or rep.
        Refused: If nothing is left to confirm, or values differ and no reason is given.
    """
    lines = {line.rep: line for line in rep_lines(desk, asked.session)}
    rows = _proposed(asked.session, lines) if asked.reps is None else list(asked.reps)
    fresh = partial(require_unchanged, desk, asked.session, [row.rep for row in rows], asked.seen)
    fresh()
    known = [row for row in rows if _stands(_line_of(asked.session, lines, row.rep))]
    new = [row for row in rows if row not in known]
    _require_why(asked, new, known, lines)
    entries = [*_confirmed(desk, asked, new), *_amended(asked, known, lines, desk)]
    if not entries:
        raise Refused(f"Nothing of session {asked.session} is left to confirm: every value is as given.")
    return _write(desk, asked.session, entries, desk.by(asked.by), _said(asked, rows, lines), fresh)


def _said(asked: ConfirmReps, rows: Sequence[Rep], lines: Mapping[int, RepLine]) -> str:
    one = len(rows) == 1
    back = all(lines[row.rep].state == "set aside" for row in rows)
    done = ("counts again" if one else "count again") if back else "confirmed"
    left = _left_for_a_look(lines) if asked.reps is None else ""
    return f"{'Rep' if one else 'Reps'} {_listed(rows)} of {asked.session} {done}.{left}"


def correct_rep(desk: Desk, asked: CorrectRep) -> Receipt:
    """Correct values of one rep, given as text under the names of the rep table's columns.

    Raises:
        Unknown: If there is no such session, rep or column.
        Unusable: If a value cannot be, naming the column.
        Refused: If dog, session or number would be another: that would say it of another rep.
    """
    lines = {line.rep: line for line in rep_lines(desk, asked.session)}
    line = _line_of(asked.session, lines, asked.rep)
    unknown = [name for name in asked.changes if name not in COLUMNS]
    if unknown:
        raise Unknown(f"A rep has no value {unknown[0]!r}. Its values are: {', '.join(COLUMNS)}.")
    cells = {name: cell_of(line.start, name) for name in COLUMNS}
    if line.kept is None and line.proposed is None:
        cells |= NOT_SEEN
    table = parse_rep_table(_one_row({**cells, **asked.changes}))
    refuse_if_any(table.findings, what=f"Rep {asked.rep} of {asked.session}")
    _require_same_rep(asked, table.reps[0], cells["dog"])
    return confirm_reps(desk, ConfirmReps(asked.session, asked.by, table.reps, asked.why, asked.seen))


def _require_same_rep(asked: CorrectRep, row: Rep, dog: str) -> None:
    meant = {"dog": dog, "session": asked.session, "rep": asked.rep}
    for name in (name for name, value in meant.items() if getattr(row, name) != value):
        raise Refused(
            f"The {name} of a rep is not corrected: {meant[name]} would become {getattr(row, name)}. "
            "Set the rep aside, and give the right rep its values."
        )


def set_aside(desk: Desk, asked: SetAside) -> Receipt:
    """Say that a rep was none, or cannot be used, and decide again.

    Raises:
        Unknown: If there is no such session or rep.
        Refused: If no reason is given.
    """
    lines = {line.rep: line for line in rep_lines(desk, asked.session)}
    _line_of(asked.session, lines, asked.rep)
    fresh = partial(require_unchanged, desk, asked.session, [asked.rep], asked.seen)
    fresh()
    payload = {"session": asked.session, "rep": asked.rep, "why": asked.why}
    said = f"Rep {asked.rep} of {asked.session} is set aside."
    return _write(desk, asked.session, [("rep_set_aside", payload)], desk.by(asked.by), said, fresh)


def amend(desk: Desk, asked: Amend) -> Receipt:
    """Correct one value of an entry in the open; the old value stays visible.

    Raises:
        Unknown: If there is no such entry or value.
        Refused: If that value cannot be amended, or nothing would change.
    """
    fresh = partial(_require_still_held, desk, asked)
    fresh()
    held = desk.store.present(asked.entry).payload
    old = value_at(held, asked.field)
    payload = {"entry": asked.entry, "field": asked.field, "old": old, "new": asked.new, "why": asked.why}
    session = held.get("session")
    said = f"Entry {asked.entry} now holds {asked.new!r} at {asked.field}; {old!r} stays beside it."
    entries = [("amended", payload), *_follows(desk, asked, old)]
    return _write(desk, session, entries, desk.by(asked.by), said, fresh)


def _follows(desk: Desk, asked: Amend, old: object) -> Iterator[tuple[str, object]]:
    """A session's step or start corrected: reps confirmed under the old one go along, each in the open."""
    name = asked.field.removeprefix("/")
    entry = desk.store.entry(asked.entry)
    if entry.kind != "session_run" or name not in ("step", "started_at"):
        return
    for kept in desk.store.reps(session=entry.payload["session"], also_set_aside=True):
        if getattr(kept.rep, name) == old:
            pointer = f"/reps/{kept.place}/{name}"
            change = {"entry": kept.entry, "field": pointer, "old": old, "new": asked.new, "why": asked.why}
            yield "amended", change


def _require_still_held(desk: Desk, asked: Amend) -> None:
    """Refuse to amend what somebody amended after this person looked: the value, its parts or the whole."""
    newer = (one for one in desk.store.changes(entry=asked.entry) if one.entry > (asked.seen or 0))
    for one in () if asked.seen is None else newer:
        if f"{one.field}/".startswith(f"{asked.field}/") or f"{asked.field}/".startswith(f"{one.field}/"):
            where = f"{one.field} of entry {asked.entry}, now {shown(one.new)},"
            raise Refused(changed_meanwhile(desk, where, one.entry))


def _write(
    desk: Desk,
    session: str | None,
    entries: Sequence[tuple[str, object]],
    by: str,
    said: str,
    fresh: Callable[[], None],
) -> Receipt:
    """Write the entries and the call that follows from them in one transaction."""
    now = desk.now()
    dog = None if session is None else desk.store.session(session).dog

    def proposed() -> Iterator[Proposed]:
        fresh()
        yield from (Proposed(kind, payload, now, by) for kind, payload in entries)
        # Reached when the entries above are written but not yet kept, so the call counts them.
        yield from () if dog is None else call_again(desk, dog, now, by)

    written = desk.store.append_all(proposed())
    newest = written[-1]
    return Receipt(newest.number, newest.digest, f"{said} Entry {written[0].number}.", session)


def call_again(desk: Desk, dog: str, at: datetime, by: str) -> Iterator[Proposed]:
    """Decide anew for a dog; nothing where there are no reps to decide on."""
    reps = [row.rep for row in desk.store.reps(dog=dog)]
    if reps:
        payload = step_called(decide_for(desk, dog, reps), reps[-1].session)
        yield Proposed("step_called", payload, at, by)


def _proposed(session: str, lines: dict[int, RepLine]) -> list[Rep]:
    waiting = [line for line in lines.values() if line.kept is None and line.state == "measured"]
    rows = [line.proposed for line in waiting if line.proposed is not None and not line.low_certainty]
    if not rows:
        left = _left_for_a_look(lines)
        raise Refused(f"Session {session} has no measured rep that can be confirmed as it is.{left}")
    return rows


def _left_for_a_look(lines: Mapping[int, RepLine]) -> str:
    """Say which reps are too uncertain to be confirmed unseen; nothing when there is none."""
    unsure = [line for line in lines.values() if line.state == "measured" and line.low_certainty]
    if not unsure:
        return ""
    one = len(unsure) == 1
    reps = f"Rep {_listed(unsure)} needs" if one else f"Reps {_listed(unsure)} need"
    return f" {reps} a person's look: the measurement is uncertain."


def _listed(reps: Sequence[Rep | RepLine]) -> str:
    return ", ".join(str(one.rep) for one in reps)


def _line_of(session: str, lines: dict[int, RepLine], rep: int) -> RepLine:
    if rep not in lines:
        known = ", ".join(map(str, lines)) or "none"
        raise Unknown(f"Session {session} has no rep {rep}. Its reps are: {known}.")
    return lines[rep]


def _stands(line: RepLine) -> bool:
    """Whether a person stands by this rep now; one set aside is confirmed anew, not amended."""
    return line.kept is not None and line.state != "set aside"


def _require_why(asked: ConfirmReps, new: list[Rep], known: list[Rep], lines: dict[int, RepLine]) -> None:
    differing = [row for row in new if lines[row.rep].proposed not in (None, row)] + known
    if differing and not asked.why.strip():
        raise Refused(f"Rep {differing[0].rep} differs from what was measured or confirmed. Say why.")
    back = [row for row in new if lines[row.rep].state == "set aside"]
    if back and not asked.why.strip():
        raise Refused(f"Rep {back[0].rep} was set aside. Say why it counts after all.")


def _confirmed(desk: Desk, asked: ConfirmReps, new: list[Rep]) -> list[tuple[str, object]]:
    if not new:
        return []
    timeline = timeline_of(desk, asked.session)
    rows = [asdict(row) for row in new]
    number = None if timeline is None else timeline.entry
    return [("reps_confirmed", {"session": asked.session, "reading": number, "reps": rows, "why": asked.why})]


def _amended(
    asked: ConfirmReps, known: list[Rep], lines: dict[int, RepLine], desk: Desk
) -> list[tuple[str, object]]:
    """One amendment for every value of a confirmed rep that is to be different."""
    where = {row.rep.rep: row for row in desk.store.reps(session=asked.session, also_set_aside=True)}
    entries: list[tuple[str, object]] = []
    for row in known:
        kept = where[row.rep]
        old, new = asdict(kept.rep), asdict(row)
        for name in (name for name in old if old[name] != new[name]):
            pointer = f"/reps/{kept.place}/{name}"
            change = {
                "entry": kept.entry,
                "field": pointer,
                "old": old[name],
                "new": new[name],
                "why": asked.why,
            }
            entries.append(("amended", change))
    return entries


def _one_row(cells: Mapping[str, str]) -> str:
    """A rep table of one row, so that a corrected value is read by the same rules as an imported one."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerows([cells.keys(), cells.values()])
    return out.getvalue()
