"""The timeline of a session for editing: what was read, every edit, the reps that stand now."""

from collections.abc import Sequence

from nares.app.desk import Desk
from nares.app.pages import RepBar, TimelineEvent, TimelinePage
from nares.app.sessions import recording_view, rep_lines, session_page
from nares.app.standing import own_edits, own_sheets, timeline_of
from nares.base.vocab import MeasuredRep
from nares.measure.corrections import Event
from nares.measure.numbering import place_of

READING, OWN = "reading", "own"


def timeline_page(desk: Desk, session: str, *, own: str = "") -> TimelinePage:
    """Everything a person needs to put a session's events right, or to mark them on an own sheet.

    Args:
        desk: Where the record is.
        session: Which session.
        own: Whose own sheet, which begins empty and hides what the machine read; empty for the reading.

    Raises:
        Unknown: If there is no such session.
    """
    kept = desk.store.session(session)
    timeline = None if own else timeline_of(desk, session)
    newest = desk.store.reading_of(session)
    regions = {} if newest is None else newest.settings
    edits = own_edits(desk, session, own) if own else timeline.edits if timeline else ()
    return TimelinePage(
        session=session,
        dog=kept.dog,
        sheet=OWN if own else READING,
        recording=recording_view(desk, session),
        reading_entry=None if timeline is None else timeline.reading_entry,
        read=() if timeline is None else tuple(map(_event, timeline.read)),
        edits=tuple(edits),
        lost=() if timeline is None else timeline.reading.lost,
        reps=() if own else rep_bars(desk, session),
        own_sheets=own_sheets(desk, session),
        page=None if own else session_page(desk, session),
        readings=tuple(desk.store.readings_of(session)),
        front=_parts(regions.get("front")),
        side=_parts(regions.get("side")),
    )


def rep_bars(desk: Desk, session: str) -> tuple[RepBar, ...]:
    """The reps that stand, in time order, each in a few words."""
    bars = []
    for line in rep_lines(desk, session):
        if line.measured is None:
            continue
        place = place_of(line.measured)
        look = line.look_again or ("Uncertain." if line.low_certainty and line.state == "measured" else "")
        bars.append(RepBar(line.rep, place.start_s, place.end_s, line.state, look, _said(line.measured)))
    return tuple(sorted(bars, key=lambda bar: (bar.start_s, bar.rep)))


def _said(rep: MeasuredRep) -> str:
    hold = "hold not known" if rep.hold_s is None else f"hold {rep.hold_s:.2f} s"
    ended = {"mark": "ended by the mark", "dog": "ended by the dog", "unknown": "end not known"}
    return f"{hold}, {ended[rep.ended_by]}"


def _parts(region: Sequence[float] | None) -> tuple[float, ...] | None:
    return tuple(region) if region else None


def _event(event: Event) -> TimelineEvent:
    return TimelineEvent(event.event, event.lane, event.times_s, event.sure)
