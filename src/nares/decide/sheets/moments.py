"""Days and times of day as trainers write them.

Conventions
-----------
A reader gives its value or raises `ValueError` with what was found wrong, as the end of a sentence. A day
written in figures is never guessed: where day and month could change places, ``order`` says which is first,
and without it the reader asks. A year of two figures lies in this century. Figures alone between 20,000 and
80,000 are the days spreadsheets count from 30 December 1899.
"""

import re
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, tzinfo

from nares.decide.sheets.cells import Cell, text_of

ORDERS = ("day first", "month first", "year first")
_FIRST_DAY = date(1899, 12, 30)
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_REST = r"(?:[T ,]+(?P<rest>.*))?$"
_ISO = re.compile(r"^(?P<y>\d{4})[-/.](?P<m>\d{1,2})[-/.](?P<d>\d{1,2})" + _REST)
_FIGURES = re.compile(r"^(?P<a>\d{1,2})(?P<sep>[-/. ]) ?(?P<b>\d{1,2})[-/. ] ?(?P<y>\d{4}|\d{2})" + _REST)
_DAY_WORD = re.compile(
    r"^(?P<d>\d{1,2})(?:st|nd|rd|th)?[. -]*(?P<m>[a-z]{3,9})\.?,?[ -]*(?P<y>\d{4}|\d{2})" + _REST, re.I
)
_WORD_DAY = re.compile(r"^(?P<m>[a-z]{3,9})\.? +(?P<d>\d{1,2})(?:st|nd|rd|th)?,? +(?P<y>\d{4})" + _REST, re.I)
_WEEKDAY = re.compile(r"^(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*\.?,? +", re.I)
_CLOCK = re.compile(
    r"^(?P<h>\d{1,2})(?:[:.h](?P<m>\d{2})(?:[:.](?P<s>\d{2}(?:[.,]\d+)?))?)?\s*(?:(?P<half>[ap])\.?m?\.?)?$",
    re.I,
)


@dataclass(frozen=True, slots=True)
class Moment:
    """A day, with the time of day and its zone where the cell says them."""

    day: date
    clock: time | None = None
    zone: tzinfo | None = None


def read_moment(cell: Cell, order: str) -> Moment:
    """Read a day, with a time of day where there is one.

    Args:
        cell: What the sheet holds.
        order: One of `ORDERS`, or empty while nobody has said.

    Raises:
        ValueError: Saying what cannot be read.
    """
    if isinstance(cell, datetime):
        whole = cell.time() if cell.time() != time() else None
        return Moment(cell.date(), whole, cell.tzinfo)
    if isinstance(cell, date):
        return Moment(cell)
    if isinstance(cell, float | int) and not isinstance(cell, bool):
        return _counted(float(cell))
    text = _WEEKDAY.sub("", text_of(cell))
    if isinstance(cell, time | timedelta) or not text:
        raise ValueError("It is no day. Write it like 2026-03-14")
    if re.fullmatch(r"\d{5}(\.\d+)?", text):
        return _counted(float(text))
    return _written(text, order)


def _counted(days: float) -> Moment:
    if not 20_000 <= days <= 80_000:
        raise ValueError("It is a number and no day. Write it like 2026-03-14")
    seconds = round((days % 1) * 86_400)
    day = _FIRST_DAY + timedelta(days=int(days))
    return Moment(day, _clock_after(seconds) if seconds % 86_400 else None)


def _clock_after(seconds: int) -> time:
    return time(seconds // 3600 % 24, seconds // 60 % 60, seconds % 60)


def _written(text: str, order: str) -> Moment:
    for pattern in (_ISO, _DAY_WORD, _WORD_DAY):
        found = pattern.match(text)
        if found:
            return _with_rest(_day(found["y"], found["m"], found["d"]), text, found["rest"])
    found = _FIGURES.match(text)
    if found:
        month, day = _in_order(int(found["a"]), int(found["b"]), order)
        return _with_rest(_day(found["y"], str(month), str(day)), text, found["rest"])
    if re.fullmatch(r"\d{1,2}[-/.]\d{1,2}\.?", text):
        raise ValueError("It has no year. Write it like 2026-03-14")
    raise ValueError("It is no day. Write it like 2026-03-14")


def _in_order(first: int, second: int, order: str) -> tuple[int, int]:
    if order == "month first":
        return first, second
    if order == "day first" or first > 12 or first == second:
        return second, first
    if second > 12:
        return first, second
    raise ValueError("Day and month could change places. Say whether the day or the month comes first")


def _day(year: str, month: str, day: str) -> date:
    number = _MONTHS.index(month[:3].casefold()) + 1 if month[:3].casefold() in _MONTHS else None
    if number is None and not month.isdecimal():
        raise ValueError(f"There is no month {month}. Write it like 2026-03-14")
    try:
        return date(int(year) + (2000 if len(year) == 2 else 0), number or int(month), int(day))
    except ValueError:
        raise ValueError("There is no such day. Check day, month and which comes first") from None


def _with_rest(day: date, text: str, rest: str | None) -> Moment:
    if not rest:
        return Moment(day)
    try:
        whole = datetime.fromisoformat(text.replace("/", "-"))
    except ValueError:
        return Moment(day, read_clock(rest))
    return Moment(day, whole.time(), whole.tzinfo)


def read_clock(cell: Cell) -> time:
    """Read a time of day.

    Raises:
        ValueError: Saying what cannot be read.
    """
    if isinstance(cell, datetime):
        return cell.time()
    if isinstance(cell, time):
        return cell
    if isinstance(cell, float | int) and not isinstance(cell, bool) and 0 <= cell < 1:
        return _clock_after(round(cell * 86_400) % 86_400)
    found = _CLOCK.match(text_of(cell)) if isinstance(cell, str) else None
    if found is None or not (found["m"] or found["half"]):
        raise ValueError("It is no time of day. Write it like 09:30")
    hour = int(found["h"]) % 12 + (12 if found["half"] in "pP" else 0) if found["half"] else int(found["h"])
    seconds = float((found["s"] or "0").replace(",", "."))
    try:
        return time(hour, int(found["m"] or 0), int(seconds))
    except ValueError:
        raise ValueError("There is no such time of day. Write it like 09:30") from None


def order_of(cells: list[Cell]) -> str:
    """Which order the days of a column show, or nothing where none of them shows it.

    A column in which one cell can only be read day first and another only month first shows nothing; each
    is then refused where it stands.
    """
    seen: set[str] = set()
    dotted = figures = 0
    for cell in cells:
        text = _WEEKDAY.sub("", text_of(cell)) if isinstance(cell, str) else ""
        found = None if _ISO.match(text) else _FIGURES.match(text)
        if found is None:
            continue
        figures += 1
        dotted += found["sep"] == "."
        if int(found["a"]) > 12:
            seen.add("day first")
        elif int(found["b"]) > 12:
            seen.add("month first")
    if len(seen) == 1:
        return seen.pop()
    # Points between the figures are the way of countries that put the day first; strokes are anybody's.
    return "day first" if not seen and figures and dotted == figures else ""
