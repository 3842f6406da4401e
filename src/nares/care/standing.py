"""Which signs stand, and what they ask for before any number is looked at.

Conventions
-----------
- Signs of level 3 and 4, and any sign of pain, stand until a person says that they were looked into.
- Signs of level 1 and 2 stand until that is said, or until a later session of the dog was worked without
  signs of level 2 or more.
- Two single signs of level 1 within three reps of a session come to level 2, also when they were written down
  apart. Where no rep was given they are taken as near: too cautious is the cheaper mistake.
- **A vet is due before more work** after any sign of pain, at level 4, and when level 3 was seen at two
  sessions since a vet last looked. Then only a vet's look clears.

Times are ISO 8601 in UTC as the record writes them, which puts them in order as text.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from nares.base.vocab import SignsStanding
from nares.care.signs import BY_KEY, PAIN, PAIRED, PAIRED_REPS, REFUSES_FOOD, TO_DO

STOP_AT = 3
EASE_AT = 2
VET_SESSIONS = 2
"""Sessions with signs of level 3 after which a vet is due. [count]"""

REST_MIN = 5


@dataclass(frozen=True, slots=True)
class Seen:
    """Signs seen once. ``session`` and ``rep``: when, as far as it is known. ``cleared``: looked into."""

    entry: int
    signs: tuple[str, ...]
    level: int
    at: str
    session: str | None = None
    rep: int | None = None
    cleared: bool = False


@dataclass(frozen=True, slots=True)
class Worked:
    """A session with reps a person stands by."""

    session: str
    started_at: str


def standing(
    seen: Sequence[Seen], *, worked: Sequence[Worked] = (), vet_looked: int | None = None
) -> SignsStanding:
    """Say which signs stand, to what level they come, and what is to be done.

    Args:
        seen: Every sign seen in one dog, oldest first, also those looked into.
        worked: The dog's sessions with reps, in any order.
        vet_looked: The entry at which a vet last saw the dog for signs; None if never.
    """
    lifted = _paired(seen)
    stands = [one for one in lifted if not one.cleared and not _passed(one, lifted, worked)]
    if not stands:
        return SignsStanding(0)
    vet = vet_due(lifted, stands, vet_looked)
    level = max(one.level for one in stands)
    return SignsStanding(
        level=level,
        because=tuple(_sentences(stands, level, vet, lifted, vet_looked)),
        vet=vet,
        entries=tuple(one.entry for one in stands),
    )


def vet_due(seen: Sequence[Seen], stands: Sequence[Seen], vet_looked: int | None) -> bool:
    """Whether a vet is to see the dog before more work."""
    pressing = any(PAIN in one.signs or one.level >= STOP_AT + 1 for one in stands)
    return pressing or (
        any(one.level >= STOP_AT for one in stands) and len(_occasions(seen, vet_looked)) >= VET_SESSIONS
    )


def _occasions(seen: Sequence[Seen], vet_looked: int | None) -> set[str]:
    """The sessions, or days where no session is known, with level 3 or more since a vet last looked."""
    return {
        one.session or one.at[:10] for one in seen if one.level >= STOP_AT and one.entry > (vet_looked or 0)
    }


def _paired(seen: Sequence[Seen]) -> list[Seen]:
    """Single signs of level 1 that came near one another, lifted to level 2."""
    single = [one for one in seen if one.level == 1]
    near = {
        one.entry
        for one in single
        for other in single
        if one.entry != other.entry and one.signs != other.signs and _near(one, other)
    }
    return [replace(one, level=PAIRED) if one.entry in near else one for one in seen]


def _near(one: Seen, other: Seen) -> bool:
    if one.session is None or one.session != other.session:
        return False
    return one.rep is None or other.rep is None or abs(one.rep - other.rep) < PAIRED_REPS


def _passed(one: Seen, seen: Sequence[Seen], worked: Sequence[Worked]) -> bool:
    """Whether a later session went by without anything of the kind; never for level 3 and above."""
    if one.level >= STOP_AT:
        return False
    began = next((work.started_at for work in worked if work.session == one.session), one.at)
    troubled = {other.session for other in seen if other.level >= EASE_AT}
    troubled_days = {other.at[:10] for other in seen if other.level >= EASE_AT and other.session is None}
    return any(
        work.started_at > began
        and work.session != one.session
        and work.session not in troubled
        and work.started_at[:10] not in troubled_days
        for work in worked
    )


def _sentences(
    stands: Sequence[Seen], level: int, vet: bool, seen: Sequence[Seen], vet_looked: int | None
) -> list[str]:
    worst = [one for one in stands if one.level == level]
    keys = [key for key in dict.fromkeys(key for one in worst for key in one.signs) if key in BY_KEY]
    names = _listed([BY_KEY[key].name.lower() for key in keys])
    first = f"Signs come before the numbers: {names} (level {level}, {_where(worst)})."
    said = [f"{first} {TO_DO[level]}"]
    if vet:
        said.append(f"A vet sees the dog before more work: {_vet_why(stands, seen, vet_looked)}.")
    if any(REFUSES_FOOD in one.signs for one in stands):
        said.append("A dog that refuses food it normally eats stops for the day: heat, nausea or fear.")
    said += [f"{BY_KEY[key].name}: {BY_KEY[key].unless}." for key in keys if BY_KEY[key].unless]
    return said


def _vet_why(stands: Sequence[Seen], seen: Sequence[Seen], vet_looked: int | None) -> str:
    if any(PAIN in one.signs for one in stands):
        return "a sign of pain was seen"
    if any(one.level > STOP_AT for one in stands):
        return "what was seen is an emergency"
    return f"such signs were seen at {len(_occasions(seen, vet_looked))} sessions"


def _where(worst: Sequence[Seen]) -> str:
    """The newest occasion of these signs: the session where it is known, else the day."""
    newest = worst[-1]
    return f"in {newest.session}" if newest.session else f"on {newest.at[:10]}"


def _listed(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
