"""The reps people stand by, with their present values, and the reps that were set aside.

Conventions
-----------
A row is known by the entry that confirmed it and its place in that entry. A rep that was set aside and later
confirmed again has two rows, of which the newer is ``standing``. Whose dog a rep is, its session says.
"""

import json
from typing import Any

from nares.base.vocab import Rep
from nares.record.chain import Entry
from nares.record.kinds import RepsConfirmed, RepSetAside
from nares.record.tables import Cursor, Table

REPS = Table(
    "reps",
    {
        "entry": "integer",
        "place": "integer",
        "session": "text",
        "rep": "integer",
        "started_at": "text",
        "step": "text",
        "ask_s": "real?",
        "hold_s": "real?",
        "ended_by": "text",
        "met": "integer",
        "hand": "text",
        "pay_place": "text",
        "distance_m": "real",
        "disturbance": "integer",
        "source": "text",
        "cues": "text",
        "paid": "integer",
        "standing": "integer",
    },
    key=("entry", "place"),
    lists=(("session", "rep"), ("session", "standing", "rep", "step", "met")),
)
ASIDE = Table(
    "reps_aside",
    {"session": "text", "rep": "integer", "why": "text", "made_by": "text", "at": "text", "entry": "integer"},
    key=("session", "rep"),
)
TABLES = (REPS, ASIDE)
KINDS = frozenset({"reps_confirmed", "rep_set_aside"})
_PUT_REP, _PUT_ASIDE = REPS.put(), ASIDE.put()
_RESTATE = (
    f"UPDATE reps SET {', '.join(f'{name} = ?' for name in list(REPS.columns)[4:-1])} "
    "WHERE entry = ? AND place = ?"
)


def apply(cursor: Cursor, entry: Entry, said: Any) -> None:
    """Confirm reps, or set one aside."""
    if isinstance(said, RepsConfirmed):
        keys = [(rep.session, rep.rep) for rep in said.reps]
        cursor.executemany("UPDATE reps SET standing = 0 WHERE session = ? AND rep = ?", keys)
        cursor.executemany("DELETE FROM reps_aside WHERE session = ? AND rep = ?", keys)
        rows = ((*_key(entry.number, place, rep), *_values(rep), 1) for place, rep in enumerate(said.reps))
        cursor.executemany(_PUT_REP, rows)
    elif isinstance(said, RepSetAside):
        row = (said.session, said.rep, said.why, entry.by, entry.happened_at, entry.number)
        cursor.execute(_PUT_ASIDE, row)


def restate(cursor: Cursor, entry: Entry, said: Any) -> None:
    """Give the rows of an amended entry their present values; which row stands does not change."""
    if isinstance(said, RepsConfirmed):
        rows = ((*_values(rep), entry.number, place) for place, rep in enumerate(said.reps))
        cursor.executemany(_RESTATE, rows)
    elif isinstance(said, RepSetAside):
        cursor.execute("UPDATE reps_aside SET why = ? WHERE entry = ?", (said.why, entry.number))


def _key(number: int, place: int, rep: Rep) -> tuple[Any, ...]:
    return number, place, rep.session, rep.rep


def _values(rep: Rep) -> tuple[Any, ...]:
    return (
        rep.started_at,
        rep.step,
        rep.ask_s,
        rep.hold_s,
        rep.ended_by,
        int(rep.met),
        rep.hand,
        rep.pay_place,
        rep.distance_m,
        rep.disturbance,
        rep.source,
        json.dumps(rep.cues, ensure_ascii=False) if rep.cues else "[]",
        int(rep.paid),
    )
