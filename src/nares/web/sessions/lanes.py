"""The lanes under the player: what was heard and seen, in time, each event with its certainty.

Conventions
-----------
Positions are whole milliseconds from the start of the recording, so that the drawing's own coordinates
are the time and zooming is a change of its window. An event is drawn lighter with a broken outline when
its certainty is under `SURE_ENOUGH`; the number itself is in its label.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from nares.app.pages import LanesAs, RepLine, SessionPage
from nares.base.vocab import Mark, Reading, Span

SURE_ENOUGH = 0.8
MARK_WIDTH_MS = 60
LANE_HEIGHT = 22
LANE_GAP = 22
"""Room above each lane for its name. [px]"""


@dataclass(frozen=True, slots=True)
class Event:
    """One thing on a lane: from where, how long, what to say of it. [ms]"""

    at_ms: int
    wide_ms: int
    unsure: bool
    label: str
    rep: int | None = None
    state: str = ""


@dataclass(frozen=True, slots=True)
class Lane:
    """One named row of events. ``top`` is its upper edge in the drawing. [px]"""

    key: str
    name: str
    nothing: str
    events: tuple[Event, ...]
    top: int = 0


@dataclass(frozen=True, slots=True)
class Lanes:
    """Every lane of a session, and the size of the drawing."""

    lanes: tuple[Lane, ...]
    duration_ms: int
    height: int
    lane_height: int = LANE_HEIGHT


def lanes_of(page: SessionPage) -> Lanes:
    """Lay out everything that stands of this session: what was measured, as people corrected it."""
    return _laid_out(page, page.lanes or page.reading)


def read_lanes_of(page: SessionPage) -> Lanes:
    """Lay out what the machine read, whatever was corrected since."""
    return _laid_out(page, page.reading)


def _laid_out(page: SessionPage, seen: Reading | LanesAs | None) -> Lanes:
    rows = [
        Lane("reps", "Reps", "no rep found", tuple(filter(None, map(_rep_event, page.reps)))),
        Lane("marks", "Marks", "no mark heard", _marks(seen)),
        Lane("inhales", "Inhalations", "none heard", _spans("Inhalation", seen.inhales if seen else None)),
        Lane("nose", "Nose in", "not measured", _spans("Nose in", seen.nose_in if seen else None)),
        Lane("hand", "Hand in", "not measured", _spans("Hand in", seen.hand_in if seen else None)),
    ]
    placed = tuple(
        Lane(row.key, row.name, row.nothing, row.events, number * (LANE_HEIGHT + LANE_GAP) + LANE_GAP)
        for number, row in enumerate(rows)
    )
    return Lanes(placed, _duration_ms(page, placed), len(placed) * (LANE_HEIGHT + LANE_GAP))


def _duration_ms(page: SessionPage, lanes: Iterable[Lane]) -> int:
    """The length of the recording, or where the last event ends when there is none."""
    known_s = page.recording.duration_s if page.recording else 0.0
    last = max((event.at_ms + event.wide_ms for lane in lanes for event in lane.events), default=0)
    return max(round(known_s * 1000), last, 1000)


def _mark_event(mark: Mark) -> Event:
    label = f"Mark at {mark.at_s:.2f} s, {_sure(mark.sure)}"
    return Event(round(mark.at_s * 1000), MARK_WIDTH_MS, mark.sure < SURE_ENOUGH, label)


def _marks(seen: Reading | LanesAs | None) -> tuple[Event, ...]:
    return tuple(map(_mark_event, (seen and seen.marks) or ()))


def _spans(name: str, spans: Iterable[Span] | None) -> tuple[Event, ...]:
    return tuple(_span_event(name, span) for span in spans or ())


def _span_event(name: str, span: Span) -> Event:
    length_s = span.end_s - span.start_s
    label = f"{name} from {span.start_s:.2f} s for {length_s:.2f} s, {_sure(span.sure)}"
    return Event(round(span.start_s * 1000), max(round(length_s * 1000), 1), span.sure < SURE_ENOUGH, label)


def _rep_event(line: RepLine) -> Event | None:
    """From nose-in to the mark or nose-out; a mark with nobody's nose in is a short stub at the mark."""
    window = window_s(line)
    if window is None:
        return None
    start_s, end_s = window
    return Event(
        round(start_s * 1000),
        max(round((end_s - start_s) * 1000), MARK_WIDTH_MS),
        line.low_certainty,
        f"Rep {line.rep} from {start_s:.2f} s, {line.state}",
        line.rep,
        line.state.replace(" ", "-"),
    )


def window_s(line: RepLine) -> tuple[float, float] | None:
    """Where on the recording this rep is, if it was measured there. [s]"""
    seen = line.measured
    if seen is None:
        return None
    times = [at for at in (seen.nose_in_s, seen.nose_out_s, seen.mark_s, seen.pay_s) if at is not None]
    return (min(times), max(times)) if times else None


def _sure(sure: float) -> str:
    return f"{100 * sure:.0f} % sure"
