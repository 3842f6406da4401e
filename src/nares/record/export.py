"""Handing the record to someone who trusts nobody: a BagIt bag that brings its own verifier.

Conventions
-----------
The bag (RFC 8493, version 1.0) is one .zip: ``data/entries.jsonl`` holds every entry as canonical JSON with
its digest, one a line; ``data/head.txt`` the head digest; ``data/media/`` the recordings, named by their
SHA-256; ``verify.py`` checks all of it with Python's standard library alone. The same entries and media give
the same bytes on any machine: nothing is compressed, and no time but that of the newest entry goes in. A
record that does not hold together is not exported.

Sources:
    rfc-8493: sections 2.1 to 2.2.
"""

import hashlib
import re
import zipfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO

from nares.base.errors import BrokenChain, Refused, Unknown, Unusable
from nares.base.findings import Finding
from nares.record import bag_verifier, dialect
from nares.record.canonical import canonical
from nares.record.chain import FIRST_PREVIOUS, Sealed, entry_from, verify_chain
from nares.record.found import Recording
from nares.record.store import Store

TOP = "record"
_SUFFIX = re.compile(r"\.[a-z0-9]{1,8}")
_BLOCK = 1 << 20
_READ_ME = """\
This is a BagIt bag (RFC 8493) with the whole record of one site of one kennel.

data/entries.jsonl  every entry as canonical JSON (RFC 8785), one a line
data/head.txt       the digest of the last entry
data/media/         recordings, each named by its SHA-256
verify.py           checks all of it: python verify.py --head DIGEST-FROM-PAPER

An entry's digest is the SHA-256 of its canonical JSON without "digest". "previous" is the digest of the entry
before it. Links show every change but one: that the end was cut off. For that, compare with a head digest
from an earlier printed sheet.
"""


@dataclass(frozen=True, slots=True)
class Exported:
    """What was handed out. ``not_included``: digests of recordings the record keeps but the bag does not."""

    path: Path
    entries: int
    head: str | None
    media: int
    not_included: tuple[str, ...]


@dataclass(slots=True)
class _Bag:
    """A bag being written: each file goes in once, and its digest into the manifest it belongs to."""

    file: zipfile.ZipFile
    digests: dict[str, str] = field(default_factory=dict)
    octets: int = 0

    def add(self, name: str, blocks: Iterable[bytes]) -> str:
        """Write one file; returns its SHA-256."""
        digest = hashlib.sha256()
        with self._open(name) as out:
            for block in blocks:
                digest.update(block)
                out.write(block)
                self.octets += len(block) if name.startswith("data/") else 0
        self.digests[name] = digest.hexdigest()
        return self.digests[name]

    def manifest(self, *, payload: bool) -> bytes:
        """The manifest of the payload, or of everything else."""
        listed = sorted(name for name in self.digests if name.startswith("data/") == payload)
        return "".join(f"{self.digests[name]}  {name}\n" for name in listed).encode()

    def _open(self, name: str) -> IO[bytes]:
        # A fixed time and fixed rights: the same record gives the same bytes.
        info = zipfile.ZipInfo(f"{TOP}/{name}", date_time=(1980, 1, 1, 0, 0, 0))
        info.create_system, info.external_attr = 3, 0o644 << 16
        return self.file.open(info, "w", force_zip64=True)


def export_bag(store: Store, out: Path, media: Mapping[str, Path]) -> Exported:
    """Write the whole record, with the recordings given, as one .zip.

    Args:
        store: The record.
        out: The file to write; it appears only when it is complete.
        media: SHA-256 to file, for the recordings to include.

    Raises:
        BrokenChain: If the record does not hold together.
        Unknown: If the record keeps no recording of a digest given.
        Unusable: If a recording is not what its digest says, or ``out`` cannot be written.
        Refused: If there is something at ``out``: an earlier export, or the record itself, is not replaced.
    """
    if out.exists():
        raise Refused(f"There is already something at {out}, and nothing is replaced. Give a new name.")
    kept = {recording.sha256: recording for recording in store.recordings()}
    for sha256 in media:
        if sha256 not in kept:
            raise Unknown(f"The record keeps no recording {sha256[:12]}…. Leave it out.")
    part = out.with_name(out.name + ".part")
    try:
        with zipfile.ZipFile(part, "w", zipfile.ZIP_STORED) as file:
            entries, head = _fill(_Bag(file), store, kept, media)
        part.replace(out)
    except OSError as fault:
        said = fault.strerror or fault
        raise Unusable(f"The export {out} cannot be written: {said}. Check folder and space.") from None
    finally:
        with suppress(OSError):  # a folder that is read only holds no half export
            part.unlink(missing_ok=True)
    return Exported(out, entries, head, len(media), tuple(sorted(set(kept) - set(media))))


def verify_export(path: Path, *, head: str | None = None) -> bag_verifier.Answer:
    """Check an export, as a .zip or as a folder, with the very verifier it carries.

    Raises:
        Unknown: If there is nothing at ``path``.
        Unusable: If it cannot be read as an export.
    """
    if not path.exists():
        raise Unknown(f"There is no export at {path}. Give the .zip or its unpacked folder.")
    try:
        return bag_verifier.check(path, head)
    except (OSError, ValueError, zipfile.BadZipFile) as fault:
        raise Unusable(f"{path} cannot be read as an export: {fault}. Ask for it to be made again.") from None


def findings_of(answer: bag_verifier.Answer) -> tuple[Finding, ...]:
    """What an export's verifier found, as findings."""
    return tuple(Finding(*fault) for fault in answer.faults)


def _fill(
    bag: _Bag, store: Store, kept: Mapping[str, Recording], media: Mapping[str, Path]
) -> tuple[int, str | None]:
    with dialect.snapshot(store._connection()) as cursor:
        rows = cursor.execute("SELECT number, body, digest FROM entries ORDER BY number")
        stored = [Sealed(*row) for row in rows]
    for finding in verify_chain(stored):
        raise BrokenChain(f"The record does not hold together. {finding} Verify it and keep a copy as it is.")
    head = stored[-1].digest if stored else None
    bag.add("data/entries.jsonl", map(_line, stored))
    bag.add("data/head.txt", [f"{head or FIRST_PREVIOUS}\n".encode()])
    for sha256, path in sorted(media.items()):
        _add_recording(bag, sha256, path, kept[sha256].name)
    _add_tags(bag, store, stored)
    return len(stored), head


def _line(sealed: Sealed) -> bytes:
    # "digest" sorts right after "by": putting it there keeps the line canonical without writing it anew.
    start = b'{"by":' + canonical(entry_from(sealed).by)
    return start + b',"digest":"' + sealed.digest.encode() + b'"' + sealed.body[len(start) :] + b"\n"


def _add_recording(bag: _Bag, sha256: str, path: Path, name: str) -> None:
    suffix = Path(name).suffix.lower()
    inside = f"data/media/{sha256}{suffix if _SUFFIX.fullmatch(suffix) else ''}"
    if bag.add(inside, _blocks(path)) != sha256:
        raise Unusable(f"The recording {path} is not what was kept: its digest differs. Find the original.")


def _blocks(path: Path) -> Iterator[bytes]:
    with path.open("rb") as file:
        while block := file.read(_BLOCK):
            yield block


def _add_tags(bag: _Bag, store: Store, stored: list[Sealed]) -> None:
    newest = entry_from(stored[-1]) if stored else None
    files = sum(name.startswith("data/") for name in bag.digests)
    facts = {
        "Source-Organization": store.kennel,
        "External-Description": f"The record of {store.kennel}, {store.site}: {len(stored)} entries",
        "External-Identifier": newest.digest if newest else FIRST_PREVIOUS,
        "Bagging-Date": newest.entered_at[:10] if newest else "1970-01-01",
        "Payload-Oxum": f"{bag.octets}.{files}",
    }
    info = "".join(f"{name}: {' '.join(value.split())}\n" for name, value in facts.items())
    bag.add("bagit.txt", [bag_verifier.DECLARATION])
    bag.add("bag-info.txt", [info.encode()])
    bag.add("READ-ME.txt", [_READ_ME.encode()])
    bag.add("verify.py", [Path(bag_verifier.__file__).read_bytes()])
    bag.add("manifest-sha256.txt", [bag.manifest(payload=True)])
    bag.add("tagmanifest-sha256.txt", [bag.manifest(payload=False)])
