"""Reps of an invented dog laid out day by day, for tests of how it comes on."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

from nares.base.vocab import Rep
from nares.decide import Programme, read_programme, shipped_programme

BOX: Programme = read_programme(shipped_programme())
FIRST_DAY = datetime(2026, 1, 5, 8, 0, tzinfo=UTC)


def day_of(
    day: int,
    met: Sequence[bool | int],
    *,
    step: int | str = 1,
    dog: str = "Sedge",
    ask_s: float | None = None,
    begin: int = 1,
) -> list[Rep]:
    """One session on a day counted from 0: a rep a minute, asked for the shortest hold of the step."""
    known = BOX.steps[step] if isinstance(step, int) else None
    key = known.key if known else str(step)
    asked = ask_s if ask_s is not None else known.ask_s[0] if known else 1.0
    found = []
    for place, one in enumerate(met):
        at = FIRST_DAY + timedelta(days=day, minutes=begin + place)
        found.append(
            Rep(
                dog=dog,
                session=f"sedge-{day:02d}",
                started_at=at.isoformat().replace("+00:00", "Z"),
                step=key,
                rep=begin + place,
                ask_s=asked,
                hold_s=asked if one else asked / 2,
                ended_by="mark" if one else "dog",
                met=bool(one),
                hand=known.hand if known else "inside",
                pay_place=known.pay_place if known else "inside",
                distance_m=0.0,
                disturbance=0,
                source="target",
            )
        )
    return found


def days(first: int, sessions: Sequence[Sequence[bool | int]], *, step: int | str = 1) -> list[Rep]:
    """Sessions on days that follow each other."""
    return [rep for day, met in enumerate(sessions, start=first) for rep in day_of(day, met, step=step)]
