"""Pointing at one value inside a payload: RFC 6901 JSON pointers.

A pointer is empty (the whole) or a run of ``/part``; ``~1`` in a part stands for ``/`` and ``~0`` for ``~``.
"""

import copy
from typing import Any

from nares.base.errors import Unknown


def parts_of(pointer: str) -> tuple[str, ...]:
    """Split a pointer into its parts.

    Raises:
        Unknown: If it is not a pointer.

    Sources:
        rfc-6901: sections 3 and 4.

    Examples:
        >>> parts_of("/reps/0/a~1b")
        ('reps', '0', 'a/b')
    """
    if pointer and not pointer.startswith("/"):
        raise Unknown(f"{pointer!r} is not a JSON pointer. Write it like /reps/0/hold_s.")
    return tuple(part.replace("~1", "/").replace("~0", "~") for part in pointer.split("/")[1:])


def value_at(document: Any, pointer: str) -> Any:
    """The value a pointer names.

    Raises:
        Unknown: If there is no such value.
    """
    for part in parts_of(pointer):
        document = document[_step(document, part, pointer)]
    return document


def with_value(document: Any, pointer: str, new: Any) -> Any:
    """A copy of a document in which the value a pointer names is replaced.

    Raises:
        Unknown: If there is no such value, or the pointer names the whole document.
    """
    parts = parts_of(pointer)
    if not parts:
        raise Unknown("An empty pointer names the whole entry. Name one value, for example /note.")
    changed = copy.deepcopy(document)
    inner = changed
    for part in parts[:-1]:
        inner = inner[_step(inner, part, pointer)]
    inner[_step(inner, parts[-1], pointer)] = copy.deepcopy(new)
    return changed


def _step(document: Any, part: str, pointer: str) -> str | int:
    if isinstance(document, dict) and part in document:
        return part
    counted = part.isascii() and part.isdigit() and (part == "0" or part[0] != "0")
    if isinstance(document, list) and counted and int(part) < len(document):
        return int(part)
    raise Unknown(f"There is nothing at {pointer}: {part!r} is not there. Look at the entry's payload.")
