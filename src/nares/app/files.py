"""Text files that people hand in, and recordings kept by their digest."""

import os
import shutil
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from nares.base.errors import Refused, Unusable

DATABASE = b"SQLite format 3\x00"
"""How every SQLite file begins."""


def read_text(path: Path) -> str:
    """Read a text file in UTF-8.

    Raises:
        Unusable: If there is no such file, or it is no text in UTF-8, naming the place.
    """
    try:
        return path.read_bytes().decode("utf-8-sig")
    except FileNotFoundError:
        raise Unusable(f"There is no file {path}. Check the name and the folder.") from None
    except UnicodeDecodeError as fault:
        raise Unusable(
            f"{path.name} is not UTF-8 text (byte {fault.start}). Save it as CSV or text in UTF-8."
        ) from None
    except OSError as fault:
        raise Unusable(f"{path} cannot be read: {fault.strerror}.") from None


def keep_file(source: Path, folder: Path, name: str) -> Path:
    """Copy a file into a folder under a name, whole or not at all; a file already there is left alone.

    Raises:
        Unusable: If it cannot be copied, for example because the disk is full.
    """
    kept = folder / name
    if kept.exists():
        return kept

    def fill(partial: Path) -> None:
        shutil.copyfile(source, partial)

    return write_whole(kept, fill)


def write_whole(to: Path, fill: Callable[[Path], object]) -> Path:
    """Let ``fill`` write a file beside its place, flush it to disk, then put it in place in one move.

    Raises:
        Unusable: If it cannot be written; nothing is left behind.
        Refused: If a record lies at that place.
    """
    require_no_record(to)
    partial = to.with_name(f"{to.name}.part")
    try:
        to.parent.mkdir(parents=True, exist_ok=True)
        fill(partial)
        with partial.open("rb+") as file:
            os.fsync(file.fileno())
        partial.replace(to)
    except OSError as fault:
        with suppress(OSError):  # a folder that is read only, or not there, holds no half file
            partial.unlink(missing_ok=True)
        raise Unusable(
            f"{to} cannot be written: {fault.strerror}. Nothing was kept; check the folder and its space."
        ) from None
    return to


def write_text(to: Path, text: str) -> Path:
    """Write a text file in UTF-8, whole or not at all; an older file gives way, a record does not.

    Raises:
        Unusable: If it cannot be written; nothing is left behind.
        Refused: If a record lies at that place.
    """
    return write_bytes(to, text.encode("utf-8"))


def write_bytes(to: Path, held: bytes) -> Path:
    """Write a file, whole or not at all; an older file gives way, a record does not.

    Raises:
        Unusable: If it cannot be written; nothing is left behind.
        Refused: If a record lies at that place.
    """
    return write_whole(to, lambda partial: partial.write_bytes(held))


def require_no_record(at: Path) -> None:
    """Refuse to write over a record: an answer of one command must not end the work of years.

    Raises:
        Refused: If a database lies there.
    """
    if is_database(at):
        raise Refused(f"{at} is a record and is not written over. Give another file.")


def is_database(path: Path) -> bool:
    """Whether a file begins as every SQLite file does; False where it cannot be read."""
    try:
        with path.open("rb") as file:
            return file.read(len(DATABASE)) == DATABASE
    except OSError:
        return False
