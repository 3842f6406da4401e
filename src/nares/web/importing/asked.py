"""What the form of a spreadsheet says, as a mapping; what it says twice is a fault in words.

Conventions
-----------
Names of the form: ``col-0`` what the first column is taken for and ``head-0`` its name; ``word-met-0`` what a
word means and ``said-met-0`` the word; ``given-hand`` what holds for the whole sheet; ``unit-hold_s``;
``carry-dog``. ``was-…`` holds what the form was made for: another sheet or header line makes it anew.
"""

from collections.abc import Mapping
from typing import Any

from django.http import QueryDict

from nares.base.errors import Unusable

MOST_COLUMNS = 200
MOST_WORDS = 60
REPS = "reps:"
"""How a column that holds one rep of a session is taken: this, then a field."""


def mapping_of(form: QueryDict, fields: Mapping[str, str]) -> tuple[dict[str, Any], list[str]]:
    """The mapping a form says, and what in it cannot be. Of two columns for one thing the first counts.

    Args:
        form: What was sent.
        fields: The name of each field.
    """
    columns: dict[str, str] = {}
    series: dict[str, list[str]] = {}
    faults = []
    for place in range(MOST_COLUMNS):
        head, taken = form.get(f"head-{place}"), form.get(f"col-{place}", "")
        if head is None or not taken:
            continue
        if taken.startswith(REPS):
            series.setdefault(taken.removeprefix(REPS), []).append(head)
        elif taken in columns:
            name = fields.get(taken, taken)
            faults.append(f"{name} is taken from {columns[taken]!r} and from {head!r}. Choose one of them.")
        else:
            columns[taken] = head
    mapping = {
        "header_line": header_line_of(form),
        "one_line": "session" if series else "rep",
        "columns": columns,
        "series": series,
        "words": {name: _words(form, name) for name in fields if f"said-{name}-0" in form},
        "given": {name: said for name in fields if (said := _text(form, f"given-{name}"))},
        "units": {name: form[f"unit-{name}"] for name in fields if f"unit-{name}" in form},
        "carried": [name for name in fields if form.get(f"carry-{name}")],
        **{name: _text(form, name) for name in ("order", "zone")},
        **{name: form[name] for name in ("clock_as", "naming") if form.get(name)},
    }
    return mapping, faults


def header_line_of(form: QueryDict) -> int:
    """Where the header ends, as the form says it.

    Raises:
        Unusable: If that is no line.
    """
    said = _text(form, "header_line")
    if not said.isascii() or not said.isdigit():
        raise Unusable(f"The header ends on line {said!r}. Give the number of a line, 0 where there is none.")
    return int(said)


def _text(form: QueryDict, name: str) -> str:
    return str(form.get(name, "")).strip()


def _words(form: QueryDict, name: str) -> dict[str, str]:
    said = {}
    for place in range(MOST_WORDS):
        word, value = form.get(f"said-{name}-{place}"), form.get(f"word-{name}-{place}", "")
        if word is not None and value:
            said[word] = value
    return said
