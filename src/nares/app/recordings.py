"""Kept recordings as files: where each lies, and whether it is still the one on the record."""

from collections.abc import Iterable
from pathlib import Path

from nares.app.desk import Desk
from nares.base.errors import Unknown
from nares.base.findings import Finding
from nares.media.digest import sha256_of
from nares.record.found import Recording


def recording_path(desk: Desk, sha256: str) -> Path:
    """Where the kept recording of this digest lies.

    Raises:
        Unknown: If it is not on the record, or its file is gone.
    """
    kept = desk.store.recording(sha256)
    if kept is None:
        raise Unknown(f"No recording {sha256[:12]}… is on the record.")
    found = files_of(desk.recordings, sha256)
    if not found:
        raise Unknown(
            f"The file of {kept.name} (session {kept.session}) is not in {desk.recordings}. "
            "Put it back; its digest is on the record."
        )
    return found[0]


def parts_of(desk: Desk, sha256: str) -> tuple[list[Path], list[float]] | None:
    """The files of all parts of a session and where each begins [s], by the first one's digest; else None.

    Raises:
        Unknown: If one of them is gone.
    """
    kept = desk.store.recording(sha256)
    reading = None if kept is None else desk.store.reading_of(kept.session)
    parts = [] if reading is None else reading.reading["recording"].get("parts", [])
    if not parts or parts[0]["sha256"] != sha256:
        return None
    return [recording_path(desk, part["sha256"]) for part in parts], [part["start_s"] for part in parts]


def files_of(folder: Path, sha256: str) -> list[Path]:
    """Every file kept under a digest."""
    # A phone's file may come without a suffix; a copy cut short by a power cut ends in .part.
    return sorted(path for path in folder.glob(f"{sha256}*") if path.suffix != ".part")


def changed_recordings(folder: Path, kept: Iterable[Recording]) -> list[Finding]:
    """Recordings whose file no longer has the digest that their entry names. Reads every file."""
    return [
        Finding("changed-recording", f"entry {one.entry}", _changed(one, path))
        for one in kept
        for path in files_of(folder, one.sha256)
        if sha256_of(path) != one.sha256
    ]


def missing_recordings(folder: Path, kept: Iterable[Recording]) -> list[str]:
    """A sentence for each recording on the record whose file is not in the folder."""
    return [
        f"The file of {one.name} (session {one.session}, entry {one.entry}) is not in {folder}."
        for one in kept
        if not files_of(folder, one.sha256)
    ]


def _changed(kept: Recording, path: Path) -> str:
    return (
        f"The file of {kept.name} (session {kept.session}) was changed: {path.name} no longer has the digest "
        "in its name and on the record. Put the original back."
    )
