"""Reads one sheet of a spreadsheet file in a process of its own: ``python workbook_reader.py FILE SHEET …``.

A file from anywhere may claim a million columns or be broken on purpose. Read here, within a limit of
memory, it can end this process and nothing else. What is printed is one JSON object: the names of the
sheets and the rows of one, or ``{"error": …}``. Cells that JSON does not know are objects of one letter: a
day ``d``, a day with time ``t``, a time of day ``c``, a length of time in seconds ``l``. Nothing of nares
is imported here.
"""

import json
import sys
from contextlib import suppress
from datetime import date, datetime, time, timedelta
from typing import Any


def read(path: str, wanted: str, longest: int, widest: int) -> dict[str, Any]:
    """The sheets of a file, and the rows of the wanted one (the first with anything in it when empty)."""
    import python_calamine as calamine

    try:
        book = calamine.load_workbook(path)
        names = [sheet.name for sheet in book.sheets_metadata if _visible(sheet)] or list(book.sheet_names)
        if wanted and wanted not in names:
            return {"sheets": names, "error": "no-sheet"}
        for name in [wanted] if wanted else names:
            sheet = book.get_sheet_by_name(name)
            if sheet.total_height > longest or sheet.total_width > widest:
                return {"sheets": names, "error": "too-large"}
            rows = sheet.to_python(skip_empty_area=False)
            if rows or wanted:
                return {
                    "sheets": names,
                    "sheet": name,
                    "rows": [[_plain(cell) for cell in row] for row in rows],
                }
    except calamine.PasswordError:
        return {"error": "password"}
    except (calamine.CalamineError, calamine.XmlError, calamine.ZipError, ValueError, OSError) as fault:
        return {"error": f"{fault}"}
    return {"sheets": names, "sheet": names[0] if names else "", "rows": []}


def _visible(sheet: Any) -> bool:
    return "Visible" in str(sheet.visible) and "WorkSheet" in str(sheet.typ)


def _plain(cell: Any) -> Any:
    if isinstance(cell, datetime):
        return {"t": cell.isoformat()}
    if isinstance(cell, date):
        return {"d": cell.isoformat()}
    if isinstance(cell, time):
        return {"c": cell.isoformat()}
    if isinstance(cell, timedelta):
        return {"l": cell.total_seconds()}
    return None if cell == "" else cell


def _limit(most_bytes: int) -> None:
    """Keep this process from taking more memory than that, where the system can."""
    with suppress(ImportError, ValueError, OSError):
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (most_bytes, most_bytes))


if __name__ == "__main__":
    _limit(int(sys.argv[5]))
    json.dump(read(sys.argv[1], sys.argv[2], int(sys.argv[3]), int(sys.argv[4])), sys.stdout)
