"""Speeds that the edit lists of an mp4 or mov ask for: slow motion that was set after filming.

Conventions
-----------
An edit list says which stretch of a track is shown when, and at which rate: 1 as it was, less is slower.
The decoder follows stretches and not rates, so that a rate other than 1 must be said. A rate of 0 holds a
picture. Only the boxes on the way to the lists are read; a file that is not built of boxes has none.

Sources:
    Layout of boxes, of moov, trak, edts and elst: ISO/IEC 14496-12, 8.6.6 (from memory, tried on files that a
    general-purpose library wrote).
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

HOLDERS = (b"moov", b"trak", b"edts")
MOST_ENTRIES = 10_000


def edit_rates(path: Path) -> tuple[float, ...]:
    """The rates other than 1 and 0 that the edit lists of a file ask for, slowest first."""
    with path.open("rb") as file:
        rates = set(_rates(file, 0, path.stat().st_size))
    return tuple(sorted(rate for rate in rates if rate not in (0.0, 1.0)))


def _rates(file: BinaryIO, first: int, end: int) -> Iterator[float]:
    for name, start, stop in _boxes(file, first, end):
        if name in HOLDERS:
            yield from _rates(file, start, stop)
        elif name == b"elst":
            file.seek(start)
            yield from _entries(file.read(min(stop - start, 8 + 20 * MOST_ENTRIES)))


def _boxes(file: BinaryIO, first: int, end: int) -> Iterator[tuple[bytes, int, int]]:
    """Name, start and end of what each box holds, as far as the boxes make sense."""
    at = first
    while at + 8 <= end:
        file.seek(at)
        head = file.read(16)
        size, begin = int.from_bytes(head[:4], "big"), 8
        if size == 1 and len(head) == 16:
            size, begin = int.from_bytes(head[8:], "big"), 16
        stop = end if size == 0 else at + size
        if (size != 0 and size < begin) or stop > end:
            return
        yield head[4:8], at + begin, stop
        at = stop


def _entries(body: bytes) -> Iterator[float]:
    if len(body) < 8:
        return
    wide = body[0] == 1
    size, rate_at = (20, 16) if wide else (12, 8)
    count = int.from_bytes(body[4:8], "big")
    for number in range(min(count, MOST_ENTRIES, (len(body) - 8) // size)):
        at = 8 + number * size + rate_at
        yield int.from_bytes(body[at : at + 4], "big", signed=True) / 65_536
