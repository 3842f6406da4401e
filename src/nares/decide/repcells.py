"""The cells of one row of the rep table: how each column is read and written.

Conventions
-----------
A reader takes the text of a cell and gives its value, or raises `ValueError` with what is wanted, as the
end of a sentence ("... Give a number from 0 up."). A writer gives the shortest text that reads back the
same.
"""

from collections.abc import Callable
from typing import Any

from nares.base.errors import OutOfRange
from nares.base.times import read_utc
from nares.base.vocab import Rep

LONGEST_S = 3600.0
"""Longest hold or ask believed: an hour. [s]"""

FARTHEST_M = 10_000.0
"""Farthest handler believed. [m]"""


def _text(cell: str) -> str:
    if not cell.strip():
        raise ValueError("It is empty. Write a name")
    return cell.strip()


def _time(cell: str) -> str:
    try:
        read_utc(cell.strip())
    except OutOfRange as fault:
        raise ValueError(str(fault).rstrip(".")) from None
    return cell.strip()


def _count(low: int, high: int | None) -> Callable[[str], int]:
    wanted = f"Give a whole number from {low} " + ("up" if high is None else f"to {high}")

    def read(cell: str) -> int:
        if not cell.strip().isascii() or not cell.strip().isdigit():
            raise ValueError(wanted)
        value = int(cell)
        if value < low or (high is not None and value > high):
            raise ValueError(wanted)
        return value

    return read


def _number(cell: str, highest: float = LONGEST_S) -> float:
    try:
        value = float(cell)
    except ValueError:
        raise ValueError("Give a number with a point, like 2.5") from None
    if not cell.isascii() or "_" in cell:
        raise ValueError("Give a number with a point, like 2.5")
    if not 0 <= value <= highest:
        raise ValueError(f"Give a number from 0 up to {highest:g}")
    return value


def _distance(cell: str) -> float:
    return _number(cell, FARTHEST_M)


def _duration(cell: str) -> float | None:
    if not cell.strip():
        return None
    try:
        return _number(cell)
    except ValueError as fault:
        if cell.strip().startswith("-"):
            raise ValueError("A rep cannot end before it starts. Give seconds from 0 up") from None
        raise fault from None


def _ask(cell: str) -> float | None:
    if not cell.strip():
        return None
    return _number(cell)


def _one_of(*words: str) -> Callable[[str], str]:
    def read(cell: str) -> str:
        if cell.strip() not in words:
            raise ValueError("Give one of " + ", ".join(words))
        return cell.strip()

    return read


def _flag(cell: str) -> bool:
    if cell.strip() not in ("0", "1"):
        raise ValueError("Give 1 for yes or 0 for no")
    return cell.strip() == "1"


def _names(cell: str) -> tuple[str, ...]:
    return tuple(cell.split())


READERS: dict[str, Callable[[str], Any]] = {
    "dog": _text,
    "session": _text,
    "started_at": _time,
    "step": _text,
    "rep": _count(1, None),
    "ask_s": _ask,
    "hold_s": _duration,
    "ended_by": _one_of("mark", "dog"),
    "met": _flag,
    "hand": _one_of("inside", "side", "front", "away"),
    "pay_place": _one_of("inside", "outside", "away"),
    "distance_m": _distance,
    "disturbance": _count(0, 3),
    "source": _one_of("target", "blank", "distractor"),
    "cues": _names,
    "paid": _flag,
}
"""How each column is read, in the order in which the table is written."""

COLUMNS = tuple(READERS)


def cell_of(rep: Rep, column: str) -> str:
    """The text of one cell."""
    value = getattr(rep, column)
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(int(value))
    if isinstance(value, tuple):
        return " ".join(value)
    return f"{value:.10g}" if isinstance(value, float) else str(value)
