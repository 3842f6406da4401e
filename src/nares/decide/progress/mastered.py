"""The steps a dog was raised from: does it still meet them?

Conventions
-----------
A step is *mastered* when the dog has reps at it, went on to a later step, and its step now is a later one.
The watch begins with the first rep at a later step. Watched are all later reps at the mastered step that
count there: proof sessions, warm-ups and closing reps that were asked for in full. A warm-up asked for less
than the step's shortest hold is not watched, because it was given to be met.

``good`` and ``bad`` of the alarm are the step's ``ready`` and ``not_ready``. After an alarm the step counts
as fallen back until the reps since then have earned the raise again (`nares.decide.calling.step`); then the
watch begins anew.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from nares.base.interval import session_spread, wilson_interval
from nares.base.vocab import Rep
from nares.decide.calling.step import step_call
from nares.decide.evidence import speaks_for
from nares.decide.progress.course import Place
from nares.decide.progress.relapse import Watch, relapse_watch, run_sum
from nares.decide.steps.programme import Programme, Step

Standing = Literal["untried", "quiet", "watch", "relapse"]

WATCHFUL = 0.5
"""Above this part of the line a step is watched closely. [-]"""

SOON = 400
"""Reps after an alarm among which a raise is looked for first. [count]"""


@dataclass(frozen=True, slots=True)
class Mastered:
    """A mastered step and how it stands.

    ``reps``, ``met``: watched reps since the dog went on; ``low``, ``high``: interval of their share at
    ``confidence``, widened where sessions differ. ``raised``: the first rep at a later step. ``newest``: the
    last watched rep. ``since``: where the misses of the alarm began; ``alarm``: where it went; ``since_reps``
    and ``since_met`` count from there. ``height``: the sum as a part of its line. ``earlier``: alarms since
    earned back.
    """

    step: str
    step_name: str
    standing: Standing
    reps: int
    met: int
    low: float | None
    high: float | None
    confidence: float
    sessions: int
    raised: Place
    newest: Place | None
    since: Place | None
    alarm: Place | None
    since_reps: int
    since_met: int
    height: float
    earlier: int
    watch: Watch


def mastered_steps(
    reps: Sequence[Rep], programme: Programme, current: str, *, confidence: float = 0.95
) -> tuple[Mastered, ...]:
    """Look at every mastered step of a dog.

    Args:
        reps: All reps of one dog, oldest first.
        programme: Its programme.
        current: The step the dog is at.
        confidence: Two-sided coverage of the intervals. [-]
    """
    places = {step.key: place for place, step in enumerate(programme.steps)}
    here = places.get(current)
    if here is None:
        return ()
    order = [places.get(rep.step, -1) for rep in reps]
    at: dict[int, list[int]] = {}
    for index, place in enumerate(order):
        at.setdefault(place, []).append(index)
    found = []
    for place in range(here):
        went_on = _went_on(order, at.get(place, []), place)
        if went_on is not None:
            step = programme.steps[place]
            later = [reps[index] for index in at[place] if index > went_on]
            first = reps[went_on]
            raised = Place(0, first.session, first.started_at)
            watched = [rep for rep in later if speaks_for(rep, step)]
            found.append(_standing(watched, step, raised, confidence))
    return tuple(found)


def _went_on(order: Sequence[int], at: Sequence[int], place: int) -> int | None:
    """Which rep was the first at a later step than this one; None for a step the dog was never at."""
    if not at:
        return None
    return next((index for index in range(at[0], len(order)) if order[index] > place), None)


def _standing(watched: Sequence[Rep], step: Step, raised: Place, confidence: float) -> Mastered:
    met = [rep.met for rep in watched]
    watch = relapse_watch(good=step.ready, bad=step.not_ready)
    begun, earlier = 0, 0
    while True:
        found = run_sum(met[begun:], watch)
        if found.alarm is None:
            break
        again = _earned_back(met[begun + found.alarm.at :], step)
        if again is None:
            break
        begun, earlier = begun + found.alarm.at + again, earlier + 1
    standing: Standing = "watch" if found.height > WATCHFUL else "quiet"
    standing = "relapse" if found.alarm else standing if watched else "untried"
    since = None if found.since is None else begun + found.since
    spread = session_spread(met, [rep.session for rep in watched]) if watched else None
    share = sum(met) / len(met) if met else None
    low, high = (
        wilson_interval(share, spread.effective_reps, confidence=confidence)
        if share is not None and spread is not None
        else (None, None)
    )
    tail = met[since - 1 :] if since else []
    return Mastered(
        step=step.key,
        step_name=step.name,
        standing=standing,
        reps=len(met),
        met=sum(met),
        low=low,
        high=high,
        confidence=confidence,
        sessions=spread.sessions if spread else 0,
        raised=raised,
        newest=_place(watched, len(watched)) if watched else None,
        since=_place(watched, since) if since else None,
        alarm=_place(watched, begun + found.alarm.at) if found.alarm else None,
        since_reps=len(tail),
        since_met=sum(tail),
        height=found.height,
        earlier=earlier,
        watch=watch,
    )


def _earned_back(after: Sequence[bool], step: Step) -> int | None:
    """After how many reps since an alarm the raise was earned again; None while it was not."""
    for among in (after[:SOON], after) if len(after) > SOON else (after,):
        found = step_call(
            among,
            ready=step.ready,
            not_ready=step.not_ready,
            false_raise=step.false_raise,
            missed_raise=step.missed_raise,
        )
        if found.call == "raise":
            return found.decided_at
    return None


def _place(reps: Sequence[Rep], rep: int) -> Place:
    found = reps[rep - 1]
    return Place(rep, found.session, found.started_at)
