"""Looking up what bounds a session to come: the day's ration, cards taken, what was paid in a session."""

import json
from typing import Any

import msgspec

from nares.base.errors import Unknown
from nares.base.vocab import PlannedRep
from nares.care.ration import Ration
from nares.record.asking import Asking
from nares.record.found import CardTaken, RationKept

_RATION = (
    "SELECT ration_g, reward_g, bowl_g, rewards, rewards_per_rep, dog, day, note, made_by, at, entry "
    "FROM rations WHERE dog = ? AND day = ? ORDER BY entry DESC LIMIT 1"
)
_PLAN = (
    "SELECT dog, step, from_call, called, reps, limited_by, left_reps, session_reps, programme, made_by, at, "
    "entry FROM plans"
)
_STATED = (
    "SELECT reps FROM (SELECT entry, reps FROM readings WHERE session = ? UNION ALL "
    "SELECT entry, reps FROM corrections WHERE session = ? AND sheet = 'reading') AS s "
    "ORDER BY entry DESC LIMIT 1"
)
_PAID = (
    "SELECT rep, paid FROM reps WHERE session = ? AND standing = 1 AND NOT EXISTS "
    "(SELECT 1 FROM reps_aside a WHERE a.session = reps.session AND a.rep = reps.rep)"
)


class PlanLookups(Asking):
    """Questions about food and cards."""

    def ration(self, dog: str, day: str) -> RationKept | None:
        """What a dog is fed on a day (like 2026-03-14), as last said, or None."""
        row = self._one(_RATION, dog, day)
        if row is None:
            return None
        values = (*row[5:7], Ration(*row[:5]), *row[7:])
        return RationKept(*values)

    def card_taken(self, dog: str) -> CardTaken | None:
        """The newest card taken for a dog, or None."""
        row = self._one(f"{_PLAN} WHERE dog = ? ORDER BY entry DESC LIMIT 1", dog)
        return _card(row) if row else None

    def card(self, entry: int) -> CardTaken:
        """The card of one entry.

        Raises:
            Unknown: If that entry is no card.
        """
        row = self._one(f"{_PLAN} WHERE entry = ?", entry)
        if row is None:
            raise Unknown(f"Entry {entry} is no session card. Look it up on the page Record.")
        return _card(row)

    def cards_on(self, dog: str, from_call: int | None) -> int:
        """How many cards were taken for a dog on one call, or before any call. [count]"""
        row = self._one("SELECT count(*) FROM plans WHERE dog = ? AND from_call IS ?", dog, from_call)
        return int(row[0]) if row else 0

    def started_since(self, dog: str, since: str) -> list[tuple[str, str]]:
        """Sessions of a dog that started at or after a time in UTC: name and start."""
        sql = "SELECT session, started_at FROM sessions WHERE dog = ? AND started_at >= ? ORDER BY started_at"
        return [(row[0], row[1]) for row in self._rows(sql, dog, since)]

    def paid_in(self, session: str) -> tuple[int, int]:
        """Reps of a session that were paid, and reps read and not yet judged. [count]"""
        judged = dict(self._rows(_PAID, session))
        aside = {row[0] for row in self._rows("SELECT rep FROM reps_aside WHERE session = ?", session)}
        stated = self._one(_STATED, session, session)
        read = set(json.loads(stated[0])) if stated else set()
        return sum(map(bool, judged.values())), len(read - set(judged) - aside)


def _card(row: tuple[Any, ...]) -> CardTaken:
    reps = msgspec.convert(json.loads(row[4]), tuple[PlannedRep, ...])
    values = (*row[:4], reps, *row[5:])
    return CardTaken(*values)
