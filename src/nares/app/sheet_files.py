"""A spreadsheet file as cells: what it is by its bytes, how much of it is read, and the sheet asked for.

A file's ending is not believed. CSV text is read here; workbooks (XLSX, XLS, ODS) are unpacked to be
counted, then read by a process of their own (`nares.app.workbook_reader`), which has a limit of memory and
of time. A file waits in the data folder under its digest between choosing it and keeping it, for a day at
most.
"""

import hashlib
import json
import os
import shutil
import subprocess
import sys
import zipfile
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import lru_cache
from pathlib import Path
from typing import Any

from nares.app.desk import Desk
from nares.base.errors import Unknown, Unusable
from nares.decide.sheets import LONGEST_ROWS, WIDEST_COLUMNS, Sheet, decode, sheet_of, sheet_of_text
from nares.decide.sheets.cells import Cell

LARGEST_BYTES = 20_000_000
"""Largest file taken. [bytes]"""

UNPACKED_BYTES = 200_000_000
"""Most that a workbook may unpack to. [bytes]"""

MEMORY_BYTES = 1_500_000_000
"""Memory that reading a workbook may take. [bytes]"""

LONGEST_READ_S = 60.0
"""Time that reading a workbook may take. [s]"""

WAITS = timedelta(days=1)
"""How long a file waits to be kept."""

WAITING = "sheets-waiting"
BROKE_OFF = "reading it broke off, perhaps because a cell lies far from the table"
_KINDS = {b"%PDF": "a PDF", b"\x89PNG": "a picture", b"\xff\xd8\xff": "a picture", b"GIF8": "a picture"}
_OLD_WORKBOOK = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_READ_INSTEAD = "Give a CSV text, or an XLSX, XLS or ODS spreadsheet."


@dataclass(frozen=True, slots=True)
class SheetFile:
    """A file as read: its digest and size, the names of its sheets, and one of them."""

    sha256: str
    bytes: int
    names: tuple[str, ...]
    sheet: Sheet


def read_sheet_file(path: Path, wanted: str = "") -> SheetFile:
    """Read one sheet of a file.

    Args:
        path: The file.
        wanted: The sheet's name; the first one that holds anything when empty.

    Raises:
        Unusable: If it is no spreadsheet, is broken, protected or too large.
        Unknown: If it has no sheet of that name.
    """
    data = _bytes_of(path)
    sha256 = hashlib.sha256(data).hexdigest()
    if data.startswith((b"PK\x03\x04", _OLD_WORKBOOK)):
        if data.startswith(b"PK"):
            _require_workbook(path)
        names, sheet = _workbook(str(path.resolve()), sha256, wanted)
        return SheetFile(sha256, len(data), names, sheet)
    for start, kind in _KINDS.items():
        if data.startswith(start):
            raise Unusable(f"{path.name} is {kind} and no spreadsheet. {_READ_INSTEAD}")
    text, _ = decode(data)
    if text.lstrip().startswith("<"):
        raise Unusable(f"{path.name} is a web page or XML and no table. {_READ_INSTEAD}")
    return SheetFile(sha256, len(data), ("text",), sheet_of_text(text))


def _bytes_of(path: Path) -> bytes:
    try:
        size = path.stat().st_size
        if size > LARGEST_BYTES:
            raise Unusable(
                f"{path.name} has {size / 1e6:.0f} MB; up to {LARGEST_BYTES / 1e6:.0f} MB are read. "
                "Take pictures and other sheets out of it, or save the sheet as CSV."
            )
        data = path.read_bytes()
    except FileNotFoundError:
        raise Unusable(f"There is no file {path}. Check the name and the folder.") from None
    except OSError as fault:
        raise Unusable(f"{path} cannot be read: {fault.strerror}.") from None
    if not data.strip():
        raise Unusable(f"{path.name} is empty. {_READ_INSTEAD}")
    return data


def _require_workbook(path: Path) -> None:
    """Refuse a ZIP that is no workbook, or that unpacks to more than is read.

    Every part is unpacked to its end: a size that is a lie does not match the part's check sum.
    """
    try:
        with zipfile.ZipFile(path) as packed:
            parts = packed.infolist()
            names = {part.filename for part in parts}
            if not names & {"xl/workbook.xml", "xl/workbook.bin", "content.xml"}:
                raise Unusable(f"{path.name} is a ZIP archive and no spreadsheet. {_READ_INSTEAD}")
            unpacked = sum(part.file_size for part in parts)
            if unpacked > UNPACKED_BYTES:
                raise Unusable(
                    f"{path.name} unpacks to {unpacked / 1e6:.0f} MB, more than the "
                    f"{UNPACKED_BYTES / 1e6:.0f} MB that are read. Save the sheet as CSV."
                )
            broken = packed.testzip()
    except (zipfile.BadZipFile, NotImplementedError, RuntimeError, EOFError, OSError) as fault:
        raise Unusable(f"{path.name} is a broken workbook ({fault}). Save it again, or as CSV.") from None
    if broken:
        raise Unusable(f"{path.name} is a broken workbook ({broken}). Save it again, or as CSV.")


@lru_cache(maxsize=4)
def _workbook(path: str, sha256: str, wanted: str) -> tuple[tuple[str, ...], Sheet]:
    """Read a workbook in a process of its own; the digest says that it is still the same file."""
    reader = Path(__file__).with_name("workbook_reader.py")
    limits = [str(LONGEST_ROWS), str(WIDEST_COLUMNS), str(MEMORY_BYTES)]
    command = [sys.executable, "-P", str(reader), path, wanted, *limits]
    name = Path(path).name
    try:
        ended = subprocess.run(command, capture_output=True, timeout=LONGEST_READ_S, check=False)
        answer: dict[str, Any] = json.loads(ended.stdout) if ended.returncode == 0 else {"error": BROKE_OFF}
    except subprocess.TimeoutExpired:
        answer = {"error": f"it took longer than {LONGEST_READ_S:.0f} s"}
    except (json.JSONDecodeError, UnicodeDecodeError):
        answer = {"error": BROKE_OFF}
    if "error" in answer:
        raise _refusal(name, wanted, answer)
    rows = ([_cell(cell) for cell in row] for row in answer["rows"])
    return tuple(answer["sheets"]), sheet_of(answer["sheet"], rows)


def _refusal(name: str, wanted: str, answer: Mapping[str, Any]) -> Unusable | Unknown:
    why = answer["error"]
    if why == "password":
        return Unusable(f"{name} is protected by a password. Save a copy without one.")
    if why == "no-sheet":
        return Unknown(f"{name} has no sheet {wanted!r}. Its sheets are: {', '.join(answer['sheets'])}.")
    if why == "too-large":
        return Unusable(
            f"The sheet has more than {LONGEST_ROWS} rows or {WIDEST_COLUMNS} columns. "
            "Cut it into parts, and clear cells far from the table."
        )
    return Unusable(f"{name} cannot be read as a workbook: {why}. Save it again, or as CSV.")


def _cell(said: Any) -> Cell:
    if not isinstance(said, dict):
        return said  # type: ignore[no-any-return]
    ((kind, value),) = said.items()
    if kind == "l":
        return timedelta(seconds=value)
    if kind == "c":
        return time.fromisoformat(value)
    return datetime.fromisoformat(value) if kind == "t" else date.fromisoformat(value)


def keep_waiting(desk: Desk, source: Path) -> str:
    """Keep a file in the data folder under its digest until its reps are kept; older ones go.

    Raises:
        Unusable: If it cannot be read as a spreadsheet, so that nothing useless waits.
    """
    folder, now = desk.data / WAITING, desk.now()
    _clear_out(folder, before=(now - WAITS).timestamp())
    read = read_sheet_file(source)
    folder.mkdir(parents=True, exist_ok=True)
    kept = folder / read.sha256
    shutil.copyfile(source, kept)
    os.utime(kept, (now.timestamp(), now.timestamp()))
    return read.sha256


def waiting(desk: Desk, sha256: str) -> Path:
    """The waiting file of this digest.

    Raises:
        Unknown: If none waits, or not any more.
    """
    kept = desk.data / WAITING / sha256
    if not (len(sha256) == 64 and sha256.isalnum() and kept.is_file()):
        raise Unknown("This spreadsheet does not wait here any more. Choose the file again.")
    return kept


def let_go(desk: Desk, sha256: str) -> None:
    """Take away a waiting file whose reps are kept."""
    with suppress(Unknown, OSError):
        waiting(desk, sha256).unlink()


def _clear_out(folder: Path, before: float) -> None:
    for file in folder.glob("*") if folder.is_dir() else ():
        with suppress(OSError):
            if file.stat().st_mtime < before:
                file.unlink()
