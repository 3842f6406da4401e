"""Where a call leads: the next step, and why.

Conventions
-----------
- *raise*: the next step follows. After the last step it stays, to be maintained and proved.
- *stay*: the same step goes on.
- *ease*: the step before follows; at the first step the asks get shorter instead.
- *stop*: kept for data that speak against going on at all: ``STOP_REFUSALS`` of the last ``STOP_WINDOW``
  reps of the last session refused (the dog looked in and left). It says nothing about the dog's state
  beyond that; signs of stress seen by a person come before every number here.
- A raise that the later reps at the same step take back (they reach the ease line on their own) is not
  followed: the call is *stay*.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from nares.base.vocab import Call, Rep
from nares.decide.calling.step import StepCall, step_call
from nares.decide.evidence import Stretch, refusals
from nares.decide.isolation.easing import eased_by, parent_of, step_of
from nares.decide.steps.programme import Programme, Step

STOP_WINDOW = 5
STOP_REFUSALS = 3


@dataclass(frozen=True, slots=True)
class Verdict:
    """A call, where it leads, and why in a sentence."""

    call: Call
    next_step: Step
    why: str


def call_on(stretch: Stretch, step: Step) -> StepCall:
    """The step test on the counted reps of a stretch, at the levels of the step."""
    return step_call(
        [rep.met for rep in stretch.counted],
        [rep.session for rep in stretch.counted],
        ready=step.ready,
        not_ready=step.not_ready,
        false_raise=step.false_raise,
        missed_raise=step.missed_raise,
        cap=step.cap,
    )


def verdict_on(
    found: StepCall, stretch: Stretch, step: Step, own: Sequence[Rep], programme: Programme | None
) -> Verdict:
    """What the evidence leads to. ``own``: all reps of the dog; ``programme``: None for a step outside it."""
    if _refusing(own):
        before = _neighbour(step, programme, -1) or step
        return Verdict("stop", before, _STOP)
    if programme is None:
        why = f"The programme has no step {step.key!r}, so no other step can be named: add it to plan on."
        return Verdict(found.call, step, why)
    if found.call == "raise" and _taken_back(found, stretch, step):
        return Verdict("stay", step, "The reps since then take the raise back: prove this step again first.")
    if found.call == "raise":
        return _raise(step, programme)
    if found.call == "ease":
        return _ease(step, programme)
    if found.undecided:
        return Verdict("stay", step, _change(step))
    return Verdict("stay", step, f"Go on with {step.name}.")


_STOP = (
    f"{STOP_REFUSALS} or more of the last {STOP_WINDOW} reps were refused: stop. "
    "Look at the dog, the box and the heat before the next session, and begin that one easier."
)


def _change(step: Step) -> str:
    return (
        f"Undecided after {step.cap} reps at {step.name}: change something before going on. "
        "Ask shorter holds, raise the pay, give shorter sessions or another place, or go back a step; "
        "then count afresh."
    )


def _raise(step: Step, programme: Programme) -> Verdict:
    after = _neighbour(step, programme, 1)
    if after is None:
        return Verdict("raise", step, "The programme is complete: maintain and prove.")
    return Verdict("raise", after, f"Next: {after.name}. {after.teaches}")


def _ease(step: Step, programme: Programme) -> Verdict:
    before = _neighbour(step, programme, -1)
    if before is None:
        return Verdict("ease", step, "This is the first step: stay at it with shorter asks.")
    return Verdict("ease", before, f"Go back to {before.name} and come again.")


def _neighbour(step: Step, programme: Programme | None, way: int) -> Step | None:
    place = programme.place_of(step.key) if programme else None
    if programme is not None and place is None:  # an eased step leads back to what it was eased from
        return step_of(programme, parent_of(step.key)) if way > 0 else eased_by(step, programme, 1)
    if programme is None or place is None or not 0 <= place + way < len(programme.steps):
        return None
    return programme.steps[place + way]


def _refusing(own: Sequence[Rep]) -> bool:
    """Whether the end of the last session speaks against going on."""
    last = [rep for rep in own if rep.session == own[-1].session] if own else []
    return refusals(last, window=STOP_WINDOW) >= STOP_REFUSALS


def _taken_back(found: StepCall, stretch: Stretch, step: Step) -> bool:
    """Whether the reps after the raise reach the ease line on their own."""
    if found.decided_at is None:
        return False
    after = Stretch(stretch.step, stretch.counted[found.decided_at :], ())
    return call_on(after, step).call == "ease"
