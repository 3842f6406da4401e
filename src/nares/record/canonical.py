"""One value, one spelling: RFC 8785 canonical JSON, written and checked.

Conventions
-----------
`canonical` writes with the reference algorithm. `read_canonical` reads bytes back and says whether they
were spelled canonically, for most texts by a faster way: Python's own JSON writer agrees with RFC 8785
unless a number is written with an exponent, ends in ``.0``, is a negative zero or has sixteen digits or
more, or a character lies beyond the basic plane (where the two sort names differently). Texts in which any
of that could be so, and texts in which the two disagree, take the slow way.

Standard library and `rfc8785` only; no files, no clock.
"""

import json
import re
from typing import Any

import rfc8785

from nares.base.errors import Refused

LARGEST_INTEGER = 2**53 - 1

# The look-ahead passes over most of a text quickly: numbers only begin after one of three characters.
_NUMBER = re.compile(rb"[:\[,](?=[-0-9NI])(?:-?\d+(?:\.\d+)?[eE]|-0[,}\]]|-?\d{16}|-?I|N)")
_ENDS_IN_ZERO = re.compile(rb"\.\d*0[,}\]]")
_BEYOND_BASIC = re.compile(rb"[\xf0-\xff]")


def canonical(value: Any) -> bytes:
    """Write a value as RFC 8785 canonical JSON in UTF-8.

    Raises:
        Refused: If it holds something JSON cannot carry exactly, such as NaN or an integer beyond 2^53.

    Sources:
        rfc-8785: section 3.2.

    Examples:
        >>> canonical({"b": 1.0, "a": 0.002})
        b'{"a":0.002,"b":1}'
    """
    try:
        return rfc8785.dumps(value)
    except (rfc8785.CanonicalizationError, UnicodeError, RecursionError) as fault:
        raise Refused(
            f"The record cannot hold this value exactly: {fault}. Give plain JSON values."
        ) from None


def read_canonical(text: bytes) -> tuple[Any, bool]:
    """Read JSON and say whether it was spelled canonically.

    Returns:
        The value, and True when ``text`` is exactly what `canonical` would write for it.

    Raises:
        ValueError: If the bytes are not JSON in UTF-8.
    """
    if not _may_differ(text):
        value = json.loads(text)
        if _plain(value) == text:
            return value, True
    value = json.loads(text, parse_int=_integer_or_double)
    try:
        return value, canonical(value) == text
    except Refused:
        return value, False


def _may_differ(text: bytes) -> bool:
    # A lone number has nothing before it, so only objects and lists go the faster way.
    return (
        text[:1] not in (b"{", b"[")
        or _NUMBER.search(text) is not None
        or _ENDS_IN_ZERO.search(text) is not None
        or (not text.isascii() and _BEYOND_BASIC.search(text) is not None)
    )


_WRITER = json.JSONEncoder(ensure_ascii=False, allow_nan=False, sort_keys=True, separators=(",", ":"))


def _plain(value: Any) -> bytes:
    return _WRITER.encode(value).encode("utf-8", "surrogatepass")


def _integer_or_double(digits: str) -> int | float:
    # RFC 8785 knows only doubles: 1e20 is written as an integer of 21 digits and must come back as one.
    exact = int(digits)
    return exact if abs(exact) <= LARGEST_INTEGER and digits != "-0" else float(digits)
