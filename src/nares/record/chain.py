"""Entries linked by digest, and what it takes to show that none was changed.

Conventions
-----------
An entry's *body* is its canonical JSON without ``digest``; its digest is the SHA-256 of the body, 64 lower
case hex digits. ``previous`` is the digest of the entry before it, 64 zeros for the first. Numbers run 1, 2,
3 … without gaps. A chain shows change, loss, insertion and reordering; it cannot show that its end was cut
off, which is why `verify_chain` can be told the head digest that left the machine.

No files, no clock, no database. Storing is `nares.record.store`.
"""

import hashlib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from nares.base.errors import BrokenChain
from nares.base.findings import Finding
from nares.record.canonical import canonical, read_canonical

FIRST_PREVIOUS = "0" * 64

FIELDS = (
    "by",
    "entered_at",
    "happened_at",
    "kennel",
    "kind",
    "number",
    "payload",
    "previous",
    "site",
)


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the record. ``happened_at`` and ``entered_at`` are ISO 8601 in UTC with milliseconds."""

    number: int
    kennel: str
    site: str
    kind: str
    happened_at: str
    entered_at: str
    by: str
    payload: Mapping[str, Any]
    previous: str
    digest: str


@dataclass(frozen=True, slots=True)
class Sealed:
    """An entry as it is stored: its number, its canonical body and its digest."""

    number: int
    body: bytes
    digest: str


def body_of(entry: Entry) -> bytes:
    """The bytes an entry's digest is taken over: RFC 8785 of everything but the digest.

    Sources:
        rfc-8785: section 3.2.
    """
    return canonical({name: getattr(entry, name) for name in FIELDS})


def digest_of(entry: Entry) -> str:
    """The SHA-256 an entry should carry, as hex.

    Sources:
        fips-180-4: section 6.2.
    """
    return hashlib.sha256(body_of(entry)).hexdigest()


def seal(number: int, previous: str, said: Mapping[str, Any]) -> Sealed:
    """Close an entry: ``said`` holds every field but number, previous and digest."""
    body = canonical({**said, "number": number, "previous": previous})
    return Sealed(number, body, hashlib.sha256(body).hexdigest())


def entry_from(sealed: Sealed) -> Entry:
    """Read a stored entry back, unchecked.

    Raises:
        BrokenChain: If the body is not the JSON of an entry.
    """
    try:
        said, _ = read_canonical(sealed.body)
        return _entry(said, sealed.digest)
    except (ValueError, RecursionError) as fault:
        raise BrokenChain(f"Entry {sealed.number} cannot be read: {fault}. Verify the record.") from None


def verify_chain(
    stored: Iterable[Sealed], *, head: str | None = None, entries_seen: list[Entry] | None = None
) -> Iterator[Finding]:
    """Check every digest, link and number of stored entries, given in order.

    Args:
        stored: The entries, lowest number first.
        head: A digest from paper or an export: the chain must hold an entry that carries it.
        entries_seen: Filled with the entries that could be read, for checks that follow.

    Yields:
        One finding for each fault, the first bad entry first. ``where`` is ``"entry N"``.
    """
    previous, number, met = FIRST_PREVIOUS, 0, head is None
    for sealed in stored:
        number += 1
        yield from _faults(sealed, number, previous, entries_seen)
        previous, number = sealed.digest, sealed.number
        met = met or sealed.digest == head
    if not met:
        yield Finding(
            "missing-head",
            f"entry {number + 1}",
            f"No entry carries the digest {head}. The end of the record was cut off or rewritten since "
            "that digest was printed.",
        )


def _faults(
    sealed: Sealed, number: int, previous: str, entries_seen: list[Entry] | None
) -> Iterator[Finding]:
    where = f"entry {sealed.number}"
    if hashlib.sha256(sealed.body).hexdigest() != sealed.digest:
        yield Finding("changed", where, "Its digest does not match what it says; it was changed afterwards.")
    if sealed.number != number:
        yield Finding("numbering", where, f"Entry {number} was to follow here; one is missing or moved.")
    try:
        said, spelled = read_canonical(sealed.body)
        entry = _entry(said, sealed.digest)
    except (ValueError, RecursionError) as fault:
        yield Finding("unreadable", where, f"It cannot be read as an entry: {fault}.")
        return
    if not spelled:
        yield Finding("not-canonical", where, "It is not in canonical form, so it could be read in two ways.")
    if entry.number != sealed.number:
        yield Finding("numbering", where, f"It calls itself entry {entry.number}.")
    if entry.previous != previous:
        yield Finding("broken-link", where, "It does not follow from the entry before it.")
    if entries_seen is not None:
        entries_seen.append(entry)


_TEXTS = tuple(name for name in FIELDS if name not in ("number", "payload"))


def _entry(said: Any, digest: str) -> Entry:
    if not isinstance(said, dict) or tuple(sorted(said)) != FIELDS:
        raise ValueError("its fields are not those of an entry")
    if type(said["number"]) is not int or not isinstance(said["payload"], dict):
        raise ValueError("its number or payload is of the wrong type")
    if not all(type(said[name]) is str for name in _TEXTS):
        raise ValueError("one of its fields is not text")
    return Entry(**said, digest=digest)
