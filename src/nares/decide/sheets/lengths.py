"""Lengths of time, numbers and words as trainers write them.

Conventions
-----------
A comma in a number is a decimal comma, unless a point follows it. A length is in seconds unless it says
otherwise; ``1:05`` is a minute and five seconds. A spreadsheet takes what is typed as 1:05 for five past one,
so a cell that holds such a time is read by ``clock_as``. An empty cell, a dash and "none" are no length.
"""

import re
from datetime import date, datetime, time, timedelta

from nares.decide.sheets.cells import Cell, key_of, text_of

CLOCKS = ("min:s", "h:min:s")
"""How a cell that a spreadsheet took for a time of day is meant where a length is wanted."""
UNITS = ("s", "ms")
NOTHING = frozenset({"", "-", "–", "—", "none", "n/a", "na", "nil", "?"})
_NUMBER = re.compile(r"^[+-]?\d[\d.,' ]*$|^[+-]?[.,]\d+$")
_PARTS = re.compile(
    r"^(?:(?P<min>\d+)\s*(?:m|min|mins|minutes?)\.?)?\s*"
    r"(?:(?P<s>\d+(?:[.,]\d+)?)\s*(?:s|sec|secs|seconds?|\"|″|'')\.?)?$",
    re.IGNORECASE,
)
_MILLI = re.compile(r"^(?P<ms>\d+(?:[.,]\d+)?)\s*(?:ms|msec|milliseconds?)$", re.IGNORECASE)
_COLON = re.compile(r"^(?:(?P<h>\d+):)?(?P<min>\d{1,3}):(?P<s>\d{2}(?:[.,]\d+)?)$")


def read_number(cell: Cell, *, unit: str = "") -> float:
    """Read a number, with its unit behind it or not.

    Raises:
        ValueError: If it is none.

    Examples:
        >>> read_number("2,5"), read_number("1.234,5"), read_number("3 m", unit="m"), read_number(4)
        (2.5, 1234.5, 3.0, 4.0)
    """
    if isinstance(cell, bool | date | time | timedelta):
        raise ValueError("It is no number. Give a number")
    if isinstance(cell, float | int):
        return float(cell)
    text = text_of(cell)
    if unit and text.casefold().endswith(unit):
        text = text[: -len(unit)].rstrip()
    if not _NUMBER.match(text):
        raise ValueError("It is no number. Give a number, like 2.5 or 2,5")
    return _decimal(text)


def _decimal(text: str) -> float:
    text = text.replace(" ", "").replace("'", "")
    last = max(text.rfind("."), text.rfind(","))
    if last < 0:
        return float(text)
    whole = re.sub(r"[.,]", "", text[:last])
    try:
        return float(f"{whole}.{text[last + 1 :]}")
    except ValueError:
        raise ValueError("It is no number. Give a number, like 2.5 or 2,5") from None


def read_length(cell: Cell, *, unit: str = "s", clock_as: str = "min:s") -> float | None:
    """Read a length of time, in seconds; None where there is none.

    Args:
        cell: What the sheet holds.
        unit: What a bare number counts: one of `UNITS`.
        clock_as: How a cell that holds a time of day is meant: one of `CLOCKS`.

    Raises:
        ValueError: If it is no length of time.

    Examples:
        >>> read_length("4,5 s"), read_length("1:05"), read_length("800 ms"), read_length(450, unit="ms")
        (4.5, 65.0, 0.8, 0.45)
    """
    if isinstance(cell, datetime | date):
        raise ValueError("It is a day and no length of time. Give seconds, like 2.5")
    if isinstance(cell, time):
        return _of_clock(cell.hour, cell.minute, cell.second + cell.microsecond / 1e6, clock_as)
    if isinstance(cell, timedelta):
        minutes, seconds = divmod(cell.total_seconds(), 60)
        return _of_clock(int(minutes) // 60, int(minutes) % 60, seconds, clock_as)
    if key_of(cell) in NOTHING:
        return None
    text = text_of(cell)
    if isinstance(cell, str):
        written = _in_parts(text)
        if written is not None:
            return written
    try:
        value = read_number(cell)
    except ValueError:
        raise ValueError("It is no length of time. Give seconds, like 2.5, or 1:05") from None
    if value < 0:
        raise ValueError("A length of time is not less than 0. Give seconds, like 2.5")
    return value / 1000 if unit == "ms" else value


def _of_clock(hours: int, minutes: int, seconds: float, clock_as: str) -> float:
    if clock_as == "min:s" and not seconds:
        return 60.0 * hours + minutes
    return 3600.0 * hours + 60.0 * minutes + seconds


def _in_parts(text: str) -> float | None:
    found = _MILLI.match(text)
    if found:
        return float(found["ms"].replace(",", ".")) / 1000
    found = _COLON.match(text)
    if found:
        seconds = float(found["s"].replace(",", "."))
        if seconds >= 60:
            raise ValueError("There are no sixty seconds in a minute. Give seconds, like 2.5, or 1:05")
        return 3600.0 * int(found["h"] or 0) + 60.0 * int(found["min"]) + seconds
    found = _PARTS.match(text)
    if found and (found["min"] or found["s"]):
        return 60.0 * int(found["min"] or 0) + float((found["s"] or "0").replace(",", "."))
    return None


_COUNTS = re.compile(r"^(\d+)\s*(?:/|of|out of|from)\s*(\d+)$", re.IGNORECASE)


def counts_in(cell: Cell) -> tuple[int, int] | None:
    """The counts of a cell that says how many of how many.

    >>> counts_in("8 of 10"), counts_in("8/10"), counts_in("8")
    ((8, 10), (8, 10), None)
    """
    found = _COUNTS.match(cell) if isinstance(cell, str) else None
    return (int(found[1]), int(found[2])) if found else None
