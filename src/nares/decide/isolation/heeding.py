"""What comes before the numbers: signs a person saw, and a decision a person made.

Conventions
-----------
The call of the numbers alone is kept beside whatever replaces it (`Alone`), so that nobody has to guess
afterwards what the evidence said. Signs come before everything: a decision of a person does not undo them,
somebody has to look into them first.

- Level 0 and 1: the numbers speak.
- Level 2: *ease*, one criterion easier.
- Level 3 and 4, or a vet is due: *stop*, and the session after that two criteria easier.
"""

from dataclasses import dataclass

from nares.base.vocab import Call, SignsStanding
from nares.decide.isolation.easing import eased_by, step_of
from nares.decide.steps.programme import Programme, Step
from nares.decide.verdict import Verdict

EASE_AT, STOP_AT = 2, 3
"""Levels of signs from which the call is to ease and to stop. [level]"""


@dataclass(frozen=True, slots=True)
class Alone:
    """What the numbers alone would have said."""

    call: Call
    next_step: str


@dataclass(frozen=True, slots=True)
class Instead:
    """What a person decided instead: the call and the step it leads to, by key."""

    call: Call
    next_step: str


def heeded(verdict: Verdict, step: Step, programme: Programme, signs: SignsStanding | None) -> Verdict:
    """The verdict once signs are heeded; the same object where they leave it as it is."""
    if signs is None or (signs.level < EASE_AT and not signs.vet):
        return verdict
    stop = signs.level >= STOP_AT or signs.vet or verdict.call == "stop"
    easier = eased_by(step, programme, 2 if stop else 1)
    if stop:
        why = f"When work goes on: {easier.name}, two criteria easier, if nothing speaks against it."
        return Verdict("stop", easier, why)
    return Verdict("ease", easier, f"Step back one criterion: {easier.name}.")


def decided_instead(verdict: Verdict, programme: Programme, instead: Instead | None) -> Verdict:
    """The verdict a person put in its place; the same object where nobody did."""
    if instead is None:
        return verdict
    there = step_of(programme, instead.next_step) or verdict.next_step
    return Verdict(instead.call, there, f"A person decided: {there.name}.")


def alone_sentence(verdict: Verdict) -> str:
    """Say what the numbers alone would have said."""
    return f"The numbers alone would have said {verdict.call}, and next {verdict.next_step.name}."
