"""How one dog comes on: `progress_of` joins curve, changes, cold starts, sessions and mastered steps.

Conventions
-----------
The step looked at is the one the dog is at (`nares.decide.evidence.latest_stretch`) unless another is named;
curve, changes, cold starts and sessions are of its counted reps (`nares.decide.progress.course`). The level
of the curve is the step's ``not_ready``. Mastered steps are always those before the step the dog is at.
"""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

from nares.base.interval import session_spread, wilson_interval
from nares.base.vocab import Rep
from nares.decide.evidence import latest_stretch, reps_of
from nares.decide.progress.change_points import MOST_REPS, Stretch, change_points, stretches
from nares.decide.progress.clusters import Alike, sessions_alike
from nares.decide.progress.cold import COLD_REPS, ColdStart, cold_start
from nares.decide.progress.course import Bin, Course, Place, bins_of, course_at
from nares.decide.progress.curve import LearningCurve, learning_curve
from nares.decide.progress.fits import Start
from nares.decide.progress.mastered import Mastered, mastered_steps
from nares.decide.steps.programme import LEVELS, Programme

FEWEST_REPS = 5
"""With fewer reps at a step no curve is drawn. [count]"""

CONFIDENCE = 0.95


@dataclass(frozen=True, slots=True)
class Changed:
    """A change of the share met: the first rep of the new stretch, and the reps before and after it."""

    place: Place
    before: Stretch
    after: Stretch


@dataclass(frozen=True, slots=True)
class StepCourse:
    """The curve at a step over its bins, and where the dog had learned; None while it has not."""

    curve: LearningCurve
    bins: tuple[Bin, ...]
    learned: Place | None


@dataclass(frozen=True, slots=True)
class Progress:
    """One dog's progress.

    ``at_step``: the step the dog is at; ``step``: the one looked at; ``known``: whether the programme has it.
    ``reps``, ``met``: counted reps there; ``left_out``: others there. ``rate``, ``low``, ``high``: share met
    and its interval at ``confidence``, over ``effective_reps``. ``course`` is None with too few reps.
    ``borders``: the first rep of each session. ``changes_from``: the rep from which on changes were looked
    for. ``cold_ask_s`` and ``later_ask_s``: mean asks of the cold and the later reps; None where none were
    asked.
    """

    dog: str
    programme: str
    at_step: str
    step: str
    step_name: str
    known: bool
    level: float
    ready: float
    reps: int
    met: int
    left_out: int
    sessions: int
    rate: float | None
    low: float | None
    high: float | None
    effective_reps: float
    confidence: float
    note: str
    course: StepCourse | None
    borders: tuple[Place, ...]
    changes: tuple[Changed, ...]
    changes_from: int
    cold: ColdStart
    cold_ask_s: float | None
    later_ask_s: float | None
    alike: Alike
    mastered: tuple[Mastered, ...]


def progress_of(
    reps: Sequence[Rep],
    *,
    dog: str,
    programme: Programme,
    step: str | None = None,
    start: Start = "open",
    confidence: float = CONFIDENCE,
) -> Progress:
    """Bring together how a dog comes on at a step, and whether it still meets those before it.

    Args:
        reps: Reps of one or more dogs, in any order; none is an empty answer.
        dog: The dog's name as in the reps.
        programme: Its programme.
        step: The step to look at, or None for the one the dog is at.
        start: Where the curve begins (`nares.decide.progress.fits`).
        confidence: Two-sided coverage of the intervals; the band of the curve is one of 90 %. [-]

    Raises:
        Unknown: If there are reps, but none of this dog, or nobody knows the step.
        NotEnoughData: If a published start is asked of reps that do not carry it.
        OutOfRange: If a rep holds a value that cannot be.
    """
    own = reps_of(reps, dog)
    at_step = latest_stretch(own, programme).step if own else programme.steps[0].key
    key = at_step if step is None else step
    _require_known(key, own, programme)
    place = programme.place_of(key)
    found = None if place is None else programme.steps[place]
    course = course_at(own, key, found)
    met = [rep.met for rep in course.reps]
    level, ready = (found.not_ready, found.ready) if found else (LEVELS["not_ready"], LEVELS["ready"])
    spread = session_spread(met, [rep.session for rep in course.reps]) if met else None
    rate = sum(met) / len(met) if met else None
    low, high = (
        wilson_interval(rate, spread.effective_reps, confidence=confidence)
        if rate is not None and spread is not None
        else (None, None)
    )
    by_session = course.by_session()
    cold_ask_s, later_ask_s = _asks(course)
    changes, changes_from = _changes(course, met)
    return Progress(
        dog=dog,
        programme=programme.name,
        at_step=at_step,
        step=key,
        step_name=found.name if found else key,
        known=found is not None,
        level=level,
        ready=ready,
        reps=len(met),
        met=sum(met),
        left_out=course.left_out,
        sessions=len(course.sessions),
        rate=rate,
        low=low,
        high=high,
        effective_reps=spread.effective_reps if spread else 0.0,
        confidence=confidence,
        note=spread.note if spread else "",
        course=_course(course, level, start),
        borders=_borders(course),
        changes=changes,
        changes_from=changes_from,
        cold=cold_start(by_session, course.begun_cold, confidence=confidence),
        cold_ask_s=cold_ask_s,
        later_ask_s=later_ask_s,
        alike=sessions_alike(
            [sum(one) for one in by_session], [len(one) for one in by_session], confidence=confidence
        ),
        mastered=mastered_steps(own, programme, at_step, confidence=confidence),
    )


def _require_known(key: str, own: Sequence[Rep], programme: Programme) -> None:
    if programme.place_of(key) is None and all(rep.step != key for rep in own):
        programme.step(key)


def _course(course: Course, level: float, start: Start) -> StepCourse | None:
    if len(course.reps) < FEWEST_REPS:
        return None
    bins = bins_of(course)
    curve = learning_curve([one.met for one in bins], [one.tried for one in bins], level=level, start=start)
    learned = None if curve.learned_at is None else course.place(bins[curve.learned_at - 1].first)
    return StepCourse(curve, bins, learned)


def _borders(course: Course) -> tuple[Place, ...]:
    found, rep = [], 1
    for _, count in course.sessions:
        found.append(course.place(rep))
        rep += count
    return tuple(found)


def _changes(course: Course, met: Sequence[bool]) -> tuple[tuple[Changed, ...], int]:
    """Changes among the newest reps, counted among all of them."""
    skipped = max(0, len(met) - MOST_REPS)
    newest = met[skipped:]
    parts = stretches(newest, change_points(newest))
    moved = [Stretch(part.first + skipped, part.last + skipped, part.met) for part in parts]
    pairs = itertools.pairwise(moved)
    return tuple(Changed(course.place(after.first), before, after) for before, after in pairs), skipped + 1


def _asks(course: Course) -> tuple[float | None, float | None]:
    """Mean asks of cold and later reps, over the sessions that are compared."""
    cold: list[float] = []
    later: list[float] = []
    begin = 0
    for (_, count), fresh in zip(course.sessions, course.begun_cold, strict=True):
        session = course.reps[begin : begin + count]
        begin += count
        if fresh and count >= 2 * COLD_REPS:
            cold += [rep.ask_s for rep in session[:COLD_REPS] if rep.ask_s is not None]
            later += [rep.ask_s for rep in session[COLD_REPS:] if rep.ask_s is not None]
    return (sum(cold) / len(cold) if cold else None, sum(later) / len(later) if later else None)
