"""What must hold before anything about a line-up is written: the order of things, and what was sealed.

Conventions
-----------
`NEW` holds what is looked at once, `ALWAYS` what must also hold after an
amendment. Runs go one after another: placed, begun, then called and observed in either order, then open.
Who may say what is a matter of seats, which the desk looks at; that nothing is said out of order is
looked at here, inside the transaction that writes.
"""

import math
import re
from collections.abc import Callable
from typing import Any

import msgspec

from nares.base.errors import NaresError, OutOfRange, Refused, Unknown
from nares.base.lineups import Area, Visit
from nares.base.times import read_utc
from nares.design.keys import commitment_of, run_commitment_of, runs_from
from nares.record.kinds_lineups import (
    CallMade,
    KeyOpened,
    KeySeen,
    LineupSealed,
    RunBegun,
    RunObserved,
    RunOpened,
    RunPlaced,
    RunVoided,
    SeatTaken,
)
from nares.record.lineup_rows import RunRow, area_row, run_row, run_rows, sealed_row
from nares.record.tables import Cursor

_SHA256 = re.compile(r"[0-9a-f]{64}")
_SECRET = ("seed", "nonce", "key", "placed")
_LONGEST = 200


def _name(text: str, what: str) -> None:
    if not text.strip() or text != text.strip() or not text.isprintable() or len(text) > _LONGEST:
        raise Refused(f"{what} {text!r} is empty, too long, or holds blanks or signs around it. Give a name.")


def _why(text: str) -> None:
    if not text.strip():
        raise Refused("A reason is missing. Say why, in a few words.")


def _new_sealed(cursor: Cursor, said: LineupSealed) -> None:
    _name(said.lineup, "The line-up's name")
    cursor.execute("SELECT 1 FROM dogs WHERE dog = ?", (said.dog,))
    if cursor.fetchone() is None:
        raise Unknown(f"There is no dog called {said.dog!r}. Add the dog first.")
    cursor.execute("SELECT entry FROM lineups WHERE lineup = ?", (said.lineup,))
    if (row := cursor.fetchone()) is not None:
        raise Refused(f"There is already a line-up {said.lineup!r} (entry {row[0]}). Give another name.")
    for commitment in (said.commitment, *said.run_commitments):
        if not _SHA256.fullmatch(commitment):
            raise Refused(f"{commitment!r} is no commitment. Give 64 lower case hex digits.")
    if not said.run_commitments or len(set(said.run_commitments)) != len(said.run_commitments):
        raise Refused("A line-up has one commitment for each of its runs, no two the same. Draw it again.")
    cursor.execute("SELECT lineup FROM lineups WHERE commitment = ?", (said.commitment,))
    if (row := cursor.fetchone()) is not None:
        raise Refused(f"Line-up {row[0]!r} was sealed with the same key. Draw with fresh chance.")
    if any(word in said.asked for word in _SECRET):
        raise Refused("What was asked for holds part of the key. Seal the line-up without it.")
    _require_area(said.area)
    for role, person in said.people.items():
        _name(person, f"The name of the {role}")


def _require_area(area: Area) -> None:
    _name(area.place, "The place of a line-up")
    if not area.spots or [spot.position for spot in area.spots] != list(range(1, len(area.spots) + 1)):
        raise Refused("The positions of a line-up count 1, 2, 3 … without a gap. Number them again.")


def _open_lineup(cursor: Cursor, lineup: str) -> None:
    """Refuse a line-up nobody sealed, or one that is closed."""
    cursor.execute("SELECT closed_at FROM lineups WHERE lineup = ?", (lineup,))
    row = cursor.fetchone()
    if row is None:
        raise Unknown(f"There is no line-up called {lineup!r}. Look it up on the page Line-ups.")
    if row[0] is not None:
        raise Refused(f"Line-up {lineup!r} was closed at {row[0]}. Draw another one.")


def _running(cursor: Cursor, lineup: str, run: int) -> RunRow:
    """A run that is neither void nor open, of a line-up that is not closed."""
    _open_lineup(cursor, lineup)
    row = run_row(cursor, lineup, run)
    if row.void_entry is not None:
        raise Refused(f"Run {run} of {lineup} is void (entry {row.void_entry}). Go on with the next one.")
    if row.opened_entry is not None:
        raise Refused(
            f"Run {run} of {lineup} is open already (entry {row.opened_entry}): what it held is known."
        )
    return row


def _new_seat(cursor: Cursor, said: SeatTaken) -> None:
    _open_lineup(cursor, said.lineup)
    named = sealed_row(cursor, said.lineup).people.get(said.role)
    if said.person != named:
        raise Refused(
            f"The {said.role}'s seat of {said.lineup} is not for {said.person!r}, but for {named!r}."
        )


def _new_seen(cursor: Cursor, said: KeySeen) -> None:
    _open_lineup(cursor, said.lineup)
    _name(said.person, "The name of who was shown the key")
    if not said.runs:
        raise Refused("It is not said which runs were seen. Name them.")
    for run in said.runs:
        run_row(cursor, said.lineup, run)


def _new_placed(cursor: Cursor, said: RunPlaced) -> None:
    row = _running(cursor, said.lineup, said.run)
    if row.placed_entry is not None:
        raise Refused(f"Run {said.run} of {said.lineup} was placed already (entry {row.placed_entry}).")
    for before in run_rows(cursor, said.lineup):
        if before.run < said.run and before.opened_entry is None and before.void_entry is None:
            raise Refused(f"Run {before.run} of {said.lineup} is neither open nor void. Finish it first.")


def _new_begun(cursor: Cursor, said: RunBegun) -> None:
    row = _running(cursor, said.lineup, said.run)
    if row.begun_entry is not None:
        raise Refused(f"Run {said.run} of {said.lineup} has begun already (entry {row.begun_entry}).")
    if row.placed_entry is None:
        raise Refused(
            f"Run {said.run} of {said.lineup} is not placed yet. Wait for the placer to be out of sight."
        )


def _always_begun(cursor: Cursor, said: RunBegun) -> None:
    for person in said.present:
        _name(person, "The name of somebody present")


def _new_call(cursor: Cursor, said: CallMade) -> None:
    row = _running(cursor, said.lineup, said.run)
    if row.called_entry is not None:
        raise Refused(
            f"The call of run {said.run} of {said.lineup} stands already (entry {row.called_entry}). "
            "Void the run if it cannot stand."
        )
    if row.begun_entry is None and not said.on_paper:
        raise Refused(f"Run {said.run} of {said.lineup} has not begun. Wait for the evaluator.")
    _position(cursor, said.lineup, said.position)
    _name(said.person, "The name of who called")
    try:
        read_utc(said.made_at)
    except OutOfRange as fault:
        raise Refused(str(fault)) from None


def _always_observed(cursor: Cursor, said: RunObserved) -> None:
    row = _running(cursor, said.lineup, said.run)
    if row.begun_entry is None and not row.on_paper:
        raise Refused(f"Run {said.run} of {said.lineup} has not begun. Begin it first.")
    seen = said.observed
    if seen.run != said.run:
        raise Refused(f"What was seen is of run {seen.run}, not of run {said.run}. Correct the run.")
    _position(cursor, said.lineup, seen.alerted_at)
    _seconds(seen.latency_s, "The latency")
    for visit in seen.visits:
        _require_visit(cursor, said.lineup, visit)


def _require_visit(cursor: Cursor, lineup: str, visit: Visit) -> None:
    _position(cursor, lineup, visit.position)
    _seconds(visit.from_s, "The start of a visit")
    _seconds(visit.stayed_s, "The length of a visit")


def _seconds(value: float | None, what: str) -> None:
    if value is not None and not (math.isfinite(value) and value >= 0):
        raise Refused(f"{what} is {value:g} s. It cannot be less than 0.")


def _position(cursor: Cursor, lineup: str, position: int | None) -> None:
    spots = len(area_row(cursor, lineup).spots)
    if position is not None and not 1 <= position <= spots:
        raise Refused(f"Position {position} does not exist. {lineup} has positions 1 to {spots}.")


def _new_observed(cursor: Cursor, said: RunObserved) -> None:
    sql = "SELECT entry FROM lineup_observed WHERE lineup = ? AND run = ? AND role = ?"
    cursor.execute(sql, (said.lineup, said.run, said.role))
    if (row := cursor.fetchone()) is not None:
        raise Refused(
            f"What the {said.role} saw in run {said.run} of {said.lineup} stands already (entry {row[0]}). "
            "Amend that entry before the run is opened."
        )
    _name(said.person, "The name of who saw it")


def _new_opened(cursor: Cursor, said: RunOpened) -> None:
    row = _running(cursor, said.lineup, said.run)
    if row.called_entry is None:
        raise Refused(f"Run {said.run} of {said.lineup} has no call yet. It opens after the call only.")
    cursor.execute("SELECT 1 FROM lineup_observed WHERE lineup = ? AND run = ?", (said.lineup, said.run))
    if cursor.fetchone() is None and not row.on_paper:
        raise Refused(
            f"What was seen in run {said.run} of {said.lineup} is not written down yet. "
            "It opens after that only."
        )
    if said.key.run != said.run or run_commitment_of(said.key) != row.commitment:
        raise Refused(
            f"This is not the key that was sealed for run {said.run} of {said.lineup}. Void the run."
        )


def _new_voided(cursor: Cursor, said: RunVoided) -> None:
    row = run_row(cursor, said.lineup, said.run)
    if row.void_entry is not None:
        raise Refused(f"Run {said.run} of {said.lineup} is void already (entry {row.void_entry}).")
    if said.was_open != (row.opened_entry is not None):
        raise Refused(
            f"Run {said.run} of {said.lineup} was {'not ' if said.was_open else ''}open. Look again."
        )


def _always_voided(cursor: Cursor, said: RunVoided) -> None:
    _why(said.why)


def _new_key_opened(cursor: Cursor, said: KeyOpened) -> None:
    _open_lineup(cursor, said.lineup)
    rows = run_rows(cursor, said.lineup)
    for row in rows:
        if row.opened_entry is None and row.void_entry is None:
            raise Refused(f"Run {row.run} of {said.lineup} is neither open nor void. Finish it first.")
    cursor.execute("SELECT commitment FROM lineups WHERE lineup = ?", (said.lineup,))
    wrong = Refused(f"This is not the key that was sealed for {said.lineup}. It stays as it is.")
    try:
        fits = commitment_of(said.key) == cursor.fetchone()[0]
        runs = runs_from(said.key)
    except (NaresError, msgspec.ValidationError, KeyError, TypeError, ValueError):
        raise wrong from None
    if not fits:
        raise wrong
    if [run_commitment_of(run) for run in runs] != [row.commitment for row in rows]:
        raise Refused(f"The key of {said.lineup} has other runs than those that were sealed. Say so openly.")


Guard = Callable[[Cursor, Any], None]
NEW: dict[type[Any], Guard] = {
    LineupSealed: _new_sealed,
    SeatTaken: _new_seat,
    KeySeen: _new_seen,
    RunPlaced: _new_placed,
    RunBegun: _new_begun,
    CallMade: _new_call,
    RunObserved: _new_observed,
    RunOpened: _new_opened,
    RunVoided: _new_voided,
    KeyOpened: _new_key_opened,
}
ALWAYS: dict[type[Any], Guard] = {
    RunBegun: _always_begun,
    RunObserved: _always_observed,
    RunVoided: _always_voided,
}
