"""Names for the sessions of a sheet, so that a sheet brought in again is known again.

Conventions
-----------
A name is made of what the sheet says alone (dog, day, its own name for the session), never of the moment it
is brought in. Two sessions must not share one name, and one name must not stand for two dogs or two days.
Where the sheet names no session, what a dog did on one day is one; a second begins with another line (one
line a session), with a rep numbered 1 again, or half an hour after the rep before.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from nares.base.findings import Finding

PAUSE = timedelta(minutes=30)
"""Reps further apart than this are of two sessions, where the sheet gives times and no session."""


@dataclass(frozen=True, slots=True)
class Dated:
    """What a session's name is made of.

    ``timed``: whether the sheet gave a time of day. ``rep``: the rep's own number, if the sheet gave one.
    ``whole``: whether the line holds a whole session.
    """

    line: int
    dog: str
    session: str | None
    at: datetime
    timed: bool
    rep: int | None = None
    whole: bool = False


@dataclass(slots=True)
class _Begun:
    """A session of a sheet that names none, while its rows are gathered."""

    name: str
    last: Dated


def named_sessions(rows: Sequence[Dated], naming: str) -> tuple[list[str], list[Finding]]:
    """The name of the session of each row, and the names that cannot be.

    Args:
        rows: One for each rep, in the order of the sheet.
        naming: One of `mapping.NAMINGS`.
    """
    names = _by_day(rows) if naming == "dog and day" else [_name(row, naming) for row in rows]
    findings = []
    first: dict[str, Dated] = {}
    for row, name in zip(rows, names, strict=True):
        found = _fault(row, name, first.setdefault(name, row))
        findings += [found] if found else []
    return names, findings


def _fault(row: Dated, name: str, before: Dated) -> Finding | None:
    where = f"line {row.line}"
    if not name:
        return Finding(
            "no-session", where, "The session has no name. Fill it in, or call sessions by dog and day."
        )
    if before.dog != row.dog:
        text = f"Session {name} is {before.dog}'s on line {before.line} and {row.dog}'s here. "
        return Finding("shared-session", where, text + "Call sessions by dog and name.")
    if before.at.date() != row.at.date():
        text = f"Session {name} is of {before.at.date()} on line {before.line} and of {row.at.date()} here. "
        return Finding("two-days", where, text + "Call sessions by dog, day and name.")
    return None


def _name(row: Dated, naming: str) -> str:
    own = row.session or ""
    if naming == "as written" or not own:
        return own
    day = f" {row.at.date().isoformat()}" if naming == "dog, day and name" else ""
    return f"{row.dog}{day} {own}"


def _by_day(rows: Sequence[Dated]) -> list[str]:
    begun: dict[tuple[str, date], list[_Begun]] = {}
    names = []
    for row in rows:
        day = begun.setdefault((row.dog, row.at.date()), [])
        going = next((one for one in reversed(day) if _goes_on(one.last, row)), None)
        if going is None:
            number = f" ({len(day) + 1})" if day and not row.timed else ""
            clock = f" {row.at:%H.%M}" if row.timed else ""
            going = _Begun(f"{row.dog} {row.at.date().isoformat()}{clock}{number}", row)
            day.append(going)
        going.last = row
        names.append(going.name)
    return names


def _goes_on(last: Dated, row: Dated) -> bool:
    if row.whole or last.whole:
        return last.line == row.line
    if row.rep == 1 and last.rep is not None:
        return False
    return not row.timed or abs(row.at - last.at) <= PAUSE
