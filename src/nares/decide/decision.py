"""One dog, its reps, a programme: the call, the next step and the asks of the next session.

Conventions
-----------
- The dog's step is that of its latest rep (`nares.decide.evidence`); a dog without reps is at the first.
- What each call leads to is in `nares.decide.verdict`.
- Asks follow the dog's holds at the step it has been at, within the range of the step it goes to; with
  too few holds they run over that range.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from nares.base.errors import OutOfRange
from nares.base.vocab import Call, Rep, SignsStanding
from nares.decide.because import (
    evidence_sentences,
    hold_sentences,
    interval_sentence,
    more_sentence,
    risk_sentences,
)
from nares.decide.calling.step import StepCall
from nares.decide.evidence import Stretch, latest_stretch, reps_of
from nares.decide.hold.holds import HoldModel
from nares.decide.hold.nextasks import hold_model_of, next_asks
from nares.decide.hold.otherdogs import OtherDogs
from nares.decide.isolation.easing import step_of
from nares.decide.isolation.heeding import Alone, Instead, alone_sentence, decided_instead, heeded
from nares.decide.isolation.isolating import Isolation, followed, isolate
from nares.decide.isolation.offering import Offer, offers_beside, raised_at_once
from nares.decide.steps.programme import LEVELS, Programme, Step
from nares.decide.verdict import call_on, verdict_on


@dataclass(frozen=True, slots=True)
class Evidence:
    """What the counted reps support; as in the decide/1 answer, with the count of sessions."""

    reps: int
    met: int
    rate: float | None
    low: float | None
    high: float | None
    confidence: float
    sessions: int


@dataclass(frozen=True, slots=True)
class Decision:
    """The call for a dog, with its reasons (``because``), its risks and the asks of the next session.

    ``step_found`` and ``hold`` are what the call was made from, for plots and cards. ``alone``: what the
    numbers alone would have said, where signs or a person decided otherwise. ``isolating``: what is known of
    which criterion broke a step; ``offers``: what may be raised instead.
    """

    dog: str
    programme: str
    step: str
    step_name: str
    call: Call
    evidence: Evidence
    next_step: str
    next_step_name: str
    asks_s: tuple[float, ...]
    because: tuple[str, ...]
    risk: tuple[str, ...]
    step_found: StepCall
    hold: HoldModel | None
    alone: Alone | None = None
    isolating: Isolation | None = None
    offers: tuple[Offer, ...] = ()


def decide(
    reps: Sequence[Rep],
    *,
    dog: str,
    programme: Programme,
    asks: int,
    draws: np.random.Generator,
    signs: SignsStanding | None = None,
    instead: Instead | None = None,
    others: OtherDogs | None = None,
) -> Decision:
    """Decide what to do next with a dog.

    Args:
        reps: Reps of one or more dogs, in any order.
        dog: The dog's name as in the reps.
        programme: Its programme. A step that is not in it still gets a call, but no next step.
        asks: Reps planned for the next session. [count]
        draws: Where the chance for order and variety comes from.
        signs: Signs of stress that stand; from level 2 on they come before the numbers.
        instead: What a person decided instead of the call, so that the asks follow it.
        others: What other dogs teach of holds at the step this one is at.

    Raises:
        Unknown: If there are reps, but none of this dog.
        OutOfRange: If ``asks`` is below 1, or a rep holds a value that cannot be.
    """
    if asks < 1:
        raise OutOfRange(f"A session of {asks} reps cannot be planned. Ask for at least 1 rep.")
    own = reps_of(reps, dog)
    stretch = latest_stretch(own, programme) if own else Stretch(programme.steps[0].key, (), ())
    step, known = _step_at(stretch, programme)
    found = call_on(stretch, step)
    model = hold_model_of(own, step=stretch.step, others=others)
    isolation = isolate(own, found, step, programme) if known else None
    alone = verdict_on(found, stretch, step, own, programme if known else None)
    numbers = followed(alone, step, isolation, programme)
    offers, offered = offers_beside(numbers, own, step, programme) if known else ((), ())
    verdict = heeded(decided_instead(numbers, programme, instead), step, programme, signs)
    planned, asks_why = next_asks(verdict, step, model, asks, draws)
    because = [
        *(signs.because if signs else ()),
        *((alone_sentence(numbers),) if verdict is not numbers else ()),
        *evidence_sentences(found, stretch, step.name),
        *(interval_sentence(found, step) if verdict.call == "raise" else ()),
        *more_sentence(found, step),
        verdict.why,
        *(isolation.because if isolation else ()),
        *offered,
        *(raised_at_once(own, stretch, step, programme) if known else ()),
        *hold_sentences(model),
        *asks_why,
    ]
    return Decision(
        dog=dog,
        programme=programme.name,
        step=step.key,
        step_name=step.name,
        call=verdict.call,
        evidence=_evidence(found),
        next_step=verdict.next_step.key,
        next_step_name=verdict.next_step.name,
        asks_s=tuple(planned),
        because=tuple(because),
        risk=tuple(risk_sentences(found, step, len(programme.steps) - 1)),
        step_found=found,
        hold=model,
        alone=None if verdict is numbers else Alone(numbers.call, numbers.next_step.key),
        isolating=isolation,
        offers=offers,
    )


def _step_at(stretch: Stretch, programme: Programme) -> tuple[Step, bool]:
    own = step_of(programme, stretch.step)
    if own is not None:
        return own, True
    return _step_outside(stretch, programme), False


def _step_outside(stretch: Stretch, programme: Programme) -> Step:
    """A stand-in for a step the programme does not have: the asks and the criteria of its latest rep."""
    last = (stretch.counted or stretch.easy or stretch.aside)[-1]
    asked = [rep.ask_s for rep in stretch.counted if rep.ask_s]
    span = (min(asked), max(asked)) if asked else programme.steps[0].ask_s
    return Step(
        key=last.step,
        name=last.step,
        teaches="",
        hand=last.hand,
        pay_place=last.pay_place,
        ask_s=span,
        disturbance=last.disturbance,
        distance_m=last.distance_m,
        boxes=1,
        blanks=0.0,
        distractors=0,
        food_in_front=False,
        area="room",
        ready=LEVELS["ready"],
        not_ready=LEVELS["not_ready"],
        false_raise=LEVELS["false_raise"],
        missed_raise=LEVELS["missed_raise"],
    )


def _evidence(found: StepCall) -> Evidence:
    return Evidence(
        found.reps, found.met, found.rate, found.low, found.high, found.confidence, found.sessions
    )
