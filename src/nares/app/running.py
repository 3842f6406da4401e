"""Run a session: keep the recording, measure it, and put session, recording and reading on the record."""

import mimetypes
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from nares.app.answers import reading_body
from nares.app.deciding import programme_of
from nares.app.deeds import Receipt, RunSession
from nares.app.desk import Desk
from nares.app.files import keep_file
from nares.app.measuring import Progress, made_with, measure_recording
from nares.app.planning import step_ahead
from nares.base.errors import NaresError, Refused, Unusable
from nares.base.times import read_utc, utc_text
from nares.base.vocab import Reading, RecordingFacts, Region
from nares.decide import Step
from nares.decide.isolation.easing import step_of
from nares.design.cues.vocabulary import require_name
from nares.media import open_recording
from nares.record.store import Proposed


def run_session(desk: Desk, asked: RunSession, progress: Progress | None = None) -> Receipt:
    """Keep a recording, measure it, and propose its reps. Refused or unreadable, nothing is written.

    Raises:
        Unknown: If there is no such dog or step.
        OutOfRange: If a cue's name cannot stand in a rep table.
        Refused: If the session's name is taken, or the recording is already on the record.
        Unusable: If the recording cannot be read.
    """
    dog = desk.store.dog(asked.dog)
    programme = programme_of(desk, dog.programme)
    key = asked.step or current_step(desk, asked.dog)
    step = step_of(programme, key) or programme.step(key)
    for name in asked.cues:
        require_name(name)
    started = _started(asked)
    reading = measure_recording(
        asked.recording,
        front=asked.front,
        side=asked.side,
        clicker=asked.clicker,
        marker=asked.marker,
        then=asked.then,
        beside=asked.beside,
        progress=progress,
    )
    files = files_of_session(asked, reading)
    for file in files:
        _require_new(desk, file)
    session = asked.session or next_name(desk, asked.dog)
    known = set(desk.recordings.glob("*"))
    proposed = [
        Proposed(kind, payload, started, desk.by(asked.by))
        for kind, payload in (
            ("session_run", _session_run(session, asked, step, started)),
            *(("recording_kept", _recording_kept(session, file)) for file in files),
            ("reading_made", _reading_made(session, asked, reading)),
        )
    ]
    kept: list[Path] = []
    try:
        for file in files:
            kept.append(keep_file(file.path, desk.recordings, file.kept_as))
        entries = desk.store.append_all(proposed)
    except NaresError:
        for path in kept:
            if path not in known:  # what the record refuses, the folder does not keep either
                path.unlink(missing_ok=True)
        raise
    newest = entries[-1]
    said = f"Session {session}: {len(reading.marks)} marks, {len(reading.reps)} reps, none confirmed yet."
    return Receipt(newest.number, newest.digest, said, session)


def current_step(desk: Desk, dog: str) -> str:
    """The step a dog works at now: where its newest call leads, else the first of its programme."""
    return step_ahead(programme_of(desk, desk.store.dog(dog).programme), desk.store.latest_call(dog))


def next_name(desk: Desk, dog: str) -> str:
    """Name a session after the dog with the next free number."""
    taken = {session.session for session in desk.store.sessions()}
    stem = "-".join(dog.lower().split())
    number = len(desk.store.sessions(dog)) + 1
    while f"{stem}-{number:02d}" in taken:
        number += 1
    return f"{stem}-{number:02d}"


def cues_of(step: Step) -> tuple[str, ...]:
    """The cues that a step puts before the dog in every rep with target."""
    hand = () if step.hand == "away" else ("hand",)
    food = ("food",) if step.food_in_front else ()
    return ("target", *hand, *food)


@dataclass(frozen=True, slots=True)
class SessionFile:
    """One file of a session: where it lies, its name and what it says of itself."""

    path: Path
    name: str
    facts: RecordingFacts

    @property
    def kept_as(self) -> str:
        """Its name in the folder of recordings: its digest, and the suffix it came with."""
        return f"{self.facts.sha256}{self.path.suffix.lower()}"


def files_of_session(asked: RunSession, reading: Reading) -> list[SessionFile]:
    """Every file that is kept with a session, the one that the reading is named after first."""
    name = asked.name or asked.recording.name
    others = [*asked.then, *([asked.beside] if asked.beside else [])]
    if not others:
        return [SessionFile(asked.recording, name, reading.recording)]
    paths = [asked.recording, *others]
    return [
        SessionFile(path, name if number == 0 else path.name, _facts(path))
        for number, path in enumerate(paths)
    ]


def _facts(path: Path) -> RecordingFacts:
    with open_recording(path) as recording:
        return recording.facts()


def _started(asked: RunSession) -> str:
    if asked.started_at is not None:
        return utc_text(read_utc(asked.started_at))
    try:
        written = asked.recording.stat().st_mtime
    except OSError:
        raise Unusable(f"There is no file {asked.recording}. Check the name and the folder.") from None
    return utc_text(datetime.fromtimestamp(written, UTC))


def _require_new(desk: Desk, file: SessionFile) -> None:
    kept = desk.store.recording(file.facts.sha256)
    if kept is not None:
        raise Refused(
            f"This recording is already on the record, with session {kept.session} (entry {kept.entry}). "
            "Open that session instead."
        )


def _session_run(session: str, asked: RunSession, step: Step, started: str) -> dict[str, object]:
    return {
        "session": session,
        "dog": asked.dog,
        "step": step.key,
        "started_at": started,
        "asks_s": list(asked.asks_s),
        "hand": step.hand,
        "pay_place": step.pay_place,
        "distance_m": step.distance_m,
        "disturbance": step.disturbance,
        "source": "target",
        "cues": list(dict.fromkeys((*cues_of(step), *asked.cues))),
        "note": asked.note,
        "front": _numbers(asked.front),
        "side": _numbers(asked.side),
        "marked_by": asked.marked_by.strip(),
    }


def _recording_kept(session: str, file: SessionFile) -> dict[str, object]:
    facts = file.facts
    return {
        "session": session,
        "sha256": facts.sha256,
        "name": file.name,
        "media_type": mimetypes.guess_type(file.name)[0] or "application/octet-stream",
        "bytes": file.path.stat().st_size,
        "duration_s": facts.duration_s,
        "frames_per_s": facts.frames_per_s,
        "streams": list(facts.streams),
        "notes": list(facts.notes),
    }


def _reading_made(session: str, asked: RunSession, reading: Reading) -> dict[str, object]:
    settings = {
        "front": _numbers(asked.front),
        "side": _numbers(asked.side),
        "marker": asked.marker,
        "calibrated": asked.clicker is not None,
    }
    return {
        "session": session,
        "sha256": reading.recording.sha256,
        "made_with": made_with(),
        "settings": settings,
        "reading": reading_body(reading),
    }


def _numbers(region: Region | None) -> list[float] | None:
    return None if region is None else [region.x, region.y, region.w, region.h]
