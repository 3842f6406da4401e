"""A kept session measured again with other regions: a new reading beside the old one.

What people changed in the old reading is carried over by time; reps keep their numbers. Where the clicker was
calibrated by a recording of its own, which is not kept, the marks heard then are taken over too.
"""

from collections.abc import Iterator
from dataclasses import replace

from nares.app.answers import reading_body
from nares.app.correcting import places_after
from nares.app.deeds import MeasureAgain, Receipt
from nares.app.desk import Desk
from nares.app.measuring import Progress, made_with, measure_recording
from nares.app.proposing import propose_regions
from nares.app.recordings import recording_path
from nares.app.standing import Timeline, lanes_of_reading, reps_after, timeline_of
from nares.base.errors import Refused, Unknown
from nares.base.vocab import Reading, Region
from nares.measure.carrying import Carried, carry
from nares.measure.corrections import Event, read_events, stands
from nares.measure.numbering import numbered, place_of
from nares.measure.picture.propose import Proposed as Openings
from nares.record.found import ReadingKept
from nares.record.store import Proposed


def measure_again(desk: Desk, asked: MeasureAgain, progress: Progress | None = None) -> Receipt:
    """Measure a kept session with other regions; the reading made before stays.

    Raises:
        Unknown: If there is no such session, or no recording of it is kept.
        Refused: If no region is given, or the session was recorded in several files.
        Unusable: If the recording cannot be read, or has no pictures.
    """
    if asked.front is None and asked.side is None:
        raise Refused("No region was given. Draw at least one opening, or leave the reading as it is.")
    path = recording_path(desk, _sha256(desk, asked.session))
    _require_one_file(desk, asked.session)
    marker = _marker(desk.store.reading_of(asked.session))
    reading = measure_recording(path, front=asked.front, side=asked.side, marker=marker, progress=progress)
    by, told = desk.by(asked.by), [""]

    def proposed() -> Iterator[Proposed]:
        # Inside the transaction: what was changed while this was measured is carried too.
        before, old = timeline_of(desk, asked.session), desk.store.reading_of(asked.session)
        settled = reading if old is None else _heard_before(reading, old, asked)
        now = desk.now()
        yield Proposed("reading_made", _made(desk, asked, settled, before, old), now, by)
        kept = desk.store.reading_of(asked.session)
        if before is None or kept is None:
            return
        carried = carry(before.standing, before.read, read_events(kept.reading))
        told[0] = _said(carried)
        if carried.edits:
            yield Proposed("events_corrected", _corrected(desk, asked.session, kept, carried), now, by)

    written = desk.store.append_all(proposed())
    said = f"{asked.session} is measured again: entry {written[0].number}.{told[0]}"
    return Receipt(written[-1].number, written[-1].digest, said, asked.session)


def regions_proposed(desk: Desk, session: str) -> Openings:
    """Where the openings seem to be in a kept session's pictures, for a person to accept, move or refuse.

    Raises:
        Unknown: If there is no such session, or no recording of it is kept.
        Unusable: If the recording has no pictures.
    """
    return propose_regions(recording_path(desk, _sha256(desk, session)))


def _sha256(desk: Desk, session: str) -> str:
    kept = desk.store.recording_of(desk.store.session(session).session)
    if kept is None:
        raise Unknown(f"Session {session} keeps no recording, so it cannot be measured. Add the recording.")
    return kept.sha256


def _marker(old: ReadingKept | None) -> str:
    """What is listened for again; nothing in particular where the marks are taken over in any case."""
    if old is None or old.settings.get("calibrated"):
        return "click"
    return str(old.settings.get("marker", "click"))


def _require_one_file(desk: Desk, session: str) -> None:
    """Refuse a session of several files: the record does not say which followed which."""
    files = sum(one.session == session for one in desk.store.recordings())
    if files > 1:
        raise Refused(
            f"Session {session} was recorded in {files} files, and those are not measured again together. "
            "Put its events right on the timeline instead."
        )


def _heard_before(reading: Reading, old: ReadingKept, asked: MeasureAgain) -> Reading:
    """Take the marks over that were heard with a calibrated clicker, and put the reps together with them."""
    if not old.settings.get("calibrated"):
        return reading
    events = read_events(old.reading)
    marks, doubtful = (
        tuple(event.as_mark() for event in events if event.lane == lane)
        for lane in ("marks", "doubtful_marks")
    )
    heard = replace(reading, marks=marks, doubtful_marks=doubtful)
    kept = replace(old, reading=reading_body(heard), settings=_settings(asked, old))
    standing = stands(read_events(kept.reading), ())
    return replace(heard, reps=reps_after(heard, standing, lanes_of_reading(kept, heard, standing)))


def _made(
    desk: Desk, asked: MeasureAgain, reading: Reading, before: Timeline | None, old: ReadingKept | None
) -> dict[str, object]:
    earlier = [place_of(rep) for rep in before.reps] if before else []
    reps = numbered(reading.reps, earlier, taken=desk.store.rep_numbers(asked.session))
    return {
        "session": asked.session,
        "sha256": reading.recording.sha256,
        "made_with": made_with(),
        "settings": _settings(asked, old),
        "reading": reading_body(replace(reading, reps=reps)),
    }


def _settings(asked: MeasureAgain, old: ReadingKept | None) -> dict[str, object]:
    calibrated = old is not None and bool(old.settings.get("calibrated"))
    marker = "click" if old is None else old.settings.get("marker", "click")
    regions = {"front": _numbers(asked.front), "side": _numbers(asked.side)}
    return {**regions, "marker": marker, "calibrated": calibrated}


def _corrected(desk: Desk, session: str, kept: ReadingKept, carried: Carried) -> dict[str, object]:
    return {
        "session": session,
        "reading": kept.entry,
        "edits": list(carried.edits),
        "reps": places_after(desk, session, carried.edits),
        "why": f"Carried over from the reading before.{_said(carried)}",
    }


def _said(carried: Carried) -> str:
    count = len(carried.edits)
    said = f" {count} change{'' if count == 1 else 's'} carried over." if count else ""
    left = ", ".join(map(_named, carried.left))
    return f"{said} Not carried, two came to the same event: {left}." if left else said


def _named(event: Event) -> str:
    return f"{event.lane.replace('_', ' ')} at {event.times_s[0]:.2f} s"


def _numbers(region: Region | None) -> list[float] | None:
    return None if region is None else [region.x, region.y, region.w, region.h]
