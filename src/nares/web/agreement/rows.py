"""An agreement as rows to read, and the events only one observer has, each with where to look."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby
from urllib.parse import quote

from nares.app.agreement_page import AgreementPage
from nares.web.shell.measures import between, between_ms, share

NAMES = {
    "mark": "Mark",
    "nose_in": "Nose in",
    "nose_out": "Nose out",
    "hand_in": "Hand in",
    "hand_out": "Hand out",
    "inhale": "Intake begins",
    "inhaling": "Inhaling",
    "hold": "Hold",
    "mark_delay": "Mark after nose in",
}
LANES = NAMES | {"hand_in": "Hand inside", "nose_in": "Nose inside"}


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a table: its name and its cells."""

    name: str
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Lone:
    """One event only one observer has, and where to look at it."""

    what: str
    at_s: float
    href: str


@dataclass(frozen=True, slots=True)
class LoneGroup:
    """The events of one session that only one observer has."""

    session: str
    by: str
    events: tuple[Lone, ...]


@dataclass(frozen=True, slots=True)
class Plot:
    """A plot with its name."""

    name: str
    svg: str


@dataclass(frozen=True, slots=True)
class Rows:
    """Everything of an agreement, ready to show."""

    events: tuple[Row, ...]
    timing: tuple[Row, ...]
    frames: tuple[Row, ...]
    values: tuple[Row, ...]
    lone: tuple[LoneGroup, ...]
    other_end: int
    plots: tuple[Plot, ...]
    notes: tuple[str, ...]


def rows_of(page: AgreementPage) -> Rows | None:
    """Lay an agreement out; None where nothing was compared."""
    found = page.agreement
    if found is None:
        return None
    events = [
        Row(
            NAMES[event.event],
            (
                str(event.first),
                str(event.second),
                str(event.paired),
                *(between(one.f1, one.low, one.high) for one in event.within),
            ),
        )
        for event in found.events
    ]
    timed = [(NAMES[event.event], event.paired, event.timing) for event in found.events]
    timing = [
        Row(name, (str(pairs), *(between_ms(one) for one in (of.bias, of.lower, of.upper))))
        for name, pairs, of in timed
        if of is not None
    ]
    frames = [
        Row(
            LANES[frame.lane],
            (
                share(frame.first, None, None),
                share(frame.second, None, None),
                share(frame.kappa.agreement, None, None),
                between(frame.kappa.value, frame.kappa.low, frame.kappa.high),
                f"{frame.kappa.adjusted:.2f}",
            ),
        )
        for frame in found.frames
    ]
    values = [
        Row(
            NAMES[value.value],
            (
                str(value.reps),
                *(between_ms(one) for one in (value.timing.bias, value.timing.lower, value.timing.upper)),
                between(value.correlation.value, value.correlation.low, value.correlation.high),
            ),
        )
        for value in found.values
        if value.timing is not None and value.correlation is not None
    ]
    kappa_notes = [f"{LANES[one.lane]}: {note}" for one in found.frames for note in one.kappa.notes]
    limit_notes = {note for event in found.events if event.timing for note in event.timing.notes}
    shared = sorted(note for note in limit_notes if "pairs:" not in note)
    return Rows(
        events=tuple(events),
        timing=tuple(timing),
        frames=tuple(frames),
        values=tuple(values),
        lone=tuple(_lone(page)),
        other_end=max((value.other_end for value in found.values), default=0),
        plots=tuple(Plot(NAMES[plot.of], plot.svg) for plot in page.plots),
        notes=(*found.missing, *shared, *kappa_notes),
    )


def moment(session: str, at_s: float) -> str:
    """The address of a session's page at a moment of its recording."""
    return f"/sessions/{quote(session)}/?at={at_s:.3f}"


def _lone(page: AgreementPage) -> Iterable[LoneGroup]:
    found = page.agreement
    if found is None:
        return
    who = {1: found.first, 2: found.second}
    order = sorted(found.alone, key=lambda one: (one.session, one.by, one.at_s))
    for (session, by), group in groupby(order, key=lambda one: (one.session, one.by)):
        events = tuple(Lone(NAMES[one.event], one.at_s, moment(session, one.at_s)) for one in group)
        yield LoneGroup(session, who[by], events)
