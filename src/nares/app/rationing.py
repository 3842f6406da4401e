"""Food: what a person says of a dog's day, what was paid so far, what that still allows.

The day is the one where the dogs are. Reps that were measured and not yet judged count as paid: a dog must
not be fed twice because nobody has looked yet.
"""

from dataclasses import dataclass

from nares.app.deeds import Receipt, SetRation
from nares.app.desk import Desk
from nares.base.times import utc_text
from nares.base.vocab import Allowance
from nares.care.ration import CAUTIONS as CAUTIONS  # said at every door
from nares.care.ration import allowance
from nares.record.found import RationKept


@dataclass(frozen=True, slots=True)
class Food:
    """What one dog's day allows. ``paid``: reps paid today; ``waiting``: of those, only measured."""

    day: str
    kept: RationKept | None
    paid: int
    waiting: int
    allowance: Allowance
    warnings: tuple[str, ...]
    cautions: tuple[str, ...] = CAUTIONS


def set_ration(desk: Desk, asked: SetRation) -> Receipt:
    """Put what a dog is fed on a day on the record; said again, the newest stands.

    Raises:
        Unknown: If there is no such dog.
        Refused: If the numbers cannot be, or neither mass nor count is given.
    """
    day = asked.day or desk.today().isoformat()
    payload = {
        "dog": asked.dog,
        "day": day,
        "ration_g": asked.ration_g,
        "reward_g": asked.reward_g,
        "bowl_g": asked.bowl_g,
        "rewards": asked.rewards,
        "rewards_per_rep": asked.rewards_per_rep,
        "note": asked.note,
    }
    entry = desk.store.append("ration_set", payload, happened_at=desk.now(), by=desk.by(asked.by))
    return Receipt(entry.number, entry.digest, f"{_said(desk, asked.dog, day)} Entry {entry.number}.")


def _said(desk: Desk, dog: str, day: str) -> str:
    if day != desk.today().isoformat():
        return f"The ration of {dog} for {day} is set."
    left = food_today(desk, dog).allowance.left
    return f"Today's ration of {dog} is set: it pays for {left} more rep{'' if left == 1 else 's'}."


def food_today(desk: Desk, dog: str) -> Food:
    """What is known of a dog's food today."""
    day = desk.today()
    kept = desk.store.ration(dog, day.isoformat())
    if kept is None:
        return Food(day.isoformat(), None, 0, 0, Allowance(), ())
    sessions = desk.store.started_since(dog, utc_text(desk.midnight(day)))
    counts = {name: desk.store.paid_in(name) for name, _ in sessions}
    paid = sum(map(sum, counts.values()))
    allowed = allowance(kept.ration, paid_reps=paid)
    over = [name for name, count in counts.items() if sum(count) > (allowed.session or paid)]
    return Food(
        day.isoformat(),
        kept,
        paid,
        sum(waiting for _, waiting in counts.values()),
        allowed,
        tuple(f"Session {name} paid out more than a third of the day's ration." for name in over),
    )
