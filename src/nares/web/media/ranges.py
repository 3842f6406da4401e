"""Byte ranges, so that a player can seek: RFC 9110 section 14, one range a request.

Conventions
-----------
Offsets count from 0 and ``last`` is included, as in the header. A header that is not understood is
ignored and the whole file sent, as the rule asks; one that lies outside the file is refused.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

CHUNK_BYTES = 64 * 1024
ONE_RANGE = re.compile(r"bytes=(\d{0,18})-(\d{0,18})", re.ASCII)


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a file, both ends included. [bytes]"""

    first: int
    last: int

    @property
    def length(self) -> int:
        """How many bytes it holds."""
        return self.last - self.first + 1


class OutsideFile(ValueError):
    """The range asked for lies outside the file."""


def asked_part(header: str, size: int) -> Part | None:
    """The part a Range header asks for; None for the whole file.

    Raises:
        OutsideFile: If the range starts behind the end, or asks for nothing.

    Examples:
        >>> asked_part("bytes=0-99", 1000), asked_part("bytes=-100", 1000)
        (Part(first=0, last=99), Part(first=900, last=999))
        >>> asked_part("pages=1-2", 1000) is None
        True
    """
    found = ONE_RANGE.fullmatch(header.strip())
    if not found or found.groups() == ("", ""):
        return None
    first, last = found.groups()
    if not first:
        part = Part(max(size - int(last), 0), size - 1)
    else:
        part = Part(int(first), min(int(last), size - 1) if last else size - 1)
    if last and first and int(last) < int(first):
        return None
    if part.first >= size or part.length < 1:
        raise OutsideFile(header)
    return part


def chunks(path: Path, part: Part) -> Iterator[bytes]:
    """Read a part of a file piece by piece; memory stays at one piece however long it is."""
    left = part.length
    with path.open("rb") as file:
        file.seek(part.first)
        while left > 0:
            chunk = file.read(min(CHUNK_BYTES, left))
            if not chunk:
                return
            left -= len(chunk)
            yield chunk
