"""Where a call leads: to the step it named, or to the one a person decided on instead."""

from nares.decide import Programme
from nares.decide.isolation.easing import eased_by, parent_of, step_of
from nares.record.found import CallMade


def next_step_of(programme: Programme, made: CallMade) -> str:
    """Where the work goes on after a call: what a person decided, where one did, else what was called."""
    if made.overruled is None:
        return made.next_step
    if made.overruled.next_step:
        return made.overruled.next_step
    return implied_step(programme, made.step, made.overruled.call, advised=made.next_step)


def implied_step(programme: Programme, step: str, call: str, *, advised: str) -> str:
    """Where a call leads by itself from a step; ``advised`` where nothing else can be said."""
    place, own = programme.place_of(step), step_of(programme, step)
    if call == "stay" or own is None:
        return step if call == "stay" else advised
    if place is None:
        return parent_of(step) if call == "raise" else eased_by(own, programme, 1).key
    there = min(max(place + (1 if call == "raise" else -1), 0), len(programme.steps) - 1)
    return programme.steps[there].key
