"""The session card: the next session as a person carries it to the box, on a phone, on paper, as JSON.

A card shows where every target is and is the trainer's. The handler's card holds nothing that differs from
rep to rep: it is made from the step alone, so that it cannot tell where the target is, nor whether there is
one. What both hold is `nares.app.card_values`.
"""

from dataclasses import asdict
from datetime import datetime
from pathlib import Path
from typing import Any

from nares.app.answers import answer
from nares.app.card_values import CardFood, CardRep, CardSign, CardTakenBy, HandlerCard, SessionCard
from nares.app.card_words import (
    EARLY,
    STOP,
    conditions_of,
    deed_of,
    others_of,
    sign_rules,
    signs_of_level,
    where_of,
)
from nares.app.deciding import decide_table, programme_of, step_name
from nares.app.deeds import Receipt, TakeCard
from nares.app.desk import Desk
from nares.app.files import read_text
from nares.app.planning import Ahead, ahead, newest_word
from nares.app.rationing import Food
from nares.app.standing_signs import signs_of
from nares.base.errors import NotEnoughData, Refused
from nares.base.times import utc_text
from nares.care.ration import CAUTIONS
from nares.decide import Programme, SessionPlan, Step, plan_session, read_programme, shipped_programme
from nares.decide.isolation.easing import step_of
from nares.decide.stopping import stop_rules

HANDLER_SAYS = (
    "Where the target is, and in which reps there is one, is not on this card. Do not ask, and do not look "
    "at the trainer's.",
    "Bring the dog up and move the same way in every rep. Wait for the trainer's word before you praise it.",
    "The trainer says when the session is over.",
)


def card_page(desk: Desk, dog: str) -> SessionCard:
    """The next session of a dog as the trainer carries it.

    Raises:
        Unknown: If there is no such dog.
    """
    programme = programme_of(desk, desk.store.dog(dog).programme)
    next_one, head = ahead(desk, dog, programme), desk.store.head()
    made, taken = next_one.call, next_one.taken
    return _card(
        dog=dog,
        kennel=desk.store.kennel,
        day=next_one.food.day,
        now=utc_text(desk.now()),
        programme=programme,
        step=_step(programme, next_one),
        plan=next_one.plan,
        call=next_one.plan.call if next_one.plan and made else None,
        call_entry=newest_word(desk, made),
        food=_food(next_one.food),
        warnings=(*signs_of(desk, dog).because, *next_one.food.warnings),
        taken=None if taken is None else CardTakenBy(taken.by, taken.at, taken.entry),
        head_entry=head[0] if head else None,
        head=head[1] if head else None,
        missing=_missing(programme, next_one),
    )


def card_of_table(table: Path, *, dog: str, programme: Path | None, now: datetime) -> SessionCard:
    """A card from a rep table alone: drawn anew each time, and not bounded by a ration nobody gave.

    Args:
        table: The rep table.
        dog: The dog's name in it.
        programme: A programme file; the shipped one when None.
        now: The time of day, with a zone; the card is of that day.

    Raises:
        Unusable: If the table or the programme has a fault, naming every one.
        Unknown: If the table has no rep of this dog.
    """
    import numpy as np

    text = shipped_programme() if programme is None else read_text(programme)
    read, decision = read_programme(text), decide_table(table, dog=dog, programme=programme)
    step = step_of(read, decision.next_step)
    draws = np.random.default_rng()
    asks, call = decision.asks_s, decision.call
    plan = None if step is None else plan_session(step, asks, draws=draws, call=call)
    return _card(
        dog=dog,
        kennel="",
        day=now.date().isoformat(),
        now=utc_text(now),
        programme=read,
        step=step or read.steps[0],
        plan=plan,
        call=decision.call,
        call_entry=None,
        food=None,
        warnings=(),
        taken=None,
        head_entry=None,
        head=None,
        missing="" if plan else _not_in(read, decision.next_step),
    )


def handler_page(desk: Desk, dog: str) -> HandlerCard:
    """What the handler of a dog may know of its next session.

    Raises:
        Unknown: If there is no such dog.
    """
    programme = programme_of(desk, desk.store.dog(dog).programme)
    next_one = ahead(desk, dog, programme)
    step = _step(programme, next_one)
    said = tuple((name, words) for name, words in conditions_of(step) if name != "Pay")
    kept = [rule for rule in (*sign_rules(), *stop_rules("stay", left=None)) if rule.key != "ration"]
    return HandlerCard(
        dog, desk.store.kennel, next_one.food.day, step.name, step.teaches, said, HANDLER_SAYS, tuple(kept)
    )


def take_card(desk: Desk, asked: TakeCard) -> Receipt:
    """Put the next session on the record as planned, before its first rep; it then stays as it is.

    Raises:
        Unknown: If there is no such dog.
        Refused: If it is taken already, another call was made since it was shown, or nothing is planned.
    """
    programme = programme_of(desk, desk.store.dog(asked.dog).programme)
    next_one = ahead(desk, asked.dog, programme)
    plan, made = next_one.plan, next_one.call
    if plan is None or not plan.reps:
        raise NotEnoughData(_missing(programme, next_one))
    _require_as_shown(desk, next_one, asked)
    payload = {
        "dog": asked.dog,
        "step": plan.step,
        "from_call": made.entry if made else None,
        "called": plan.call,
        "reps": [asdict(rep) for rep in plan.reps],
        "limited_by": plan.limited_by,
        "left_reps": next_one.food.allowance.left,
        "session_reps": next_one.food.allowance.session,
        "programme": programme.name,
    }
    entry = desk.store.append("session_planned", payload, happened_at=desk.now(), by=desk.by(asked.by))
    reps = len(plan.reps)
    said = f"The card of {asked.dog} is taken: {reps} rep{'' if reps == 1 else 's'}. Entry {entry.number}."
    return Receipt(entry.number, entry.digest, said)


def printed_card(desk: Desk, dog: str, *, paper: str = "a4") -> bytes:
    """The card as a PDF of one page.

    Raises:
        Unknown: If there is no such dog or paper.
    """
    return card_as_pdf(card_page(desk, dog), paper=paper)


def card_as_pdf(card: SessionCard, *, paper: str = "a4") -> bytes:
    """Any card as a PDF of one page; the same card gives the same bytes.

    Raises:
        Unknown: If there is no such paper.
        NotEnoughData: If the card has no reps to print.
    """
    from nares.report.card import card_pdf

    if not card.reps:
        raise NotEnoughData(
            card.missing or "The card has no reps to print. Set the ration or wait for a day."
        )
    return card_pdf(asdict(card), paper=paper)


def card_answer(card: SessionCard) -> dict[str, Any]:
    """Lay a card out as ``card/1``."""
    return answer("card/1", asdict(card))


def handler_answer(card: HandlerCard) -> dict[str, Any]:
    """Lay a handler's card out as ``handler-card/1``."""
    return answer("handler-card/1", asdict(card))


def _require_as_shown(desk: Desk, next_one: Ahead, asked: TakeCard) -> None:
    if next_one.taken is not None:
        raise Refused(
            f"The card of {asked.dog} is already taken: entry {next_one.taken.entry}. "
            "Add the session that was run on it, then take the next."
        )
    newest = newest_word(desk, next_one.call)
    if asked.seen is not None and asked.seen != (newest or 0):
        raise Refused(
            f"Another call was made for {asked.dog}, or one overruled, since this card was shown. "
            "Look at the card again."
        )


def _card(*, programme: Programme, step: Step, plan: SessionPlan | None, **said: Any) -> SessionCard:
    return SessionCard(
        programme=programme.name,
        step=plan.step if plan else step.key,
        step_name=step.name,
        teaches=step.teaches,
        conditions=conditions_of(step),
        reps=_reps(plan),
        limited_by=plan.limited_by if plan else "asks",
        notes=plan.notes if plan else (),
        stops=(*sign_rules(), *(plan.stops if plan else stop_rules("stop", left=None))),
        signs=tuple(CardSign(one.level, one.name) for n in (STOP, EARLY) for one in signs_of_level(n)),
        cautions=CAUTIONS,
        **said,
    )


def _reps(plan: SessionPlan | None) -> tuple[CardRep, ...]:
    return tuple(
        CardRep(
            **asdict(rep),
            where=where_of(rep),
            others=others_of(rep),
            deed=deed_of(rep),
            rest_after=plan is not None and rep.rep in plan.rests_after,
        )
        for rep in (plan.reps if plan else ())
    )


def _step(programme: Programme, next_one: Ahead) -> Step:
    return step_of(programme, next_one.step) or programme.steps[0]


def _missing(programme: Programme, next_one: Ahead) -> str:
    if next_one.plan is None:
        return _not_in(programme, next_one.step)
    if next_one.plan.reps:
        return ""
    return "Today's ration pays for no more reps. Feed what was not earned, and come back tomorrow."


def _not_in(programme: Programme, key: str) -> str:
    name = step_name(programme, key)
    return f"The programme {programme.name} has no step {name!r}, so no session can be planned. Add the step."


def _food(food: Food) -> CardFood | None:
    kept = food.kept
    if kept is None:
        return None
    said = kept.ration
    return CardFood(
        food.day,
        said.ration_g,
        said.reward_g,
        said.bowl_g,
        said.rewards,
        said.rewards_per_rep,
        food.paid,
        food.waiting,
        food.allowance.left,
        food.allowance.session,
        kept.by,
        kept.at,
        kept.entry,
    )
