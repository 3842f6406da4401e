"""A small invented kennel to write records for: two dogs, a clock that only moves when told."""

import hashlib
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from nares.base.vocab import Rep
from nares.record.chain import Entry
from nares.record.store import Proposed, Store

KENNEL, SITE, BY = "Saltmarsh Kennels", "laptop", "Runa Vell"
START = datetime(2026, 3, 1, 8, 0, tzinfo=UTC)
FILM = b"not really a film"
FILM_SHA256 = hashlib.sha256(FILM).hexdigest()


class Clock:
    """Says one second more at each reading, unless it is moved."""

    def __init__(self, at: datetime = START) -> None:
        self.at = at

    def __call__(self) -> datetime:
        self.at += timedelta(seconds=1)
        return self.at

    def move(self, seconds: float) -> None:
        self.at += timedelta(seconds=seconds)


@contextmanager
def opened(folder: Path, clock: Clock | None = None) -> Iterator[Store]:
    with Store.open(folder / "record.sqlite3", kennel=KENNEL, site=SITE, clock=clock or Clock()) as store:
        yield store


def write(store: Store, kind: str, payload: Any) -> Entry:
    return store.append(kind, payload, happened_at=START, by=BY)


def proposed(kind: str, payload: Any) -> Proposed:
    return Proposed(kind, payload, START, BY)


def session(name: str = "b1", dog: str = "Brine", **other: Any) -> dict[str, Any]:
    return {"session": name, "dog": dog, "step": "hand-inside", "started_at": "2026-03-01T08:00:00Z", **other}


def rep(number: int = 1, session: str = "b1", dog: str = "Brine", **other: Any) -> Rep:
    said: dict[str, Any] = {
        "dog": dog,
        "session": session,
        "started_at": "2026-03-01T08:00:00.000Z",
        "step": "hand-inside",
        "rep": number,
        "ask_s": 1.0,
        "hold_s": 1.35,
        "ended_by": "mark",
        "met": True,
        "hand": "inside",
        "pay_place": "inside",
        "distance_m": 0.0,
        "disturbance": 0,
        "source": "target",
    }
    return Rep(**{**said, **other})


def recording(session: str = "b1") -> dict[str, Any]:
    return {
        "session": session,
        "sha256": FILM_SHA256,
        "name": "brine.MP4",
        "media_type": "video/mp4",
        "bytes": len(FILM),
        "duration_s": 90.0,
    }


def reading(session: str = "b1", reps: int = 3) -> dict[str, Any]:
    return {
        "session": session,
        "sha256": FILM_SHA256,
        "made_with": {"nares": "0.1.0"},
        "settings": {"marker": "click"},
        "reading": {"reps": [{"rep": number} for number in range(1, reps + 1)]},
    }


def corrected(
    name: str, reading: int | None = 6, *, own: bool = False, session: str = "b1", at_s: float = 5.0
) -> dict[str, Any]:
    """One mark added on the timeline, on the reading or on an own sheet."""
    edit = {"edit": name, "lane": "marks", "deed": "added", "event": name, "now": [at_s]}
    sheet = (
        {"sheet": "own", "whose": BY, "reading": None} if own else {"sheet": "reading", "reading": reading}
    )
    return {"session": session, "reading": None if own else reading, "edits": [edit], **sheet}


def write_day(store: Store) -> None:
    """Eleven entries of most kinds: two dogs, a session measured, confirmed, corrected, called."""
    write(store, "kennel_founded", {"kennel": KENNEL, "site": SITE})
    write(store, "dog_added", {"dog": "Brine", "breed": "English Springer Spaniel"})
    write(store, "dog_added", {"dog": "Samphire", "breed": "Labrador Retriever", "sex": "female"})
    write(store, "session_run", session(asks_s=[1, 1.5]))
    write(store, "recording_kept", recording())
    write(store, "reading_made", reading())
    write(store, "reps_confirmed", {"session": "b1", "reading": 6, "reps": [rep(1), rep(2)]})
    write(store, "amended", amendment(7, "/reps/1/hold_s", 1.35, 0.8))
    write(store, "rep_set_aside", {"session": "b1", "rep": 3, "why": "a paw, not a nose"})
    call = {"dog": "Brine", "step": "hand-inside", "call": "stay", "next_step": "hand-inside"}
    write(store, "step_called", call)
    write(
        store, "call_overruled", {**{k: call[k] for k in ("dog", "step")}, "call": "ease", "why": "hot day"}
    )


def ration(dog: str = "Brine", day: str = "2026-03-01", **other: Any) -> dict[str, Any]:
    return {"dog": dog, "day": day, "ration_g": 425.9, "reward_g": 0.5, "bowl_g": 300.0, **other}


def card(from_call: int | None, dog: str = "Brine", reps: int = 3) -> dict[str, Any]:
    """A card of a few reps, the second of them without target."""
    same: dict[str, Any] = {"hand": "away", "distance_m": 0.0, "disturbance": 0, "boxes": 4}
    found = {"ask_s": 1.2, "easy": False, "pay_place": "inside", "source": "target", "target_box": 2}
    blank = {"ask_s": None, "easy": False, "pay_place": "away", "source": "blank", "target_box": None}
    said = [{"rep": n, **same, **(blank if n == 2 else found)} for n in range(1, reps + 1)]
    return {"dog": dog, "step": "blanks", "from_call": from_call, "called": "stay", "reps": said}


def amendment(entry: int, field: str, old: Any, new: Any, why: str = "misread") -> dict[str, Any]:
    return {"entry": entry, "field": field, "old": old, "new": new, "why": why}


def sheet(**other: Any) -> dict[str, Any]:
    """A spreadsheet that was brought in, with one session that is still to be written."""
    said = {"name": "log.csv", "sha256": "ab" * 32, "bytes": 90, "sheet": "text", "mapping": {"order": ""}}
    return {**said, "lines": {"b9": [(1, 2), (2, 3)]}, **other}
