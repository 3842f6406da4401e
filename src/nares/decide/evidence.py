"""Which reps speak for the step a dog is at.

Conventions
-----------
Reps are put in order of their time, session and number. A dog's step is that of its latest rep. The
*stretch* at a step reaches back session by session while sessions have reps at it, and ends where the
criterion changed: at a session without this step, or at a rep of a later step (a raise that was taken
back). Reps of earlier steps in between are warm-ups and end nothing.

Within the stretch a rep asked for less than the step's shortest hold is an easy rep: it was given to be
met, so it counts neither for nor against the step. Holds are learnt from searches with target only.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from nares.base.errors import Unknown
from nares.base.times import read_utc
from nares.base.vocab import Rep
from nares.decide.asks import TICK_S
from nares.decide.programme import Programme, Step

REFUSED_S = 0.2
"""A hold shorter than this, ended by the dog, is a refusal: it looked in and left."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """The reps at one step since the criterion last changed: ``counted`` for the call, ``easy`` not."""

    step: str
    counted: tuple[Rep, ...]
    easy: tuple[Rep, ...]

    @property
    def reps(self) -> tuple[Rep, ...]:
        """Counted and easy reps in order."""
        return tuple(in_order([*self.counted, *self.easy]))


def in_order(reps: Sequence[Rep]) -> list[Rep]:
    """Reps oldest first.

    Raises:
        OutOfRange: If a time cannot be read or has no zone.
    """
    read: dict[str, datetime] = {rep.started_at: read_utc(rep.started_at) for rep in reps}
    return sorted(reps, key=lambda rep: (read[rep.started_at], rep.session, rep.rep))


def reps_of(reps: Sequence[Rep], dog: str) -> list[Rep]:
    """The reps of one dog, oldest first.

    Raises:
        Unknown: If there are reps, but none of this dog.
    """
    own = [rep for rep in reps if rep.dog == dog]
    if reps and not own:
        dogs = ", ".join(sorted({rep.dog for rep in reps}))
        raise Unknown(f"There is no rep of a dog named {dog!r}. These reps are of: {dogs}.")
    return in_order(own)


def latest_stretch(reps: Sequence[Rep], programme: Programme) -> Stretch:
    """The stretch that ends with the latest of these reps (oldest first, at least one)."""
    key = reps[-1].step
    with_step = _sessions_with(reps, key)
    places = {step.key: place for place, step in enumerate(programme.steps)}
    here = places.get(key, len(places))
    taken: list[Rep] = []
    for rep in reversed(reps):
        if rep.session not in with_step or places.get(rep.step, -1) > here:
            break
        if rep.step == key:
            taken.append(rep)
    taken.reverse()
    step = programme.steps[here] if key in places else None
    easy = [step is not None and is_easy(rep, step) for rep in taken]
    return Stretch(
        key,
        tuple(rep for rep, out in zip(taken, easy, strict=True) if not out),
        tuple(rep for rep, out in zip(taken, easy, strict=True) if out),
    )


def is_easy(rep: Rep, step: Step) -> bool:
    """Whether a rep was asked for less than the step's shortest hold."""
    return rep.ask_s is not None and rep.ask_s < step.ask_s[0] - TICK_S / 2


def refusals(session: Sequence[Rep], *, window: int) -> int:
    """Count reps on target that the dog left at once among the last ``window`` of a session.

    A hold that is missing counts as a refusal only where other holds of the session were written down.
    """
    written = any(rep.hold_s is not None for rep in session)
    return sum(_is_refusal(rep, written) for rep in session[-window:])


def _is_refusal(rep: Rep, written: bool) -> bool:
    left = written if rep.hold_s is None else rep.hold_s < REFUSED_S
    return left and not rep.met and rep.source == "target" and rep.ended_by == "dog"


def _sessions_with(reps: Sequence[Rep], key: str) -> set[str]:
    return {rep.session for rep in reps if rep.step == key}
