"""Every deed and every page, by name: what the doors may call.

A deed takes the desk and one request of `nares.app.deeds` and returns a receipt; a page takes the desk
and returns a value of `nares.app.pages`. A deed that is refused has written nothing.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from nares.app.deeds import AddDog, Amend, ConfirmReps, CorrectRep, ImportReps, Receipt, RunSession, SetAside
from nares.app.pages import DogPage, RecordPage, SessionPage, TodayPage, Verification

Progress = Callable[[float, str], None]
"""Called with how much is done, 0 to 1, and what is being done."""


def add_dog(desk: Any, asked: AddDog) -> Receipt:
    """Put a dog on the record."""
    raise NotImplementedError


def run_session(desk: Any, asked: RunSession, progress: Progress | None = None) -> Receipt:
    """Keep a recording, measure it, propose its reps."""
    raise NotImplementedError


def confirm_reps(desk: Any, asked: ConfirmReps) -> Receipt:
    """Stand by reps, as measured or corrected, and decide again."""
    raise NotImplementedError


def correct_rep(desk: Any, asked: CorrectRep) -> Receipt:
    """Correct values of one rep, given as text."""
    raise NotImplementedError


def set_aside(desk: Any, asked: SetAside) -> Receipt:
    """Set a measured rep aside with a reason."""
    raise NotImplementedError


def amend(desk: Any, asked: Amend) -> Receipt:
    """Correct one value of an entry in the open."""
    raise NotImplementedError


def import_reps(desk: Any, asked: ImportReps) -> Receipt:
    """Bring in a rep table, all of it or nothing."""
    raise NotImplementedError


def today_page(desk: Any) -> TodayPage:
    """Each dog: step, call, why, next session."""
    raise NotImplementedError


def dog_page(desk: Any, name: str) -> DogPage:
    """Programme progress, success and hold with intervals, sessions."""
    raise NotImplementedError


def session_page(desk: Any, session: str) -> SessionPage:
    """Recording, reading, reps with their certainty and corrections."""
    raise NotImplementedError


def record_page(desk: Any, *, page: int = 1, kind: str = "", verify: bool = False) -> RecordPage:
    """Entries newest first."""
    raise NotImplementedError


def verify_record(desk: Any) -> Verification:
    """Recompute every digest and link."""
    raise NotImplementedError


def media_file(desk: Any, sha256: str) -> tuple[Path, str]:
    """The kept recording a browser can play, and its media type."""
    raise NotImplementedError


def waveform(desk: Any, sha256: str) -> dict[str, Any]:
    """Precomputed peaks of the sound for drawing: {"rate_hz": per second, "peaks": [-1..1, ...]}."""
    raise NotImplementedError
