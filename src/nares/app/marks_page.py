"""How people mark: every mark of the measured sessions, by person and dog, with what to practise next.

Conventions
-----------
Marks are those that stand, corrections included. ``looked_at`` are marks whose rep a person has confirmed, or
which a person placed or kept on the timeline. Reps set aside do not count. Who marked is what the session
says, else whoever entered it.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import date
from typing import Any

from nares.app.answers import answer, rounded
from nares.app.desk import Desk
from nares.app.proposals import ask_of
from nares.app.sessions import CONFIDENCE, marked_by
from nares.app.standing import Timeline, bouts_standing, timeline_of
from nares.base.errors import OutOfRange, Unknown
from nares.base.vocab import Bout, MeasuredRep
from nares.measure.marking.marks import DETECTION_S, ORDINARY_S, SIMPLE_MEAN_S, phase_at
from nares.measure.marking.marks import MarkSeen as MarkSeen  # shown as it was measured
from nares.measure.marking.practice import Practice as Practice
from nares.measure.marking.practice import practice_for
from nares.measure.marking.timing import Timing as Timing
from nares.measure.marking.timing import timing_of
from nares.measure.sound.breath import bouts_of
from nares.record.found import Session
from nares.report.marking_plots import delays_svg, phases_svg


@dataclass(frozen=True, slots=True)
class MarksLine:
    """The marks of one person, or of one dog. ``practice``: what this person may practise; none for a dog."""

    name: str
    timing: Timing
    practice: tuple[Practice, ...] = ()


@dataclass(frozen=True, slots=True)
class MarksPage:
    """How people mark.

    ``dog``, ``person``, ``since``, ``until``: what was chosen, empty for all; days as YYYY-MM-DD.
    ``sessions``: measured sessions looked through; ``without_marks``: those of them in which no mark stands;
    ``set_aside``: marks left out with their rep. ``timing``: None without a mark; ``why_none`` says why.
    """

    dog: str
    person: str
    since: str
    until: str
    dogs: tuple[str, ...]
    people: tuple[str, ...]
    sessions: int
    without_marks: int
    set_aside: int
    timing: Timing | None
    by_person: tuple[MarksLine, ...]
    by_dog: tuple[MarksLine, ...]
    marks: tuple[MarkSeen, ...]
    delays_svg: str | None
    over_ask_svg: str | None
    phases_svg: str | None
    why_none: str
    confidence: float


def marks_page(desk: Desk, *, dog: str = "", person: str = "", since: str = "", until: str = "") -> MarksPage:
    """Sum up the marks of a person, a dog and a period; empty for all.

    Args:
        desk: Where the record is.
        dog: Only this dog's sessions.
        person: Only sessions this person marked.
        since: The first day that counts, YYYY-MM-DD.
        until: The last day that counts.

    Raises:
        Unknown: If there is no such dog, or nobody of that name has marked.
        OutOfRange: If a day is none.
    """
    if dog:
        desk.store.dog(dog)
    days = _day(since), _day(until)
    every = desk.store.sessions()
    by = {session.session: marked_by(desk, session) for session in every}
    people = tuple(sorted(set(by.values())))
    if person and person not in people:
        known = ", ".join(people) or "nobody yet"
        raise Unknown(f"No session says that {person} marked. Those who did: {known}.")
    chosen = [
        session
        for session in every
        if dog in ("", session.dog) and person in ("", by[session.session]) and _within(session, *days)
    ]
    found = [one for session in reversed(chosen) if (one := _looked_through(desk, session, by)) is not None]
    marks = [mark for kept, _ in found for mark in kept]
    timing = timing_of(marks, confidence=CONFIDENCE) if marks else None
    people_lines = _lines(marks, lambda mark: mark.person)
    return MarksPage(
        dog=dog,
        person=person,
        since=since,
        until=until,
        dogs=tuple(one.dog for one in desk.store.dogs()),
        people=people,
        sessions=len(found),
        without_marks=sum(not kept for kept, _ in found),
        set_aside=sum(aside for _, aside in found),
        timing=timing,
        by_person=tuple(replace(line, practice=practice_for(line.timing)) for line in people_lines),
        by_dog=_lines(marks, lambda mark: mark.dog),
        marks=tuple(marks),
        **_plots(timing),
        why_none="" if marks else _why_none(len(found), len(chosen)),
        confidence=CONFIDENCE,
    )


def _looked_through(desk: Desk, session: Session, by: Mapping[str, str]) -> tuple[list[MarkSeen], int] | None:
    """The marks of a session that count, and how many went with reps set aside; None without a reading."""
    timeline = timeline_of(desk, session.session)
    if timeline is None:
        return None
    aside = {row.rep for row in desk.store.set_aside(session.session)}
    found = marks_of(desk, session, by[session.session], timeline)
    kept = [mark for mark in found if mark.rep not in aside]
    return kept, len(found) - len(kept)


def marks_of(desk: Desk, session: Session, person: str, timeline: Timeline) -> list[MarkSeen]:
    """Every mark of a session that counts as a rep's, those of reps set aside included."""
    kept = {row.rep.rep: row.rep for row in desk.store.reps(session=session.session)}
    placed = {event.times_s[0] for event in timeline.standing.lane("marks") if event.by}
    bouts = _bouts(timeline)
    found = []
    for rep in timeline.reps:
        ask_s = kept[rep.rep].ask_s if rep.rep in kept else ask_of(session.asks_s, rep.rep)
        looked_at = rep.rep in kept or rep.mark_s in placed
        mark = _mark(session, person, rep, ask_s, bouts, timeline, looked_at=looked_at)
        found += [] if mark is None else [mark]
    return found


def _mark(
    session: Session,
    person: str,
    rep: MeasuredRep,
    ask_s: float | None,
    bouts: Sequence[Bout] | None,
    timeline: Timeline,
    *,
    looked_at: bool,
) -> MarkSeen | None:
    if rep.mark_s is None:
        return None
    phase = phase_at(rep.mark_s, bouts, timeline.lanes.inhales)
    delay = rep.mark_delay_s
    return MarkSeen(
        session=session.session,
        dog=session.dog,
        person=person,
        rep=rep.rep,
        at_s=rep.mark_s,
        delay_s=delay,
        over_ask_s=None if delay is None or ask_s is None else delay - ask_s,
        after_intake_s=None if phase is None else phase[1],
        phase=None if phase is None else phase[0],
        cycle_s=None if phase is None else phase[2],
        sniffing=rep.sniffing_at_mark,
        inhaling=rep.inhaling_at_mark,
        looked_at=looked_at,
    )


def _bouts(timeline: Timeline) -> Sequence[Bout] | None:
    """Sniffing bouts that stand; readings made before bouts were kept have theirs from the intakes."""
    intakes = timeline.lanes.inhales
    if intakes is None:
        return None
    return bouts_standing(timeline.reading, timeline.standing) or bouts_of(list(intakes))


def _within(session: Session, since: date | None, until: date | None) -> bool:
    day = date.fromisoformat(session.started_at[:10])
    return (since is None or since <= day) and (until is None or day <= until)


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text) if text else None
    except ValueError:
        raise OutOfRange(f"{text!r} is not a day. Write it like 2026-03-14.") from None


def _lines(marks: Iterable[MarkSeen], who: Callable[[MarkSeen], str]) -> tuple[MarksLine, ...]:
    """One line a name, most marks first."""
    by: dict[str, list[MarkSeen]] = {}
    for mark in marks:
        by.setdefault(who(mark), []).append(mark)
    order = sorted(by, key=lambda name: (-len(by[name]), name))
    return tuple(MarksLine(name, timing_of(by[name], confidence=CONFIDENCE)) for name in order)


def _plots(timing: Timing | None) -> dict[str, str | None]:
    if timing is None:
        return {"delays_svg": None, "over_ask_svg": None, "phases_svg": None}
    after, over, direction = timing.after_nose, timing.over_ask, timing.direction
    return {
        "delays_svg": delays_svg(
            after.values_s,
            what="after nose-in",
            bands_s=(DETECTION_S, SIMPLE_MEAN_S, ORDINARY_S),
            median_s=after.middle.median,
        )
        if after.middle
        else None,
        "over_ask_svg": delays_svg(
            over.values_s, what="after the ask", bands_s=(), median_s=over.middle.median
        )
        if over.middle
        else None,
        "phases_svg": phases_svg(
            timing.phases,
            mean=direction.phase,
            length=direction.length,
            low=direction.low,
            high=direction.high,
        )
        if direction
        else None,
    }


def _why_none(looked: int, chosen: int) -> str:
    if looked:
        return "No mark stands in these sessions. Look at their timelines: a mark may have been missed."
    if chosen:
        return "None of these sessions has a recording that was measured. Add a recorded session."
    return "There is no session here yet. Choose another person, dog or period, or add a recorded session."


def marks_answer(page: MarksPage) -> dict[str, Any]:
    """Lay the marks out as ``marks/1``; the drawings stay on the page."""
    body = {name: value for name, value in asdict(page).items() if not name.endswith("_svg")}
    return answer("marks/1", rounded(body))
