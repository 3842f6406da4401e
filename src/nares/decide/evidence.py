"""Which reps speak for the step a dog is at.

Conventions
-----------
Reps are put in order of their time, session and number. A dog's step is that of its latest rep. The
*stretch* at a step reaches back session by session while sessions have reps at it, and ends where the
criterion changed: at a session without this step, or at a rep of a later step (a raise that was taken
back). Reps of earlier steps in between are warm-ups and end nothing.

Within the stretch a rep asked for less than the step's shortest hold is an easy rep: it was given to be
met, so it counts neither for nor against the step. A blank or a distractor counts only at a step that has
them; elsewhere it is set aside. Holds are learnt from searches with target only.

Reps that close a session at an easier step end it on success; they do not make that step the dog's own. The
session's step is then the harder one, if it carried at least a quarter of the session and more reps than
followed it.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from nares.base.errors import Unknown
from nares.base.times import read_utc
from nares.base.vocab import Rep
from nares.decide.hold.asks import TICK_S
from nares.decide.hold.holds import REFUSED_S
from nares.decide.isolation.easing import step_of
from nares.decide.steps.programme import Programme, Step


@dataclass(frozen=True, slots=True)
class Stretch:
    """The reps at one step since the criterion last changed: ``counted`` for the call, the others not.

    ``easy``: asked for less than the step. ``aside``: without target at a step that is about the target.
    ``closing``: how many reps closed the newest session at an easier step.
    """

    step: str
    counted: tuple[Rep, ...]
    easy: tuple[Rep, ...]
    aside: tuple[Rep, ...] = ()
    closing: int = 0

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
    places = {step.key: place for place, step in enumerate(programme.steps)}
    closing = closing_reps(reps, places)
    reps = reps[: len(reps) - closing]
    key = reps[-1].step
    with_step = _sessions_with(reps, key)
    here = places.get(key, len(places))
    taken: list[Rep] = []
    for rep in reversed(reps):
        if rep.session not in with_step or places.get(rep.step, -1) > here:
            break
        if rep.step == key:
            taken.append(rep)
    step = step_of(programme, key)
    counted: list[Rep] = []
    easy: list[Rep] = []
    aside: list[Rep] = []
    for rep in reversed(taken):
        heap = aside if not is_about(rep, step) else easy if step and is_easy(rep, step) else counted
        heap.append(rep)
    return Stretch(key, tuple(counted), tuple(easy), tuple(aside), closing)


def closing_reps(reps: Sequence[Rep], places: Mapping[str, int]) -> int:
    """How many reps at the end only closed the newest session at an easier step than it was about."""
    newest = [rep for rep in reps if rep.session == reps[-1].session]
    last = places.get(reps[-1].step)
    if last is None or list(reps[-len(newest) :]) != newest:
        return 0
    after = {rep.step: len(newest) - 1 - index for index, rep in enumerate(newest)}
    shares = Counter(rep.step for rep in newest)
    harder = [
        key
        for key in shares
        if places.get(key, -1) > last and shares[key] >= len(newest) / 4 and shares[key] > after[key]
    ]
    return after[max(harder, key=places.__getitem__)] if harder else 0


def is_about(rep: Rep, step: Step | None) -> bool:
    """Whether a rep speaks for its step: with target, or without one where the step has such searches."""
    if rep.source == "target" or step is None:
        return rep.source == "target"
    return step.blanks > 0 if rep.source == "blank" else step.distractors > 0


def speaks_for(rep: Rep, step: Step | None) -> bool:
    """Whether a rep at a step counts for it: about what the step is about, and not asked for less."""
    return is_about(rep, step) and not (step is not None and is_easy(rep, step))


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
