"""Sessions with marks to coach on: invented reps at known delays, sniffing at a known rhythm."""

from dataclasses import asdict, replace

import numpy as np

from nares.app import jobs
from nares.app.deeds import AddDog, CorrectEvents
from nares.app.desk import Desk
from nares.base.vocab import Mark, Reading, RecordingFacts, Span
from nares.measure.corrections import Edit
from nares.measure.reps import assemble_reps
from nares.measure.sound.breath import bouts_of
from nares.record.store import Proposed

ASK_S = 1.0
CYCLE_S = 0.2
REP_EVERY_S = 10.0


def reading_of(
    sha256: str, *, reps: int, late_s: float, scatter_s: float, chance: np.random.Generator
) -> Reading:
    """A reading in which each mark falls ``late_s`` after its ask, 0.3 of a sniff on, scattered."""
    marks, nose, hand, inhales = [], [], [], []
    for number in range(reps):
        entry = 5.0 + REP_EVERY_S * number
        at = entry + ASK_S + late_s + float(chance.normal(0, scatter_s))
        marks.append(Mark(at, 0.98))
        nose.append(Span(entry, at + 1.2, 0.97))
        hand.append(Span(at + 0.4, at + 1.0, 0.95))
        first = at - 0.3 * CYCLE_S - 6 * CYCLE_S
        inhales += [Span(first + CYCLE_S * k, first + CYCLE_S * k + 0.09, 0.9) for k in range(8)]
    duration_s = 5.0 + REP_EVERY_S * reps
    bouts = bouts_of(inhales)
    found = assemble_reps(
        marks=marks, inhales=inhales, bouts=bouts, nose_in=nose, hand_in=hand, duration_s=duration_s
    )
    facts = RecordingFacts(duration_s, 30.0, sha256, ("video", "audio"))
    return Reading(facts, tuple(marks), tuple(inhales), tuple(nose), tuple(hand), found, bouts)


def keep(
    desk: Desk,
    session: str,
    dog: str,
    *,
    day: int = 2,
    reps: int = 6,
    late_s: float = 0.2,
    scatter_s: float = 0.03,
    seed: int = 20_001,
    asks_s: tuple[float, ...] = (ASK_S,),
    marked_by: str = "",
) -> Reading:
    """Put a measured session on the record."""
    sha256 = f"{abs(hash_of(session)):064x}"
    reading = reading_of(
        sha256, reps=reps, late_s=late_s, scatter_s=scatter_s, chance=np.random.default_rng(seed)
    )
    started = f"2026-02-{day:02d}T08:00:00.000Z"
    said = {
        "session": session,
        "dog": dog,
        "step": "source-breaths",
        "started_at": started,
        "asks_s": list(asks_s),
        "marked_by": marked_by,
    }
    recording = {
        "session": session,
        "sha256": sha256,
        "name": f"{session}.mp4",
        "media_type": "video/mp4",
        "bytes": 9,
        "duration_s": reading.recording.duration_s,
    }
    made = {
        "session": session,
        "sha256": sha256,
        "made_with": {},
        "settings": {"front": [0.4, 0.4, 0.1, 0.1], "side": [0.6, 0.4, 0.1, 0.1]},
        "reading": asdict(reading),
    }
    kinds = (("session_run", said), ("recording_kept", recording), ("reading_made", made))
    desk.store.append_all(Proposed(kind, payload, started, desk.person) for kind, payload in kinds)
    return reading


def hash_of(name: str) -> int:
    """A number for a name, the same in every process."""
    return sum(ord(letter) * 131**place for place, letter in enumerate(name))


def add_dogs(desk: Desk) -> None:
    """A second dog beside Moss."""
    jobs.add_dog(desk, AddDog("Eider", "Labrador"))


def correct(desk: Desk, session: str, by: str = "Wren") -> None:
    """Move the first mark by 30 ms, take the second away, and add one the machine has not."""
    edits = (
        Edit(f"{session}-a", "marks", "moved", "marks-0", (), (_mark_s(desk, session, 0) + 0.03,)),
        Edit(f"{session}-b", "marks", "removed", "marks-1"),
        Edit(f"{session}-c", "marks", "added", f"{session}-c", (), (1.5,)),
    )
    jobs.correct_events(desk, CorrectEvents(session, by, edits))


def mark_own_sheet(desk: Desk, session: str, by: str, *, off_s: float = 0.02, leave_out: int = 0) -> None:
    """Mark every mark and visit of the reading again from an empty sheet, all off by the same."""
    read = jobs.lanes_as(desk, session, "machine")
    assert read.marks is not None
    assert read.nose_in is not None
    edits = [
        Edit(f"{by.split()[0]}-m{n}", "marks", "added", f"{by.split()[0]}-m{n}", (), (mark.at_s + off_s,))
        for n, mark in enumerate(read.marks[leave_out:])
    ]
    edits += [
        Edit(
            f"{by.split()[0]}-n{n}",
            "nose_in",
            "added",
            f"{by.split()[0]}-n{n}",
            (),
            (span.start_s + off_s, span.end_s + off_s),
        )
        for n, span in enumerate(read.nose_in)
    ]
    jobs.correct_events(desk, CorrectEvents(session, by, tuple(edits), own=True))


def _mark_s(desk: Desk, session: str, number: int) -> float:
    marks = jobs.lanes_as(desk, session, "machine").marks
    assert marks is not None
    return marks[number].at_s


def without_bouts(reading: Reading) -> Reading:
    """A reading as an earlier release made it."""
    return replace(reading, bouts=())
