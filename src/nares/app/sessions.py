"""A session as it stands: what was measured, what would be proposed, what a person stands by."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import msgspec

from nares.app.deciding import programme_of, step_name
from nares.app.desk import Desk
from nares.app.pages import Change, RecordingView, RepLine, SessionLine, SessionPage
from nares.app.proposals import Setting, blank, needs_a_person, propose
from nares.app.second_looks import changed_since
from nares.app.standing import timeline_of
from nares.base.errors import Refused
from nares.base.interval import wilson_interval
from nares.base.vocab import MeasuredRep
from nares.decide import Programme
from nares.record.found import Change as Amendment
from nares.record.found import KeptRep, Session, SessionCount, SetAside

CONFIDENCE = 0.95
"""Two-sided coverage of every interval on the pages. [-]"""


def session_page(desk: Desk, session: str) -> SessionPage:
    """Everything about one session.

    Raises:
        Unknown: If there is no such session.
    """
    kept = desk.store.session(session)
    timeline = timeline_of(desk, session)
    recording = recording_view(desk, session)
    programme = programme_of(desk, desk.store.dog(kept.dog).programme)
    count = desk.store.session_counts(kept.dog)[session]
    origin = desk.store.sheet_of(session)
    return SessionPage(
        line=session_line(kept, count, programme, recorded=recording is not None),
        recording=recording,
        reading=None if timeline is None else timeline.reading,
        reading_entry=None if timeline is None else timeline.reading_entry,
        reps=rep_lines(desk, session),
        front=kept.front,
        side=kept.side,
        note=kept.note,
        lanes=None if timeline is None else timeline.lanes,
        marked_by=marked_by(desk, kept),
        from_sheet="" if origin is None else origin[0].name,
        sheet_sha256="" if origin is None else origin[0].sha256,
        sheet_lines={} if origin is None else origin[1],
    )


def session_line(
    session: Session, count: SessionCount, programme: Programme, *, recorded: bool
) -> SessionLine:
    """One session in a list, with the interval of its share met."""
    limits: tuple[float | None, float | None] = (None, None)
    if count.reps:
        limits = wilson_interval(count.met / count.reps, count.reps, confidence=CONFIDENCE)
    return SessionLine(
        session=session.session,
        dog=session.dog,
        started_at=session.started_at,
        step=session.step,
        step_name=step_name(programme, session.step),
        reps=count.reps,
        met=count.met,
        low=limits[0],
        high=limits[1],
        to_confirm=count.to_confirm,
        has_recording=recorded,
    )


def marked_by(desk: Desk, session: Session) -> str:
    """Who held the clicker: whom the session names, else whoever entered it."""
    entry = desk.store.present(session.entry)
    return str(entry.payload.get("marked_by") or entry.by)


def recording_view(desk: Desk, session: str) -> RecordingView | None:
    """The recording of a session, if one was kept."""
    kept = desk.store.recording_of(session)
    if kept is None:
        return None
    facts = (kept.sha256, kept.name, kept.media_type, kept.duration_s, kept.frames_per_s, kept.notes)
    return RecordingView(*facts)


def setting_of(session: Session) -> Setting:
    """What was the same for every rep of a session."""
    return Setting(
        dog=session.dog,
        session=session.session,
        started_at=session.started_at,
        step=session.step,
        asks_s=session.asks_s,
        hand=session.hand,  # type: ignore[arg-type]
        pay_place=session.pay_place,  # type: ignore[arg-type]
        distance_m=session.distance_m,
        disturbance=session.disturbance,
        source=session.source,  # type: ignore[arg-type]
        cues=session.cues,
    )


def rep_lines(desk: Desk, session: str) -> tuple[RepLine, ...]:
    """Every rep of a session by number: measured, kept or both, with each correction."""
    store = desk.store
    # Looked up first: an amendment made meanwhile is then newer than what the line says was seen.
    changes = store.changes(session=session)
    said = store.session(session)
    timeline = timeline_of(desk, session)
    measured = {} if timeline is None else {rep.rep: rep for rep in timeline.reps}
    kept = {row.rep.rep: row for row in store.reps(session=session, also_set_aside=True)}
    aside = {row.rep: row for row in store.set_aside(session)}
    setting = setting_of(said)
    about_all = max(_about_all(said, changes), 0 if timeline is None else timeline.entry)
    lines = [
        _line(number, measured.get(number), kept.get(number), aside.get(number), setting, changes)
        for number in sorted({*measured, *kept, *aside})
    ]
    moved = changed_since(desk, session, timeline, lines, setting)
    return tuple(
        replace(line, seen=max(line.seen, about_all), look_again=moved.get(line.rep, "")) for line in lines
    )


def _about_all(session: Session, changes: Sequence[Amendment]) -> int:
    """The newest entry that says what all reps of a session have in common, such as their asks."""
    return max((one.entry for one in changes if one.amends == session.entry), default=session.entry)


def require_unchanged(desk: Desk, session: str, reps: Sequence[int], seen: int | None) -> None:
    """Refuse when something newer than what was seen is said of one of these reps.

    Raises:
        Refused: Naming the rep, the newer entry and who wrote it.
    """
    for line in () if seen is None else rep_lines(desk, session):
        if line.rep in reps and line.seen > (seen or 0):
            raise Refused(changed_meanwhile(desk, f"Rep {line.rep}", line.seen))


def changed_meanwhile(desk: Desk, what: str, entry: int) -> str:
    """Say what was changed by whom while a person looked at what stood before."""
    by = desk.store.entry(entry).by
    return f"{what} was changed since this page was opened (entry {entry} by {by}): look again."


def _line(
    number: int,
    measured: MeasuredRep | None,
    kept: KeptRep | None,
    aside: SetAside | None,
    setting: Setting,
    changes: Sequence[Amendment],
) -> RepLine:
    proposed = None if measured is None else propose(measured, setting)
    state = "set aside" if aside else "measured" if kept is None else kept.state
    if kept is not None and state == "confirmed" and proposed is not None and kept.rep != proposed:
        state = "corrected"
    own = (*_aside(aside), *_changes(kept, changes))
    return RepLine(
        rep=number,
        measured=measured,
        proposed=proposed,
        kept=None if kept is None else kept.rep,
        start=kept.rep if kept else proposed or blank(number, setting),
        state=state,
        low_certainty=measured is not None and needs_a_person(measured),
        changes=own,
        seen=max((0 if kept is None else kept.entry, *(change.entry for change in own))),
    )


def _aside(aside: SetAside | None) -> tuple[Change, ...]:
    if aside is None:
        return ()
    return (Change("set aside", "counted", "set aside", aside.why, aside.by, aside.at, aside.entry),)


def _changes(kept: KeptRep | None, changes: Sequence[Amendment]) -> tuple[Change, ...]:
    if kept is None:
        return ()
    own = [one for one in changes if one.amends == kept.entry and one.place == kept.place]
    return tuple(
        Change(
            one.field.rsplit("/", 1)[-1], shown(one.old), shown(one.new), one.why, one.by, one.at, one.entry
        )
        for one in own
    )


def shown(value: Any) -> str:
    """A recorded value as plain text."""
    if value is None:
        return "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Mapping | list):
        return msgspec.json.encode(value).decode()
    return f"{value:g}" if isinstance(value, float) else str(value)
