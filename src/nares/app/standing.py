"""What stands on a session's timeline: the machine's events with people's edits, and the reps they make.

Conventions
-----------
The reading stays as it was made; corrections name its entry. A lane that nobody measured and nobody marked
is None, an empty one means that nothing happened. Reps made of corrected events keep their numbers.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import msgspec

from nares.app.desk import Desk
from nares.base.errors import Unknown
from nares.base.vocab import Bout, Mark, MeasuredRep, Reading, Span
from nares.measure.corrections import Edit, Event, Standing, read_events, stands
from nares.measure.numbering import numbered
from nares.measure.reps import assemble_reps
from nares.measure.sound.breath import bouts_of
from nares.record.found import Corrected, ReadingKept

MACHINE, STANDING = "machine", "standing"
NO_BREATH = ("not measurable: breath", "not measurable: there is no sound")


@dataclass(frozen=True, slots=True)
class LanesAs:
    """The lanes of a session as somebody has them. None: not measured, or not marked by this person.

    ``whose``: ``machine``, ``standing`` (the machine's with everybody's corrections), or a person's name.
    """

    whose: str
    marks: tuple[Mark, ...] | None
    inhales: tuple[Span, ...] | None
    nose_in: tuple[Span, ...] | None
    hand_in: tuple[Span, ...] | None
    duration_s: float


@dataclass(frozen=True, slots=True)
class Timeline:
    """A session's events and reps as they stand. ``entry``: the newest entry that says so."""

    reading: Reading
    read: tuple[Event, ...]
    edits: tuple[Edit, ...]
    standing: Standing
    lanes: LanesAs
    reps: tuple[MeasuredRep, ...]
    reading_entry: int
    entry: int


def lanes_as(desk: Desk, session: str, whose: str) -> LanesAs:
    """The lanes of a session as the machine, everybody together, or one person on an own sheet has them.

    Raises:
        Unknown: If there is no such session, nothing was measured in it, or that person marked nothing.
    """
    if whose in (MACHINE, STANDING):
        timeline = timeline_of(desk, session, corrected=whose == STANDING)
        if timeline is None:
            raise Unknown(f"Nothing was measured in session {session}, so it has no lanes. Add a recording.")
        return timeline.lanes
    if whose not in own_sheets(desk, session):
        raise Unknown(f"{whose} has not marked session {session} from an empty sheet. Look at its timeline.")
    return own_lanes(desk, session, whose)


def own_sheets(desk: Desk, session: str) -> tuple[str, ...]:
    """Who has marked a session from an empty sheet, in the order they began.

    Raises:
        Unknown: If there is no such session.
    """
    return tuple(desk.store.own_sheets(desk.store.session(session).session))


def own_edits(desk: Desk, session: str, whose: str) -> tuple[Edit, ...]:
    """Everything one person did on an own sheet, in order."""
    return edits_of(desk.store.corrections_of(session, sheet="own", whose=whose))


def own_lanes(desk: Desk, session: str, whose: str) -> LanesAs:
    """What one person marked from an empty sheet; a lane never touched is None."""
    kept = desk.store.recording_of(session)
    edits = own_edits(desk, session, whose)
    touched = frozenset(edit.lane for edit in edits)
    standing = stands((), edits)
    return _lanes(whose, standing, touched, 0.0 if kept is None else kept.duration_s)


def timeline_of(
    desk: Desk, session: str, *, until: int | None = None, corrected: bool = True
) -> Timeline | None:
    """What stands of the newest reading, or None where nothing was measured.

    Args:
        desk: Where the record is.
        session: Which session.
        until: The last entry that counts, reading or correction; the newest when None.
        corrected: Whether corrections count.
    """
    kept = desk.store.reading_of(session, until=until)
    if kept is None:
        return None
    corrections = [one for one in desk.store.corrections_of(session) if one.reading == kept.entry]
    heard = [one for one in corrections if corrected and (until is None or one.entry <= until)]
    return _timeline(kept, heard, desk.store.rep_numbers(session))


def edits_of(corrections: Sequence[Corrected]) -> tuple[Edit, ...]:
    """Every edit of some corrections, in order."""
    return tuple(edit for one in corrections for edit in one.edits)


def reps_after(reading: Reading, standing: Standing, lanes: LanesAs) -> tuple[MeasuredRep, ...]:
    """Assemble the reps anew from the events that stand, numbered from 1."""
    return assemble_reps(
        marks=lanes.marks or (),
        inhales=lanes.inhales,
        bouts=bouts_standing(reading, standing) if lanes.inhales is not None else None,
        nose_in=lanes.nose_in,
        hand_in=lanes.hand_in,
        duration_s=reading.recording.duration_s,
        lost=reading.lost,
        doubtful_marks=[event.as_mark() for event in standing.lane("doubtful_marks")],
        start_block_s=reading.start_block_s,
        skew_s=reading.skew_s,
        skew_within_s=reading.skew_within_s,
    )


def lanes_of_reading(kept: ReadingKept, reading: Reading, standing: Standing) -> LanesAs:
    """The lanes that stand over a reading; what the machine could not measure is None until marked."""
    notes = reading.recording.notes
    measured = {
        "marks",
        *(() if any(note.startswith(NO_BREATH) for note in notes) else ("inhales",)),
        *(("nose_in",) if kept.settings.get("front") else ()),
        *(("hand_in",) if kept.settings.get("side") else ()),
    }
    whose = STANDING if any(event.by for event in standing.events) or standing.removed else MACHINE
    return _lanes(whose, standing, frozenset(measured), reading.recording.duration_s)


def _timeline(kept: ReadingKept, corrections: Sequence[Corrected], taken: set[int]) -> Timeline:
    reading = msgspec.convert(kept.reading, Reading)
    read, edits = read_events(kept.reading), edits_of(corrections)
    standing = stands(read, edits)
    lanes = lanes_of_reading(kept, reading, standing)
    reps, entry = reading.reps, kept.entry
    if corrections:
        entry = corrections[-1].entry
        reps = numbered(reps_after(reading, standing, lanes), corrections[-1].reps, taken=taken)
    return Timeline(reading, read, edits, standing, lanes, reps, kept.entry, entry)


def _lanes(whose: str, standing: Standing, measured: frozenset[str], duration_s: float) -> LanesAs:
    marks = tuple(event.as_mark() for event in standing.lane("marks"))
    spans = {
        lane: tuple(event.as_span() for event in standing.lane(lane))
        for lane in ("inhales", "nose_in", "hand_in")
    }
    known = {lane: found if found or lane in measured else None for lane, found in spans.items()}
    return LanesAs(whose, marks if marks or "marks" in measured else None, **known, duration_s=duration_s)


def bouts_standing(reading: Reading, standing: Standing) -> tuple[Bout, ...]:
    """The machine's bouts, made anew where a person changed the intakes they were made of."""
    intakes = standing.lane("inhales")
    touched = any(event.by for event in intakes)
    gone = any(name.startswith("inhales") for name in standing.removed)
    return bouts_of([event.as_span() for event in intakes]) if touched or gone else reading.bouts
