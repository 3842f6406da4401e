"""Rep tables: brought in whole or not at all, written out oldest first."""

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from datetime import datetime

from nares.app.confirming import call_again
from nares.app.deeds import ImportReps, Receipt
from nares.app.desk import Desk
from nares.app.files import read_text
from nares.base.errors import NotEnoughData, Refused, Unknown
from nares.base.findings import Finding, refuse_if_any
from nares.base.vocab import Rep
from nares.decide import read_rep_table, write_rep_table
from nares.record.store import Proposed


def import_reps(desk: Desk, asked: ImportReps) -> Receipt:
    """Bring a rep table into the record: a session, its reps and the call after it, for every session.

    Raises:
        Unusable: If the table has a fault, naming every one with its place.
        Unknown: If it names a dog that is not on the record and dogs are not to be added.
        Refused: If a session of that name is already on the record.
    """
    reps = read_rep_table(read_text(asked.table)).reps
    if not reps:
        raise NotEnoughData(f"The rep table {asked.table.name} holds no reps. Add one row for each rep.")
    known = {dog.dog for dog in desk.store.dogs()}
    new = list(dict.fromkeys(rep.dog for rep in reps if rep.dog not in known))
    if new and not asked.add_dogs:
        raise Unknown(
            f"The table names dogs that are not on the record: {', '.join(new)}. "
            "Check the spelling, or add them: nares dog add, or --add-dogs."
        )
    refuse_if_any(_shared_names(reps), what=f"The rep table {asked.table.name}")
    _require_new_sessions(desk, reps)
    by, now = desk.by(asked.by), desk.now()
    written = desk.store.append_all(_entries(desk, reps, new, by, now))
    sessions = len({rep.session for rep in reps})
    span = f"entries {written[0].number} to {written[-1].number}"
    said = f"{len(reps)} reps of {sessions} sessions are on the record: {span}."
    return Receipt(written[-1].number, written[-1].digest, said)


def reps_table(desk: Desk, dog: str | None = None) -> str:
    """The confirmed reps as a rep table, oldest first; reps set aside are left out.

    Raises:
        Unknown: If there is no such dog.
    """
    if dog is not None:
        desk.store.dog(dog)
    return write_rep_table([row.rep for row in desk.store.reps(dog=dog)])


def _entries(
    desk: Desk, reps: Sequence[Rep], new: Sequence[str], by: str, now: datetime
) -> Iterator[Proposed]:
    for dog in new:
        yield Proposed("dog_added", {"dog": dog, "breed": "not given"}, now, by)
    for session in by_session(reps):
        yield from session_entries(session, by)
    for dog in dict.fromkeys(rep.dog for rep in reps):
        yield from call_again(desk, dog, now, by)


def by_session(reps: Sequence[Rep]) -> list[tuple[Rep, ...]]:
    """Reps of a table session by session, in order of their numbers; rows of two sessions may be mixed."""
    sessions: dict[str, list[Rep]] = {}
    for rep in reps:
        sessions.setdefault(rep.session, []).append(rep)
    return [tuple(sorted(rows, key=lambda rep: rep.rep)) for rows in sessions.values()]


def _shared_names(reps: Sequence[Rep]) -> Iterator[Finding]:
    """A session is one dog's: its name alone must say which."""
    for session in by_session(reps):
        dogs = list(dict.fromkeys(rep.dog for rep in session))
        if len(dogs) > 1:
            text = f"It holds reps of {' and '.join(dogs)}. Give each dog's session a name of its own."
            yield Finding("shared-session", f"session {session[0].session}", text)


def session_entries(reps: Sequence[Rep], by: str) -> Iterator[Proposed]:
    """The entries of one session that was written down without a recording."""
    first = reps[0]
    session = {
        "session": first.session,
        "dog": first.dog,
        "step": first.step,
        "started_at": first.started_at,
        "asks_s": [rep.ask_s for rep in reps if rep.ask_s is not None],
        "hand": first.hand,
        "pay_place": first.pay_place,
        "distance_m": first.distance_m,
        "disturbance": first.disturbance,
        "source": first.source,
        "cues": list(first.cues),
    }
    yield Proposed("session_run", session, first.started_at, by)
    confirmed = {"session": first.session, "reading": None, "reps": [asdict(rep) for rep in reps]}
    yield Proposed("reps_confirmed", confirmed, first.started_at, by)


def _require_new_sessions(desk: Desk, reps: Sequence[Rep]) -> None:
    kept = {session.session for session in desk.store.sessions()}
    again = [name for name in dict.fromkeys(rep.session for rep in reps) if name in kept]
    if again:
        more = f" and {len(again) - 3} more" if len(again) > 3 else ""
        raise Refused(
            f"Already on the record: {', '.join(again[:3])}{more}. "
            "Leave these sessions out of the table, or correct them with nares session correct."
        )


def reps_of_table(text: str) -> tuple[Rep, ...]:
    """The reps of a rep table given as text.

    Raises:
        Unusable: If the table has a fault, naming every one.
    """
    return read_rep_table(text).reps


def sessions_kept(desk: Desk) -> dict[str, str]:
    """When each session on the record began, by its name."""
    return {session.session: session.started_at for session in desk.store.sessions()}


def keep_session(desk: Desk, reps: Sequence[Rep], by: str) -> Receipt:
    """Keep one session that was written down without a recording, and the call after it.

    Raises:
        Unknown: If there is no such dog.
        Refused: If a session of that name is already on the record.
    """
    dog, now = reps[0].dog, desk.now()

    def entries() -> Iterator[Proposed]:
        yield from session_entries(reps, by)
        yield from call_again(desk, dog, now, by)

    newest = desk.store.append_all(entries())[-1]
    return Receipt(
        newest.number, newest.digest, f"Session {reps[0].session} is on the record.", reps[0].session
    )
