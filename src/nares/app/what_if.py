"""What if the levels were others: reps needed, risks, today's call and the ask, without a word on the record.

Everything is computed as the call itself is: the lines of the step test, the exact recursion over them, the
dog's own reps and holds. Chance is not drawn: the asks of a call made only for looking are not kept.
"""

from collections.abc import Sequence
from dataclasses import fields, replace
from typing import Any

from nares.app.answers import answer
from nares.app.deciding import programme_of
from nares.app.deeds import WhatIf
from nares.app.desk import Desk
from nares.app.planning import REPS_PLANNED
from nares.app.standing_signs import signs_of
from nares.app.what_if_page import AskThen, CallThen, DogAt, Ladder, Levels, WhatIfPage
from nares.base.chances import one_in
from nares.base.errors import OutOfRange
from nares.base.vocab import Rep
from nares.decide import (
    Decision,
    HoldModel,
    Programme,
    Step,
    characteristics_of,
    decide,
    ladder_risk,
    risk_for_ladder,
)
from nares.decide.calling.counts import ease_counts, raise_counts
from nares.decide.isolation.easing import step_of
from nares.report.what_if_plots import chances_svg, reps_svg

ASK_CHANCE = 0.85
"""Chance the asks aim at unless another is looked at. [-]"""

RATES = tuple(n / 100 for n in range(40, 101, 5))
FINE = tuple(n / 100 for n in range(30, 101))
KEPT_TO = 0.20
"""Chance of a false raise over the whole programme for which the risk of each raise is told. [-]"""

ALLOWED: dict[str, tuple[float, float, float]] = {
    "ready": (0.55, 0.99, 0.01),
    "not_ready": (0.30, 0.95, 0.01),
    "false_raise": (0.01, 0.30, 0.01),
    "missed_raise": (0.02, 0.50, 0.01),
    "chance": (0.50, 0.98, 0.01),
    "cap": (10, 120, 5),
}
"""Least, most and step of each level that may be looked at."""

NAMES = {
    "ready": "Ready",
    "not_ready": "Not ready",
    "false_raise": "False raise",
    "missed_raise": "Missed raise",
    "chance": "Chance of success",
    "cap": "Cap",
}


def what_if_page(desk: Desk, asked: WhatIf) -> WhatIfPage:
    """Show what other levels would mean for a dog at its step.

    Raises:
        Unknown: If there is no such dog.
        OutOfRange: If a level cannot be, or not ready is not below ready.
    """
    programme = programme_of(desk, desk.store.dog(asked.dog).programme)
    reps = [row.rep for row in desk.store.reps(dog=asked.dog)]
    now = _decided(desk, asked.dog, programme, reps)
    step = step_of(programme, now.step) or programme.steps[0]
    own = _own(step)
    levels = _levels(asked, own)
    then_step = _step_with(step, levels)
    then = _decided(desk, asked.dog, _with(programme, then_step), reps)
    rows = _dogs(RATES, then_step, step)
    corners = (levels.not_ready, (levels.not_ready + levels.ready) / 2, levels.ready)
    at_not_ready, between, at_ready = _dogs(corners, then_step, step)
    ladder = _ladder(len(programme.steps) - 1, at_not_ready, _dogs([own.not_ready], step, step)[0])
    fine = _dogs(FINE, then_step, step)
    return WhatIfPage(
        dog=asked.dog,
        step=now.step,
        step_name=now.step_name,
        levels=levels,
        own=own,
        changed=tuple(one.name for one in fields(own) if getattr(own, one.name) != getattr(levels, one.name)),
        said=tuple(_sentences(levels, at_not_ready, between, at_ready)),
        at_not_ready=at_not_ready,
        between=between,
        at_ready=at_ready,
        rows=rows,
        raise_at=raise_counts(then_step.lines()),
        ease_at=ease_counts(then_step.lines()),
        own_raise_at=raise_counts(step.lines()),
        how=then_step.lines().how,
        ladder=ladder,
        then=_call(then),
        own_call=_call(now),
        counted=now.step_found.reps,
        counted_met=now.step_found.met,
        ask=_ask(now.hold, step, levels.chance),
        allowed=ALLOWED,
        chances_svg=chances_svg(fine, levels),
        reps_svg=reps_svg(fine, levels),
    )


def what_if_answer(page: WhatIfPage) -> dict[str, Any]:
    """Lay the page out as ``what-if/1``, without its plots."""
    import msgspec

    values = msgspec.to_builtins(page)
    return answer("what-if/1", {name: value for name, value in values.items() if not name.endswith("_svg")})


def _own(step: Step) -> Levels:
    return Levels(step.ready, step.not_ready, step.false_raise, step.missed_raise, step.cap, ASK_CHANCE)


def _levels(asked: WhatIf, own: Levels) -> Levels:
    said = {one.name: getattr(asked, one.name) for one in fields(own)}
    for name, value in said.items():
        if value is not None:
            _require_allowed(name, value)
    levels = replace(own, **{name: value for name, value in said.items() if value is not None})
    if levels.not_ready >= levels.ready:
        raise OutOfRange(
            f"Not ready ({_percent(levels.not_ready)}) is not below ready ({_percent(levels.ready)}). "
            "Move one of them."
        )
    return levels


def _require_allowed(name: str, value: float) -> None:
    low, high, _ = ALLOWED[name]
    if not low <= value <= high or (name == "cap" and value != int(value)):
        raise OutOfRange(
            f"{NAMES[name]} of {value:g} cannot be looked at. Give {'reps' if name == 'cap' else 'a share'} "
            f"from {low:g} to {high:g}."
        )


def _step_with(step: Step, levels: Levels) -> Step:
    return replace(
        step,
        ready=levels.ready,
        not_ready=levels.not_ready,
        false_raise=levels.false_raise,
        missed_raise=levels.missed_raise,
        cap=int(levels.cap),
    )


def _with(programme: Programme, step: Step) -> Programme:
    return replace(programme, steps=tuple(step if one.key == step.key else one for one in programme.steps))


def _decided(desk: Desk, dog: str, programme: Programme, reps: Sequence[Rep]) -> Decision:
    import numpy as np

    draws = np.random.default_rng(0)
    return decide(
        reps, dog=dog, programme=programme, asks=REPS_PLANNED, draws=draws, signs=signs_of(desk, dog)
    )


def _dogs(rates: Sequence[float], step: Step, own: Step) -> tuple[DogAt, ...]:
    then, now = (characteristics_of(one.lines(), rates) for one in (step, own))
    return tuple(
        DogAt(a.rate, a.to_raise, a.to_ease, a.undecided, a.reps, b.to_raise, b.to_ease, b.reps)
        for a, b in zip(then, now, strict=True)
    )


def _ladder(raises: int, unready: DogAt, own: DogAt) -> Ladder:
    each = risk_for_ladder(raises, over=KEPT_TO) if raises else KEPT_TO
    over, own_over = (ladder_risk(raises, each=one) for one in (unready.to_raise, own.own_to_raise))
    return Ladder(raises, over, own_over, KEPT_TO, each)


def _call(decision: Decision) -> CallThen:
    return CallThen(decision.call, decision.next_step_name, decision.because)


def _ask(model: HoldModel | None, step: Step, chance: float) -> AskThen | None:
    if model is None:
        return None
    ask_s = model.ask(chance)
    low_s, high_s = model.ask_limits(chance)
    return AskThen(
        ask_s=ask_s,
        low_s=low_s,
        high_s=None if high_s == float("inf") else high_s,
        own_ask_s=model.ask(ASK_CHANCE),
        longest_s=model.longest_asked_s,
        reps=model.reps,
        breaks=model.breaks,
        beyond=model.extrapolates(ask_s),
        bound=ask_s >= model.ceiling_s,
        from_s=step.ask_s[0],
        to_s=step.ask_s[1],
        note=" ".join(model.notes),
    )


def _sentences(levels: Levels, unready: DogAt, between: DogAt, ready: DogAt) -> list[str]:
    said = [
        f"A dog at {_percent(unready.rate)} would be raised by luck {one_in(unready.to_raise)}, and needs "
        f"{unready.reps:.1f} reps on average to be told.",
        f"A dog at {_percent(ready.rate)} would be raised {_often(ready.to_raise)}, after {ready.reps:.1f} "
        f"reps on average; it would be eased though it was ready {one_in(ready.to_ease)}.",
        f"A dog in between, at {_percent(between.rate)}, would be raised {_often(between.to_raise)}, after "
        f"{between.reps:.1f} reps.",
    ]
    short = 1 - ready.to_raise - levels.missed_raise
    if short > 0.005:
        said.append(
            f"A cap of {levels.cap} reps is too short for these levels: a ready dog is not raised "
            f"{_often(1 - ready.to_raise)} instead of {_often(levels.missed_raise)}. Ask for more reps, or "
            "set the two levels further apart."
        )
    return said


def _percent(share: float) -> str:
    """A share as a person says it: 60 %, 72.5 %."""
    return f"{round(100 * share, 1):g}\u00a0%"


def _often(chance: float) -> str:
    return f"{round(100 * chance)} times in 100"
