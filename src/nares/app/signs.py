"""Signs of aversion or stress: written down, looked into, and the page that shows what stands.

Signs of level 2 and above decide anew in the same transaction, whatever the numbers say; so does looking into
them.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta

from nares.app.deciding import decide_for, step_called
from nares.app.deeds import ClearSigns, NoteSigns, Receipt
from nares.app.desk import Desk
from nares.app.standing_signs import signs_of
from nares.base.errors import Refused
from nares.base.times import read_utc
from nares.base.vocab import SignsStanding
from nares.care.latency import Slowing as Slowing
from nares.care.latency import returns_s, slowing
from nares.care.signs import BY_KEY, SIGNS, TO_DO, Sign, level_of, sign_of
from nares.decide.isolation.heeding import EASE_AT
from nares.record.found import Session, SignsKept
from nares.record.store import Proposed

JUST_NOW = timedelta(hours=4)
"""A session that began this long ago or less is the one signs are offered for."""

SESSIONS_OFFERED = 8
"""So many of the newest sessions are offered to say when signs were seen. [count]"""


@dataclass(frozen=True, slots=True)
class SignsLine:
    """Signs seen once. ``names``: in plain words. ``stands``: nobody looked into them and nothing passed."""

    entry: int
    names: tuple[str, ...]
    level: int
    at: str
    by: str
    session: str | None
    rep: int | None
    latency: str
    note: str
    stands: bool
    cleared: int | None
    cleared_why: str
    cleared_by: str


@dataclass(frozen=True, slots=True)
class SignsPage:
    """What was seen of a dog, what stands, and every sign that can be chosen.

    ``session_now``: the session of the last hours, empty where there is none. ``returned``: the newest
    measured session's times from coming out to going in again; not latency.
    """

    dog: str
    standing: SignsStanding
    lines: tuple[SignsLine, ...]
    choices: tuple[Sign, ...]
    to_do: dict[int, str]
    sessions: tuple[str, ...]
    newest: int
    session_now: str = ""
    returned_in: str | None = None
    returned: Slowing | None = None


def note_signs(desk: Desk, asked: NoteSigns) -> Receipt:
    """Write down signs a person saw; from level 2 on the call follows them at once.

    Raises:
        Unknown: If there is no such dog, session or sign.
        Refused: If no sign is given, or the session was another dog's.
        OutOfRange: If the rep cannot be.
    """
    dog = desk.store.dog(asked.dog).dog
    for key in asked.signs:
        sign_of(key)
    if not asked.signs:
        raise Refused("No sign was chosen. Choose what was seen, one or more.")
    level = level_of(asked.signs)
    payload = {
        "dog": dog,
        "signs": list(dict.fromkeys(asked.signs)),
        "level": level,
        "session": asked.session or None,
        "rep": asked.rep,
        "latency": asked.latency.strip(),
        "note": asked.note.strip(),
    }
    written = _write(desk, dog, "signs_seen", payload, desk.by(asked.by))
    stands = signs_of(desk, dog)
    reached = max(level, stands.level)
    said = f"Written down for {dog}, level {reached}. {TO_DO[reached]}"
    if stands.vet:
        said += " A vet sees the dog before more work."
    return Receipt(written.entry, written.digest, said, asked.session or None)


def clear_signs(desk: Desk, asked: ClearSigns) -> Receipt:
    """Say that the signs that stand were looked into, by whom and what was found; the call is made anew.

    Raises:
        Unknown: If there is no such dog.
        Refused: If nothing stands, no reason is given, something newer was seen, or only a vet's look clears.
    """
    dog = desk.store.dog(asked.dog).dog
    stands = signs_of(desk, dog)
    if not stands.entries:
        raise Refused(f"No signs of {dog} stand, so there is nothing to look into.")
    if asked.seen is not None and max(stands.entries) > asked.seen:
        raise Refused(f"New signs of {dog} were written down since this page was opened. Look again.")
    if stands.vet and not asked.vet:
        raise Refused(
            f"A vet is to see {dog} before more work. Say what the vet found, and that it was a vet (--vet)."
        )
    payload = {"dog": dog, "signs": list(stands.entries), "why": asked.why, "vet": asked.vet}
    written = _write(desk, dog, "signs_cleared", payload, desk.by(asked.by))
    return Receipt(written.entry, written.digest, f"The signs of {dog} were looked into. {asked.why}")


def _write(desk: Desk, dog: str, kind: str, payload: dict[str, object], by: str) -> Receipt:
    """Write an entry about signs, and the call that follows where signs came or come before the numbers."""
    now = desk.now()
    before = signs_of(desk, dog)

    def proposed() -> Iterator[Proposed]:
        yield Proposed(kind, payload, now, by)
        # Reached when the entry above is written but not yet kept, so the call heeds it.
        if max(before.level, signs_of(desk, dog).level) >= EASE_AT:
            reps = [row.rep for row in desk.store.reps(dog=dog)]
            last = reps[-1].session if reps else None
            yield Proposed("step_called", step_called(decide_for(desk, dog, reps), last), now, by)

    entry = desk.store.append_all(proposed())[0]
    return Receipt(entry.number, entry.digest, "")


def signs_page(desk: Desk, dog: str) -> SignsPage:
    """Everything about the signs of one dog.

    Raises:
        Unknown: If there is no such dog.
    """
    name = desk.store.dog(dog).dog
    stands = signs_of(desk, name)
    clearings = {one.entry: (one.why, one.by) for one in desk.store.clearings(name)}
    seen = desk.store.signs(name)
    sessions = desk.store.sessions(name)
    measured = next((one.session for one in sessions if desk.store.reading_of(one.session)), None)
    return SignsPage(
        dog=name,
        standing=stands,
        lines=tuple(_line(one, stands, clearings) for one in reversed(seen)),
        choices=SIGNS,
        to_do=TO_DO,
        sessions=tuple(one.session for one in sessions[:SESSIONS_OFFERED]),
        newest=max((one.entry for one in seen), default=0),
        session_now=_session_now(desk, sessions),
        returned_in=measured,
        returned=None if measured is None else _returned(desk, measured),
    )


def _session_now(desk: Desk, sessions: Sequence[Session]) -> str:
    """The newest session where it began within the last hours: signs seen now were likely seen in it.

    An older one is never taken for it: a session that is not on the record yet would then pass for a later
    one without signs.
    """
    newest = sessions[0] if sessions else None
    if newest is None or desk.now() - read_utc(newest.started_at) > JUST_NOW:
        return ""
    return newest.session


def _line(one: SignsKept, stands: SignsStanding, clearings: dict[int, tuple[str, str]]) -> SignsLine:
    why, by = clearings.get(one.cleared or 0, ("", ""))
    return SignsLine(
        entry=one.entry,
        names=tuple(BY_KEY[key].name if key in BY_KEY else key for key in one.signs),
        level=one.level,
        at=one.at,
        by=one.by,
        session=one.session,
        rep=one.rep,
        latency=one.latency,
        note=one.note,
        stands=one.entry in stands.entries,
        cleared=one.cleared,
        cleared_why=why,
        cleared_by=by,
    )


def _returned(desk: Desk, session: str) -> Slowing | None:
    """How fast the dog went in again at the start and at the end of a measured session."""
    reading = desk.store.reading_of(session)
    reps = reading.reading.get("reps", ()) if reading else ()
    return slowing(returns_s([(rep.get("nose_in_s"), rep.get("nose_out_s")) for rep in reps]))
