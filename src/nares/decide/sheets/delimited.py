"""Text with delimiters as a sheet: any usual encoding, any usual delimiter, decided by looking at the text.

Conventions
-----------
Bytes in, cells out; no files. Every cell is text here: what it means is decided where it is read. A text that
is neither UTF-8 nor UTF-16 is taken as Windows-1252, which names nearly every byte, so a wrong guess shows as
odd letters in the preview and not as lost rows.
"""

import codecs
import csv
import io
import re
from collections import Counter

from nares.base.errors import Unusable
from nares.decide.sheets.cells import LONGEST_ROWS, WIDEST_COLUMNS, Sheet, sheet_of

DELIMITERS = (",", ";", "\t", "|")
_LOOK_AT = 200
"""Rows looked at to choose a delimiter. [count]"""
_NUL_SHARE = 0.2
"""Share of zero bytes at which text without a mark is UTF-16. [-]"""
_TOLD = re.compile(r"sep=(.)\r?\n?", re.IGNORECASE)


def decode(data: bytes) -> tuple[str, str]:
    """Turn bytes into text, and name the encoding that was found.

    Raises:
        Unusable: If the bytes are no text.
    """
    encoding = _encoding(data)
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError as fault:
        raise Unusable(
            f"The file is no text (byte {fault.start}). Give a CSV text, or an XLSX, XLS or ODS spreadsheet."
        ) from None
    if "\x00" in text:
        raise Unusable(
            "The file holds bytes no text has. Give a CSV text, or an XLSX, XLS or ODS spreadsheet."
        )
    return text.removeprefix("\ufeff"), encoding


def _encoding(data: bytes) -> str:
    if data.startswith(codecs.BOM_UTF8):
        return "utf-8-sig"
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return "utf-16"
    head = data[:4096]
    if len(head) > 3 and head.count(0) > _NUL_SHARE * len(head):
        return "utf-16-le" if head[1::2].count(0) > head[::2].count(0) else "utf-16-be"
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return "cp1252"
    return "utf-8"


def sheet_of_text(text: str, *, name: str = "text") -> Sheet:
    """Cut a text into cells by the delimiter that cuts most of its lines alike.

    Raises:
        Unusable: If quotation marks do not close, naming the line, or there is more than is read.
    """
    text, delimiter = _delimiter(text)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    rows: list[list[str]] = []
    try:
        for row in reader:
            rows.append(row)
            require_size(len(rows), len(row))
    except csv.Error as fault:
        raise Unusable(
            f"Line {len(rows) + 1} is not CSV ({fault}). Check the quotation marks of that line."
        ) from None
    return sheet_of(name, rows)


def require_size(rows: int, columns: int) -> None:
    """Refuse a sheet larger than is read.

    Raises:
        Unusable: Naming the limit.
    """
    if rows > LONGEST_ROWS:
        raise Unusable(f"The sheet has more than {LONGEST_ROWS} rows. Cut it into parts, one file for each.")
    if columns > WIDEST_COLUMNS:
        raise Unusable(
            f"The sheet has more than {WIDEST_COLUMNS} columns. Take away those that say nothing of reps."
        )


def _delimiter(text: str) -> tuple[str, str]:
    """The text without a line that only names the delimiter, and the delimiter."""
    told = _TOLD.match(text)
    if told and (told.end() == len(text) or told[0].endswith("\n")):
        # The line stays as an empty one, so that every later line keeps its number.
        return "\n" + text[told.end() :], told[1]
    scores = {delimiter: _score(text, delimiter) for delimiter in DELIMITERS}
    return text, max(DELIMITERS, key=lambda delimiter: scores[delimiter])


def _score(text: str, delimiter: str) -> tuple[int, int]:
    """How many lines have the commonest number of cells above one, and that number."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    widths: Counter[int] = Counter()
    try:
        for number, row in enumerate(reader):
            if number >= _LOOK_AT:
                break
            if len(row) > 1:
                widths[len(row)] += 1
    except csv.Error:
        return (0, 0)
    if not widths:
        return (0, 0)
    width, lines = max(widths.items(), key=lambda item: (item[1], item[0]))
    return lines, width
