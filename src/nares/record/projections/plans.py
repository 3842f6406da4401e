"""What each dog is fed on a day, and the session cards that were taken."""

import json
from typing import Any

import msgspec

from nares.record.chain import Entry
from nares.record.kinds import RationSet, SessionPlanned
from nares.record.tables import Cursor, Table

RATIONS = Table(
    "rations",
    {
        "entry": "integer",
        "dog": "text",
        "day": "text",
        "ration_g": "real?",
        "reward_g": "real?",
        "bowl_g": "real",
        "rewards": "integer?",
        "rewards_per_rep": "integer",
        "note": "text",
        "made_by": "text",
        "at": "text",
    },
    key=("entry",),
    lists=(("dog", "day", "entry"),),
)
PLANS = Table(
    "plans",
    {
        "entry": "integer",
        "dog": "text",
        "step": "text",
        "from_call": "integer?",
        "called": "text",
        "reps": "text",
        "limited_by": "text",
        "left_reps": "integer?",
        "session_reps": "integer?",
        "programme": "text",
        "made_by": "text",
        "at": "text",
    },
    key=("entry",),
    lists=(("dog", "entry"), ("from_call",)),
)
TABLES = (RATIONS, PLANS)
KINDS = frozenset({"ration_set", "session_planned"})
_PUT_RATION, _PUT_PLAN = RATIONS.put(), PLANS.put()


def apply(cursor: Cursor, entry: Entry, said: Any) -> None:
    """Set a ration, or keep a card. An amended ration is put again; a card is never amended."""
    if isinstance(said, RationSet):
        cursor.execute(_PUT_RATION, _ration(entry, said))
    elif isinstance(said, SessionPlanned):
        cursor.execute(_PUT_PLAN, _plan(entry, said))


def _ration(entry: Entry, said: RationSet) -> tuple[Any, ...]:
    masses = (said.ration_g, said.reward_g, said.bowl_g, said.rewards, said.rewards_per_rep)
    return entry.number, said.dog, said.day, *masses, said.note, entry.by, entry.happened_at


def _plan(entry: Entry, said: SessionPlanned) -> tuple[Any, ...]:
    reps = json.dumps(msgspec.to_builtins(said.reps), ensure_ascii=False, sort_keys=True)
    limits = (said.limited_by, said.left_reps, said.session_reps)
    who = (said.programme, entry.by, entry.happened_at)
    return entry.number, said.dog, said.step, said.from_call, said.called, reps, *limits, *who
