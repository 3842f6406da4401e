"""From a dog's reps to its hold model, and from that to the asks of the next session.

Conventions
-----------
Reps are oldest first. Holds are learnt from searches with target only. Asks follow the dog's holds at the
step it has been at, within the range of the step it goes to; with too few holds they run over that range.
"""

from collections.abc import Sequence

import numpy as np

from nares.base.vocab import Rep
from nares.decide.because import HOLDS_TO_SPEAK
from nares.decide.hold.asks import asks_between, draw_asks, expected_success
from nares.decide.hold.holds import HoldModel
from nares.decide.hold.otherdogs import OtherDogs
from nares.decide.hold.pooling import LAST, pooled_hold_model
from nares.decide.steps.programme import Step
from nares.decide.verdict import Verdict

CHANCE_TARGET = 0.85
"""The share of asks the dog should reach over a session. [-]"""

OWN_ENOUGH = 60
"""With so many holds of its own at a step a dog needs no other dogs; they are not read then. [count]"""


def hold_model_of(
    reps: Sequence[Rep], *, step: str | None = None, others: OtherDogs | None = None
) -> HoldModel | None:
    """Learn how long a dog will hold at a step from its reps; None without a hold there.

    Args:
        reps: The dog's reps at any step, oldest first.
        step: The step to learn of; that of the latest hold without it.
        others: What other dogs at this step teach.
    """
    held = [rep for rep in reversed(reps) if rep.source == "target" and rep.hold_s is not None]
    timed = held[:LAST][::-1]
    if not timed or (step is not None and all(rep.step != step for rep in timed)):
        return None
    return pooled_hold_model(
        [rep.hold_s or 0.0 for rep in timed],
        [rep.ended_by == "dog" for rep in timed],
        sessions=[rep.session for rep in timed],
        steps=[rep.step for rep in timed],
        step=step,
        others=others,
    )


def needs_other_dogs(reps: Sequence[Rep], step: str) -> bool:
    """Whether a dog has so few holds at a step that other dogs could help."""
    own = 0
    for rep in reversed(reps):
        own += rep.step == step and rep.source == "target" and rep.hold_s is not None
        if own >= OWN_ENOUGH:
            return False
    return True


def next_asks(
    verdict: Verdict, step: Step, model: HoldModel | None, asks: int, draws: np.random.Generator
) -> tuple[list[float], list[str]]:
    """The asks of the next session, and what is expected of them."""
    low, high = verdict.next_step.ask_s
    easing = verdict.call in ("ease", "stop")
    if easing and verdict.next_step is step:
        high = (low + high) / 2
    if model is None or model.reps < HOLDS_TO_SPEAK or model.ceiling_s < low:
        name = verdict.next_step.name
        text = f"Asks run over the range of {name}, {low:.1f} to {high:.1f} s, easy first and last."
        return asks_between(low, high, asks, draws=draws), [text]
    floor = None if easing else low
    planned = draw_asks(
        model, asks, chance_target=CHANCE_TARGET, draws=draws, shortest_s=floor, longest_s=high
    )
    share = expected_success(model, planned)
    text = (
        f"Asks from {min(planned):.1f} to {max(planned):.1f} s: about {round(100 * share)} of 100 such holds "
        "should be reached."
    )
    return planned, [text]
