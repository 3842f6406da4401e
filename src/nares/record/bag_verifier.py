#!/usr/bin/env python3
"""Check an exported record, trusting nobody: needs only Python 3.10 or newer, no other program.

    python verify.py [BAG] [--head DIGEST]

BAG is the folder or the .zip of the export; without it, the folder this file lies in. DIGEST is the head
digest from a printed sheet or an earlier export: the record must still hold the entry that carries it.

What is checked: every file against its SHA-256 in the manifests, nothing missing and nothing added; every
entry against its digest, its canonical form (RFC 8785), its number and its link to the entry before it; the
head digest; every recording that is included against the digest the record gives it. The faults are printed
one a line; the exit code is 0 when everything holds, 1 when anything does not, 3 when it cannot be read.

This file is part of the export so that it can be read. Better than trusting it: write your own. The rules
above are all there is.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import math
import re
import sys
import zipfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import IO, Any, NamedTuple

FIELDS = [
    "by",
    "digest",
    "entered_at",
    "happened_at",
    "kennel",
    "kind",
    "number",
    "payload",
    "previous",
    "site",
]
FIRST_PREVIOUS = "0" * 64
ENTRIES, HEAD, MEDIA = "data/entries.jsonl", "data/head.txt", "data/media/"
MANIFEST, TAG_MANIFEST = "manifest-sha256.txt", "tagmanifest-sha256.txt"
DECLARATION = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
MANIFEST_LINE = re.compile(r"([0-9a-f]{64})[ \t]+(\S.*)")
SHORT = {'"': '\\"', "\\": "\\\\", "\b": "\\b", "\f": "\\f", "\n": "\\n", "\r": "\\r", "\t": "\\t"}
MUST_ESCAPE = re.compile(r'[\x00-\x1f"\\]')


class Fault(NamedTuple):
    """One thing that does not hold: the rule, where, and a sentence."""

    rule: str
    where: str
    text: str


class Answer(NamedTuple):
    """What came out: the faults, how many entries there are, the head, recordings that are not included."""

    faults: list[Fault]
    entries: int
    head: str | None
    not_included: list[str]


class Folder:
    """The bag as a folder."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def names(self) -> list[str]:
        """Every file, as a path inside the bag."""
        return [each.relative_to(self.path).as_posix() for each in self.path.rglob("*") if each.is_file()]

    def open(self, name: str) -> IO[bytes]:
        """One file, as bytes."""
        return (self.path / name).open("rb")


class Zip:
    """The bag as a .zip, with the bag's folder at its top."""

    def __init__(self, path: Path) -> None:
        self.file = zipfile.ZipFile(path)
        inside = [name for name in self.file.namelist() if not name.endswith("/")]
        tops = {name.partition("/")[0] for name in inside}
        self.top = tops.pop() + "/" if len(tops) == 1 and all("/" in name for name in inside) else ""
        self.inside = [name[len(self.top) :] for name in inside]

    def names(self) -> list[str]:
        """Every file, as a path inside the bag."""
        return self.inside

    def open(self, name: str) -> IO[bytes]:
        """One file, as bytes."""
        file = self.file.open(self.top + name)
        # The .zip's own check sum would stop reading at the end; the digests say more, and say where.
        file._expected_crc = None  # type: ignore[attr-defined]
        return file


Bag = Folder | Zip


def check(path: Path, head: str | None = None) -> Answer:
    """Check the bag at a path; raises OSError, ValueError or zipfile.BadZipFile if it cannot be read."""
    bag: Bag = Folder(path) if path.is_dir() else Zip(path)
    names = bag.names()
    faults = list(check_files(bag, names))
    if ENTRIES not in names:
        return Answer([*faults, Fault("missing", ENTRIES, "The entries are not in the export.")], 0, None, [])
    kept: set[str] = set()
    count, last, wrong = check_entries(bag, head, kept)
    faults += wrong
    faults += check_head(bag, names, last)
    media = {Path(name).name.partition(".")[0] for name in names if name.startswith(MEDIA)}
    faults += [Fault("media", MEDIA + one, "No entry keeps this recording.") for one in sorted(media - kept)]
    return Answer(faults, count, last, sorted(kept - media))


def check_files(bag: Bag, names: list[str]) -> Iterator[Fault]:
    """The bag itself: declaration, manifests, every file against its digest, nothing added."""
    for name in sorted(name for name, times in Counter(names).items() if times > 1):
        yield Fault("doubled", name, "The .zip holds this file twice.")
    if "bagit.txt" not in names or read(bag, "bagit.txt") != DECLARATION:
        yield Fault("bag", "bagit.txt", "This is not the declaration of a BagIt 1.0 bag.")
    payload = {name for name in names if name.startswith("data/")}
    tags = set(names) - payload - {TAG_MANIFEST}
    yield from check_manifest(bag, names, MANIFEST, payload)
    yield from check_manifest(bag, names, TAG_MANIFEST, tags)


def check_manifest(bag: Bag, names: list[str], manifest: str, there: set[str]) -> Iterator[Fault]:
    """One manifest: what it lists is there and unchanged, and what is there is listed."""
    if manifest not in names:
        yield Fault("missing", manifest, "The manifest is missing.")
        return
    listed: set[str] = set()
    for line in read(bag, manifest).decode("utf-8").splitlines():
        match = MANIFEST_LINE.fullmatch(line)
        if not match:
            yield Fault("bag", manifest, f"The line {line!r} is not a digest and a name.")
            continue
        digest, name = match[1], unescaped(match[2])
        listed.add(name)
        if name not in there:
            yield Fault("missing", name, "It is in the manifest but not in the export.")
        elif sha256_of(bag, name) != digest:
            yield Fault("changed", name, "It does not match its digest in the manifest.")
    for name in sorted(there - listed):
        yield Fault("added", name, "It is in the export but not in the manifest.")


def check_entries(bag: Bag, head: str | None, kept: set[str]) -> tuple[int, str | None, list[Fault]]:
    """Every entry: digest, canonical form, number, link. ``kept`` is filled with recordings' digests."""
    faults: list[Fault] = []
    previous, number, met = FIRST_PREVIOUS, 0, head is None
    with bag.open(ENTRIES) as lines:
        for number, line in enumerate(lines, start=1):
            entry = read_entry(line)
            if entry is None:
                faults.append(Fault("unreadable", f"entry {number}", "This line is not an entry."))
                previous = ""
                continue
            faults += check_entry(entry, line, number, previous)
            previous = entry["digest"]
            met = met or previous == head
            if entry["kind"] == "recording_kept":
                kept.add(str(entry["payload"].get("sha256")))
    if not met:
        said = f"No entry carries the digest {head}. The end was cut off or rewritten since it was printed."
        faults.append(Fault("missing-head", f"entry {number + 1}", said))
    return number, previous if number else None, faults


def check_entry(entry: dict[str, Any], line: bytes, number: int, previous: str) -> Iterator[Fault]:
    """One entry against itself and against the one before it."""
    where = f"entry {number}"
    body = {name: value for name, value in entry.items() if name != "digest"}
    if hashlib.sha256(canonical(body)).hexdigest() != entry["digest"]:
        yield Fault("changed", where, "Its digest does not match what it says; it was changed afterwards.")
    if canonical(entry) + b"\n" != line:
        yield Fault("not-canonical", where, "It is not in canonical form, so it could be read in two ways.")
    if entry["number"] != number:
        yield Fault("numbering", where, f"It calls itself entry {entry['number']}.")
    if entry["previous"] != previous:
        yield Fault("broken-link", where, "It does not follow from the entry before it.")


def check_head(bag: Bag, names: list[str], last: str | None) -> Iterator[Fault]:
    """The head digest that lies beside the entries."""
    stated = read(bag, HEAD).decode("ascii", "replace").strip() if HEAD in names else "missing"
    if stated != (last or FIRST_PREVIOUS):
        yield Fault("head", HEAD, f"It says {stated}, but the last entry carries {last}.")


def read_entry(line: bytes) -> dict[str, Any] | None:
    """One line as an entry, or None if it is none."""
    try:
        entry = json.loads(line.decode("utf-8"), parse_int=exact)
        text = json.dumps(entry, ensure_ascii=False).encode("utf-8")
    except (ValueError, RecursionError):
        return None
    whole = isinstance(entry, dict) and sorted(entry) == FIELDS and bool(text)
    texts = whole and all(
        isinstance(entry[name], str) for name in FIELDS if name not in ("number", "payload")
    )
    return entry if texts and type(entry["number"]) is int and isinstance(entry["payload"], dict) else None


def canonical(value: Any) -> bytes:
    """RFC 8785: no blanks, names sorted by UTF-16 code units, numbers as ECMAScript writes them."""
    return "".join(pieces(value)).encode("utf-8")


def pieces(value: Any) -> Iterator[str]:
    """The canonical text of a value, piece by piece."""
    if value is None or isinstance(value, bool):
        yield {None: "null", True: "true", False: "false"}[value]
    elif isinstance(value, str):
        yield string_text(value)
    elif isinstance(value, (int, float)):
        yield number_text(value)
    elif isinstance(value, list):
        yield "["
        for place, one in enumerate(value):
            yield "," if place else ""
            yield from pieces(one)
        yield "]"
    else:
        yield "{"
        for place, name in enumerate(sorted(value, key=lambda name: name.encode("utf-16-be"))):
            yield ("," if place else "") + string_text(name) + ":"
            yield from pieces(value[name])
        yield "}"


def string_text(text: str) -> str:
    """A string with as few escapes as JSON allows."""
    return '"' + MUST_ESCAPE.sub(lambda hit: SHORT.get(hit[0], f"\\u{ord(hit[0]):04x}"), text) + '"'


def number_text(value: int | float) -> str:
    """A number as ECMAScript writes it: the fewest digits that give the same double."""
    if isinstance(value, int):
        return str(value)
    if not math.isfinite(value):
        raise ValueError("a number is not finite")
    if value == 0:
        return "0"
    mantissa, _, power = repr(abs(value)).partition("e")
    whole, _, part = mantissa.partition(".")
    digits = (whole + part).lstrip("0")
    point = len(whole) + int(power or 0) - (len(whole + part) - len(digits))
    return ("-" if value < 0 else "") + laid_out(digits.rstrip("0"), point)


def laid_out(digits: str, point: int) -> str:
    """Lay out digits of which ``point`` stand before the decimal point."""
    if len(digits) <= point <= 21:
        return digits + "0" * (point - len(digits))
    if 0 < point <= 21:
        return digits[:point] + "." + digits[point:]
    if -6 < point <= 0:
        return "0." + "0" * -point + digits
    rest = "." + digits[1:] if len(digits) > 1 else ""
    return f"{digits[0]}{rest}e{'+' if point > 0 else '-'}{abs(point - 1)}"


def exact(digits: str) -> int | float:
    """An integer of JSON: exact where a double is, a double beyond."""
    value = int(digits)
    return value if abs(value) < 2**53 and digits != "-0" else float(digits)


def read(bag: Bag, name: str) -> bytes:
    """One whole file."""
    with bag.open(name) as file:
        return file.read()


def sha256_of(bag: Bag, name: str) -> str:
    """The SHA-256 of one file, read in blocks."""
    digest = hashlib.sha256()
    with bag.open(name) as file:
        for block in iter(lambda: file.read(1 << 20), b""):
            digest.update(block)
    return digest.hexdigest()


def unescaped(name: str) -> str:
    """A name as BagIt writes it in a manifest: line ends and the per cent sign are escaped."""
    return name.replace("%0D", "\r").replace("%0A", "\n").replace("%25", "%")


def main() -> int:
    """Check, and say what came out."""
    parser = argparse.ArgumentParser(description="Check an exported record, trusting nobody.")
    parser.add_argument("bag", nargs="?", type=Path, default=Path(__file__).resolve().parent)
    parser.add_argument("--head", metavar="DIGEST", help="the head digest from a printed sheet")
    asked = parser.parse_args()
    try:
        answer = check(asked.bag, asked.head.strip().lower() if asked.head else None)
    except (OSError, ValueError, zipfile.BadZipFile) as fault:
        sys.stderr.write(f"{asked.bag} cannot be read as an export: {fault}\n")
        return 3
    for found in answer.faults:
        sys.stdout.write(f"{found.where}: {found.text}\n")
    sys.stdout.write(f"{answer.entries} entries, head {answer.head}\n")
    if answer.not_included:
        sys.stdout.write(f"{len(answer.not_included)} recordings are on the record but not included.\n")
    sys.stdout.write("Everything holds.\n" if not answer.faults else f"{len(answer.faults)} faults.\n")
    return 1 if answer.faults else 0


if __name__ == "__main__":
    sys.exit(main())
