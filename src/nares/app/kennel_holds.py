"""What the kennel's other dogs teach of holds, read from the record only where a dog needs it."""

from collections.abc import Sequence

from nares.app.desk import Desk
from nares.base.vocab import Rep
from nares.decide import OtherDogs, learn_other_dogs, needs_other_dogs

DOGS_READ, SESSIONS_READ = 12, 6
"""At most so many other dogs speak, each with its latest sessions at the step. [count]"""


def other_dogs(desk: Desk, dog: str, reps: Sequence[Rep], step: str) -> OtherDogs | None:
    """What other dogs teach of holds at a step; None where this dog has enough of its own there."""
    if not needs_other_dogs(reps, step):
        return None
    others = [other.dog for other in desk.store.dogs() if other.dog != dog][:DOGS_READ]
    return learn_other_dogs([_holds_at(desk, other, step) for other in others])


def _holds_at(desk: Desk, dog: str, step: str) -> tuple[list[float], list[bool]]:
    """The holds of a dog in its latest sessions at a step, and whether it ended each."""
    at_step = [kept.session for kept in desk.store.sessions(dog) if kept.step == step]
    held = [
        (row.rep.hold_s, row.rep.ended_by == "dog")
        for session in at_step[:SESSIONS_READ]
        for row in desk.store.reps(session=session)
        if row.rep.step == step and row.rep.source == "target"
    ]
    timed = [(hold_s, broke) for hold_s, broke in held if hold_s is not None]
    return [hold_s for hold_s, _ in timed], [broke for _, broke in timed]
