"""The session to come, the same each time it is asked for: drawn from its call, or as it was taken.

The draws of a plan come from the digest of the call's entry and from how many cards that call has had, so
that a page opened twice shows one plan, a second session on one call has another, and nobody can know it
before the call is made. A card that was taken stands as it was written for its day, until a session is run
on it or another call is made.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from nares.app.desk import Desk
from nares.app.leading import next_step_of
from nares.app.rationing import Food, food_today
from nares.base.times import read_utc
from nares.base.vocab import Call
from nares.decide import Programme, SessionPlan, asks_again, decide, plan_session
from nares.decide.isolation.easing import step_of
from nares.decide.plan import plan_kept
from nares.record.found import CallMade, CardTaken

if TYPE_CHECKING:
    from numpy.random import Generator

REPS_PLANNED = 12
"""Asks drawn for a session; today's ration may leave fewer. [count]"""


@dataclass(frozen=True, slots=True)
class Ahead:
    """The next session of a dog: its plan, what food allows, the card where one was taken and stands."""

    plan: SessionPlan | None
    step: str
    food: Food
    taken: CardTaken | None
    call: CallMade | None


def ahead(desk: Desk, dog: str, programme: Programme) -> Ahead:
    """The next session of a dog, at the step its newest call leads to; the first where there is none."""
    made, food = desk.store.latest_call(dog), food_today(desk, dog)
    taken = card_standing(desk, dog, made)
    key = step_ahead(programme, made) if taken is None else taken.step
    step = step_of(programme, key)
    if step is None:
        return Ahead(None, key, food, taken, made)
    if taken is not None:
        plan = plan_kept(step, taken.reps, call=_call(taken.called), left=food.allowance.left)
        return Ahead(plan, key, food, taken, made)
    draws = draws_of(desk, dog, made)
    asks = asks_of(desk, dog, programme, made, draws)
    called = _call(_stands(made)) if made else "stay"
    plan = plan_session(step, asks, draws=draws, call=called, allowance=food.allowance)
    return Ahead(plan, key, food, None, made)


def step_ahead(programme: Programme, made: CallMade | None) -> str:
    """The step of the next session: where the call leads, or where a person decided to go instead."""
    return programme.steps[0].key if made is None else next_step_of(programme, made)


def card_standing(desk: Desk, dog: str, made: CallMade | None) -> CardTaken | None:
    """The card of today that was taken on the newest call and not yet worked through."""
    card = desk.store.card_taken(dog)
    if card is None or card.from_call != (made.entry if made else None):
        return None
    if made is not None and decided_at(desk, made) > card.entry:
        return None  # a person decided otherwise, or took that back, after the card was taken
    if read_utc(card.at) < desk.midnight(desk.today()) or desk.store.started_since(dog, card.at):
        return None
    return card


def decided_at(desk: Desk, made: CallMade) -> int:
    """The newest entry in which a person decided against this call or took that back; 0 for none."""
    own = [one for one in desk.store.overrulings(made.dog) if one.call_entry == made.entry]
    return max((max(one.entry, one.withdrawn_entry or 0) for one in own), default=0)


def newest_word(desk: Desk, made: CallMade | None) -> int | None:
    """The newest entry a plan follows: the call, or a person's decision against it; None without a call."""
    return None if made is None else max(made.entry, decided_at(desk, made))


def draws_of(desk: Desk, dog: str, made: CallMade | None) -> "Generator":
    """Chance that is the same each time it is asked for, and another for each card of a call."""
    import numpy as np

    source = made.entry if made else desk.store.dog(dog).entry
    digest = desk.store.entry(source).digest
    return np.random.default_rng([int(digest, 16), _cards_before(desk, dog, made)])


def asks_of(
    desk: Desk, dog: str, programme: Programme, made: CallMade | None, draws: "Generator"
) -> Sequence[float]:
    """The asks drawn with the call; in another order for a second session on it; drawn here before any."""
    if made is None:
        return decide([], dog=dog, programme=programme, asks=REPS_PLANNED, draws=draws).asks_s
    asks_s = made.overruled.asks_s if made.overruled and made.overruled.asks_s else made.asks_s
    return asks_again(asks_s, draws=draws) if _cards_before(desk, dog, made) else asks_s


def _cards_before(desk: Desk, dog: str, made: CallMade | None) -> int:
    return desk.store.cards_on(dog, made.entry if made else None)


def _stands(made: CallMade) -> str:
    return made.call if made.overruled is None else made.overruled.call


def _call(said: str) -> Call:
    return said  # type: ignore[return-value]
