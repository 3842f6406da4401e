"""What must already be on the record, and what must be so, before an entry is written.

Conventions
-----------
One guard for each kind, run inside the transaction that writes, so that nothing can come between looking and
writing. A guard writes nothing. It raises `Unknown` for a name nobody has given and `Refused` for a fact that
cannot be; an amendment is judged by the payload that would hold after it.
"""

import hashlib
import json
import math
import re
from collections.abc import Callable
from datetime import date
from typing import Any

from nares.base.errors import OutOfRange, Refused, Unknown
from nares.base.times import read_utc
from nares.base.vocab import Region, Rep
from nares.care.ration import Ration
from nares.record import guards_lineups
from nares.record.canonical import canonical
from nares.record.edits import require_admitted, require_numbered
from nares.record.guards_cues import new_cue
from nares.record.guards_signs import new_clearing, new_signs
from nares.record.kinds import (
    Amended,
    CallOverruled,
    CueNamed,
    DogAdded,
    EventsCorrected,
    KennelFounded,
    OverrulingWithdrawn,
    ProgrammeKept,
    RationSet,
    ReadingMade,
    RecordingKept,
    RepsConfirmed,
    RepSetAside,
    SessionPlanned,
    SessionRun,
    SheetImported,
    SignsCleared,
    SignsSeen,
    StepCalled,
)
from nares.record.payloads import fitted, require_amendable, understood
from nares.record.pointer import value_at, with_value
from nares.record.projections.fold import present
from nares.record.tables import Cursor

SHA256 = re.compile(r"[0-9a-f]{64}")
LONGEST_NAME = 200
_JOINERS = {0x200C: None, 0x200D: None}
"""Invisible, but needed to write names in several scripts."""


def guard(cursor: Cursor, said: Any) -> None:
    """Refuse a new entry that cannot be.

    Raises:
        Unknown: If it names a dog, a session, a rep or an entry nobody has given.
        Refused: If it contradicts the record or itself.
    """
    if isinstance(said, Amended):
        _guard_amended(cursor, said)
        return
    _NEW.get(type(said), _nothing)(cursor, said)
    _ALWAYS.get(type(said), _nothing)(cursor, said)


def _nothing(cursor: Cursor, said: Any) -> None:
    """No guard for this kind."""


def _row(cursor: Cursor, sql: str, *values: Any) -> tuple[Any, ...] | None:
    cursor.execute(sql, values)
    row: tuple[Any, ...] | None = cursor.fetchone()
    return row


def _dog(cursor: Cursor, name: str) -> None:
    if _row(cursor, "SELECT 1 FROM dogs WHERE dog = ?", name) is None:
        raise Unknown(f"There is no dog called {name!r}. Add the dog first.")


def _session_dog(cursor: Cursor, session: str) -> str:
    row = _row(cursor, "SELECT dog FROM sessions WHERE session = ?", session)
    if row is None:
        raise Unknown(f"There is no session called {session!r}. Write the session first.")
    return str(row[0])


def _require_name(name: str, what: str) -> None:
    if not name.strip() or name != name.strip():
        raise Refused(f"{what} {name!r} is empty or has blanks around it. Give it a name.")
    if not name.translate(_JOINERS).isprintable():
        raise Refused(f"{what} {name!r} holds characters nobody can see. Give it a name without them.")
    if len(name) > LONGEST_NAME:
        raise Refused(f"{what} has {len(name)} characters. Give a shorter one, up to {LONGEST_NAME}.")


def _require_why(why: str) -> None:
    if not why.strip():
        raise Refused("A reason is missing. Say why, in a few words.")


def _require_digest(text: str) -> None:
    if not SHA256.fullmatch(text):
        raise Refused(f"{text!r} is no SHA-256. Give 64 lower case hex digits.")


def _require_not_negative(value: float | None, what: str) -> None:
    if value is not None and not (math.isfinite(value) and value >= 0):
        raise Refused(f"{what} is {value:g}. It cannot be less than 0.")


def _require_disturbance(level: int) -> None:
    if not 0 <= level <= 3:
        raise Refused(f"Disturbance {level} does not exist. Give 0 (none) to 3.")


def _require_time(text: str) -> None:
    try:
        read_utc(text)
    except OutOfRange as fault:
        raise Refused(str(fault)) from None


def _new_founding(cursor: Cursor, said: KennelFounded) -> None:
    row = _row(cursor, "SELECT max(entry) FROM lines")
    if row and row[0] is not None:
        raise Refused("The kennel is founded by the first entry only. This record already has entries.")


def _new_dog(cursor: Cursor, said: DogAdded) -> None:
    _require_name(said.dog, "The dog's name")
    row = _row(cursor, "SELECT entry FROM dogs WHERE dog = ?", said.dog)
    if row is not None:
        raise Refused(f"There is already a dog called {said.dog!r} (entry {row[0]}). Give another name.")


def _always_programme(cursor: Cursor, said: ProgrammeKept) -> None:
    _require_name(said.name, "The programme's name")
    if hashlib.sha256(said.text.encode()).hexdigest() != said.sha256:
        raise Refused(
            f"The text of programme {said.name!r} does not have the digest given. Compute it again."
        )


def _new_session(cursor: Cursor, said: SessionRun) -> None:
    _require_name(said.session, "The session's name")
    row = _row(cursor, "SELECT entry FROM sessions WHERE session = ?", said.session)
    if row is not None:
        raise Refused(
            f"There is already a session called {said.session!r} (entry {row[0]}). Give another name."
        )


def _always_session(cursor: Cursor, said: SessionRun) -> None:
    _dog(cursor, said.dog)
    _require_name(said.step, "The step")
    if said.marked_by:
        _require_name(said.marked_by, "The name of who marked")
    _require_time(said.started_at)
    for ask_s in said.asks_s:
        _require_not_negative(ask_s, "An ask in seconds")
    _require_not_negative(said.distance_m, "The distance in metres")
    _require_disturbance(said.disturbance)
    for region in (said.front, said.side):
        _require_region(region)


def _require_region(region: tuple[float, float, float, float] | None) -> None:
    try:
        _ = region and Region(*region)
    except OutOfRange as fault:
        raise Refused(str(fault)) from None


def _new_recording(cursor: Cursor, said: RecordingKept) -> None:
    _session_dog(cursor, said.session)
    sql = "SELECT entry FROM recordings WHERE session = ? AND sha256 = ?"
    row = _row(cursor, sql, said.session, said.sha256)
    if row is not None:
        raise Refused(f"Entry {row[0]} already keeps this recording with session {said.session!r}.")


def _always_recording(cursor: Cursor, said: RecordingKept) -> None:
    _require_digest(said.sha256)
    _require_not_negative(said.bytes, "The size in bytes")
    _require_not_negative(said.duration_s, "The duration in seconds")
    _require_not_negative(said.frames_per_s, "The number of frames per second")


def _new_reading(cursor: Cursor, said: ReadingMade) -> None:
    _session_dog(cursor, said.session)
    sql = "SELECT 1 FROM recordings WHERE session = ? AND sha256 = ?"
    if _row(cursor, sql, said.session, said.sha256) is None:
        raise Unknown(
            f"Session {said.session!r} keeps no recording {said.sha256[:12]}…. Keep the recording first."
        )


def _new_corrected(cursor: Cursor, said: EventsCorrected) -> None:
    _session_dog(cursor, said.session)
    if said.sheet == "own":
        _require_name(said.whose, "Whose own sheet this is")
    elif said.reading is None or said.whose:
        raise Refused("A correction of the reading names the reading and no person's own sheet. Name it.")
    if said.reading is not None:
        _reading_of(cursor, said.session, said.reading, "SELECT session FROM readings WHERE entry = ?")
    require_admitted(cursor, said)


def _always_corrected(cursor: Cursor, said: EventsCorrected) -> None:
    require_numbered(said)


def _new_reps(cursor: Cursor, said: RepsConfirmed) -> None:
    if not said.reps:
        raise Refused(f"No reps were given for session {said.session!r}. Give at least one.")
    if said.reading is not None:
        _reading_of(cursor, said.session, said.reading)
    for rep in said.reps:
        _standing(cursor, rep)


_READ_OR_CORRECTED = (
    "SELECT session FROM readings WHERE entry = ? "
    "UNION ALL SELECT session FROM corrections WHERE entry = ? AND sheet = 'reading'"
)


def _reading_of(cursor: Cursor, session: str, number: int, sql: str = _READ_OR_CORRECTED) -> None:
    row = _row(cursor, sql, *[number] * sql.count("?"))
    if row is None:
        raise Unknown(f"Entry {number} is no reading. Give the number of a reading_made entry.")
    if row[0] != session:
        raise Refused(f"Entry {number} is a reading of session {row[0]!r}, not of {session!r}.")


def _standing(cursor: Cursor, rep: Rep) -> None:
    sql = (
        "SELECT entry FROM reps WHERE session = ? AND rep = ? AND standing = 1 AND NOT EXISTS "
        "(SELECT 1 FROM reps_aside a WHERE a.session = reps.session AND a.rep = reps.rep)"
    )
    row = _row(cursor, sql, rep.session, rep.rep)
    if row is not None:
        raise Refused(
            f"Rep {rep.rep} of session {rep.session!r} is already confirmed by entry {row[0]}. "
            "Amend that entry, or set the rep aside first."
        )


def _always_reps(cursor: Cursor, said: RepsConfirmed) -> None:
    dog = _session_dog(cursor, said.session)
    seen: set[int] = set()
    for rep in said.reps:
        if rep.rep in seen:
            raise Refused(
                f"Rep {rep.rep} of session {said.session!r} is given twice. Number the reps 1, 2, 3 …."
            )
        seen.add(rep.rep)
        if rep.session != said.session:
            raise Refused(f"Rep {rep.rep} names session {rep.session!r} in an entry for {said.session!r}.")
        _require_rep(rep)
    _require_one_dog(said, dog)


def _require_one_dog(said: RepsConfirmed, dog: str) -> None:
    for rep in said.reps:
        if rep.dog != dog:
            raise Refused(
                f"Rep {rep.rep} names the dog {rep.dog!r}, but session {said.session!r} was run "
                f"with {dog!r}. Correct the dog."
            )


def _require_rep(rep: Rep) -> None:
    where = f"of rep {rep.rep} in session {rep.session!r}"
    if rep.rep < 1:
        raise Refused(f"Rep {rep.rep} of session {rep.session!r} does not exist. Reps count from 1.")
    _require_not_negative(rep.hold_s, f"The hold in seconds {where}")
    _require_not_negative(rep.ask_s, f"The ask in seconds {where}")
    _require_not_negative(rep.distance_m, f"The distance in metres {where}")
    _require_disturbance(rep.disturbance)
    _require_time(rep.started_at)


def _new_aside(cursor: Cursor, said: RepSetAside) -> None:
    _session_dog(cursor, said.session)
    sql = "SELECT entry FROM reps_aside WHERE session = ? AND rep = ?"
    row = _row(cursor, sql, said.session, said.rep)
    if row is not None:
        raise Refused(f"Rep {said.rep} of session {said.session!r} is already set aside by entry {row[0]}.")
    if not _rep_known(cursor, said.session, said.rep):
        raise Unknown(
            f"Session {said.session!r} has no rep {said.rep}, neither measured "
            "nor confirmed. Check the number."
        )


def _rep_known(cursor: Cursor, session: str, rep: int) -> bool:
    if _row(cursor, "SELECT 1 FROM reps WHERE session = ? AND rep = ?", session, rep):
        return True
    for table in ("readings", "corrections"):
        cursor.execute(f"SELECT reps FROM {table} WHERE session = ?", (session,))
        if any(rep in json.loads(row[0]) for row in cursor.fetchall()):
            return True
    return False


def _new_sheet(cursor: Cursor, said: SheetImported) -> None:
    _require_name(said.name, "The file's name")
    _require_digest(said.sha256)
    _require_not_negative(said.bytes, "The size in bytes")
    if not said.lines:
        raise Refused("A spreadsheet without a rep is not brought in. Choose its columns.")
    if said.kept_as:
        _require_name(said.kept_as, "The mapping's name")
    taken = [name for name in said.lines if _row(cursor, "SELECT 1 FROM sessions WHERE session = ?", name)]
    if taken:
        raise Refused(f"There is already a session called {taken[0]!r}. Leave it out, or give another name.")


def _always_aside(cursor: Cursor, said: RepSetAside) -> None:
    _require_why(said.why)


def _new_call(cursor: Cursor, said: StepCalled) -> None:
    _dog(cursor, said.dog)
    if said.last_session is not None:
        _session_dog(cursor, said.last_session)


def _new_overruling(cursor: Cursor, said: CallOverruled) -> None:
    _dog(cursor, said.dog)
    sql = "SELECT step, entry FROM calls WHERE dog = ? ORDER BY entry DESC LIMIT 1"
    row = _row(cursor, sql, said.dog)
    if row is None:
        raise Unknown(f"Nothing has been called for {said.dog!r} yet, so there is no call to overrule.")
    if said.overrules not in (None, row[1]):
        raise Refused(
            f"The newest call for {said.dog!r} is entry {row[1]}, not entry {said.overrules}. Look again."
        )
    if row[0] != said.step:
        raise Refused(
            f"The newest call for {said.dog!r} is at step {row[0]!r}, not {said.step!r}. Overrule that."
        )


def _always_overruling(cursor: Cursor, said: CallOverruled) -> None:
    _require_why(said.why)
    for ask_s in said.asks_s:
        _require_not_negative(ask_s, "An ask in seconds")


def _new_withdrawal(cursor: Cursor, said: OverrulingWithdrawn) -> None:
    _dog(cursor, said.dog)
    sql = "SELECT entry, overruled_entry FROM calls WHERE dog = ? ORDER BY entry DESC LIMIT 1"
    row = _row(cursor, sql, said.dog)
    if row is None or row[1] != said.overruling:
        raise Refused(
            f"Entry {said.overruling} is not what stands against the newest call for {said.dog!r}. "
            "Look again."
        )


def _always_with_why(cursor: Cursor, said: OverrulingWithdrawn | SignsCleared) -> None:
    _require_why(said.why)


def _new_signs(cursor: Cursor, said: SignsSeen) -> None:
    _dog(cursor, said.dog)
    if said.session is not None and _session_dog(cursor, said.session) != said.dog:
        raise Refused(f"Session {said.session!r} was run with another dog, not with {said.dog!r}.")
    new_signs(said)


def _always_signs(cursor: Cursor, said: SignsSeen) -> None:
    if said.rep is not None and said.rep < 1:
        raise Refused(f"Rep {said.rep} does not exist. Reps count from 1.")


def _new_clearing(cursor: Cursor, said: SignsCleared) -> None:
    _dog(cursor, said.dog)
    new_clearing(cursor, said)


def _new_ration(cursor: Cursor, said: RationSet) -> None:
    _dog(cursor, said.dog)


def _always_ration(cursor: Cursor, said: RationSet) -> None:
    try:
        date.fromisoformat(said.day)
        Ration(said.ration_g, said.reward_g, said.bowl_g, said.rewards, said.rewards_per_rep)
    except OutOfRange as fault:
        raise Refused(str(fault)) from None
    except ValueError:
        raise Refused(f"{said.day!r} is not a day. Write it like 2026-03-14.") from None


def _new_plan(cursor: Cursor, said: SessionPlanned) -> None:
    _dog(cursor, said.dog)
    _require_name(said.step, "The step")
    if [rep.rep for rep in said.reps] != list(range(1, len(said.reps) + 1)) or not said.reps:
        raise Refused("The reps of a card are numbered 1, 2, 3 …, at least one. Plan the session again.")
    row = _row(cursor, "SELECT max(entry) FROM calls WHERE dog = ?", said.dog)
    newest = row[0] if row else None
    if newest != said.from_call:
        raise Refused(
            f"The card of {said.dog!r} follows an older call than the newest one, entry {newest}. "
            "Open the card again and take that."
        )


def _guard_amended(cursor: Cursor, said: Amended) -> None:
    _require_why(said.why)
    target = present(cursor, said.entry)
    require_amendable(target.kind, said.field)
    now = value_at(target.payload, said.field)
    if canonical(now) != canonical(said.old):
        raise Refused(
            f"Entry {said.entry} now holds {_shown(now)} at {said.field}, not {_shown(said.old)}. Look again."
        )
    if canonical(now) == canonical(said.new):
        raise Refused(
            f"Entry {said.entry} already holds {_shown(now)} at {said.field}. There is nothing to amend."
        )
    payload = with_value(dict(target.payload), said.field, said.new)
    stated = _fitted_as(target.kind, payload)
    _ALWAYS.get(type(stated), _nothing)(cursor, stated)


def _fitted_as(kind: str, payload: dict[str, Any]) -> Any:
    """The payload as its dataclass, refused when it does not fit."""
    return understood(kind, fitted(kind, payload))


def _shown(value: Any) -> str:
    text = json.dumps(value, ensure_ascii=False)
    return text if len(text) <= 60 else f"{text[:57]}…"


Guard = Callable[[Cursor, Any], None]
_NEW: dict[type[Any], Guard] = {
    KennelFounded: _new_founding,
    DogAdded: _new_dog,
    SessionRun: _new_session,
    RecordingKept: _new_recording,
    ReadingMade: _new_reading,
    EventsCorrected: _new_corrected,
    RepsConfirmed: _new_reps,
    RepSetAside: _new_aside,
    SheetImported: _new_sheet,
    StepCalled: _new_call,
    CallOverruled: _new_overruling,
    RationSet: _new_ration,
    SessionPlanned: _new_plan,
    OverrulingWithdrawn: _new_withdrawal,
    SignsSeen: _new_signs,
    SignsCleared: _new_clearing,
    **guards_lineups.NEW,
    CueNamed: new_cue,
}
"""What is looked at once, when the entry is new."""

_ALWAYS: dict[type[Any], Guard] = {
    ProgrammeKept: _always_programme,
    SessionRun: _always_session,
    RecordingKept: _always_recording,
    EventsCorrected: _always_corrected,
    RepsConfirmed: _always_reps,
    RepSetAside: _always_aside,
    CallOverruled: _always_overruling,
    RationSet: _always_ration,
    OverrulingWithdrawn: _always_with_why,
    SignsSeen: _always_signs,
    SignsCleared: _always_with_why,
    **guards_lineups.ALWAYS,
}
"""What must hold of the values themselves, also after an amendment."""
