"""The record itself: entries page by page, verification, head, rebuild, export."""

from pathlib import Path
from typing import Any
from zipfile import ZipFile, is_zipfile

import msgspec

from nares.app.deeds import Receipt, SetClockBack
from nares.app.desk import RECORD, Desk
from nares.app.files import is_database
from nares.app.pages import EntryLine, RecordPage, Verification
from nares.app.summaries import summary_of
from nares.base.errors import Unknown, Unusable
from nares.base.times import read_utc
from nares.record.chain import Entry
from nares.record.export import TOP, export_bag, findings_of, verify_export
from nares.record.store import Store
from nares.record.verify import Verdict, verify

PAGE_SIZE = 25

EXPORTED = ("data/entries.jsonl", "bagit.txt")
"""Files of an export; where none of them is, it is something else."""

LONGEST_SHOWN = 2000
"""A longer payload (a reading) is cut in lists; the whole of it is shown by itself. [characters]"""


def record_page(desk: Desk, *, page: int = 1, kind: str = "", verify: bool = False) -> RecordPage:
    """Entries newest first, a page at a time, of one kind or of all."""
    store = desk.store
    total = store.count(kind or None)
    pages = max(1, -(-total // PAGE_SIZE))
    shown = store.entries(page=min(max(page, 1), pages), size=PAGE_SIZE, kind=kind or None)
    amended = store.amended_by([entry.number for entry in shown])
    head = store.head()
    return RecordPage(
        entries=tuple(_line(entry, amended.get(entry.number, ())) for entry in shown),
        total=total,
        page=min(max(page, 1), pages),
        pages=pages,
        kinds=tuple(store.kinds()),
        kind=kind,
        verification=verify_record(desk) if verify else None,
        head=None if head is None else head[1],
    )


def verify_record(desk: Desk, *, head: str | None = None) -> Verification:
    """Recompute every digest and link, and compare the tables that pages read with the entries."""
    return _verification(verify(desk.store, head=head))


def verify_at(path: Path, *, head: str | None = None) -> Verification:
    """Verify a data folder, a record file, or an export; nothing is changed.

    Raises:
        Unknown: If there is nothing at the path.
        Unusable: If what is there is neither a record nor an export.
    """
    if not path.exists():
        raise Unknown(
            f"There is nothing at {path} to verify. Give a data folder, record.sqlite3 or an export."
        )
    record = path / RECORD if (path / RECORD).exists() else path
    # By its first bytes: a .zip glued to the end of a record must not be verified in its place.
    zipped = not is_database(record) and (record.suffix == ".zip" or is_zipfile(record))
    if record.is_dir() or zipped:
        return _verify_export(record, head)
    with Store.open_to_read(record) as store:
        return _verification(verify(store, head=head))


def _verify_export(path: Path, head: str | None) -> Verification:
    if not _is_export(path):
        raise Unusable(
            f"{path} is neither a record nor an export. Give a data folder, a record or an export."
        )
    found = verify_export(path, head=head)
    faults = findings_of(found)
    numbers = [int(fault.where.split()[-1]) for fault in faults if fault.where.startswith("entry ")]
    first_bad = min(numbers, default=None)
    return Verification(not faults, found.entries, found.head, first_bad, tuple(map(str, faults)))


def _is_export(path: Path) -> bool:
    """Whether anything of an export is there: one with files taken out is still verified, and fails."""
    if path.is_file():
        if not is_zipfile(path):
            return True  # cut short or no zip at all: the verifier says which
        with ZipFile(path) as file:
            names = file.namelist()
        return any(name.endswith(EXPORTED) for name in names)
    return any((folder / name).exists() for folder in (path, path / TOP) for name in EXPORTED)


def head_of(desk: Desk) -> str:
    """The newest digest."""
    head = desk.store.head()
    if head is None:
        raise Unknown("The record is empty: it has no head yet.")
    return head[1]


def set_clock_back(desk: Desk, asked: SetClockBack) -> Receipt:
    """Say in the open that the clock had been ahead, so that writing goes on from the present time.

    Raises:
        Refused: If the clock is not behind the record, or no reason is given.
    """
    entry = desk.store.set_clock_back(why=asked.why, by=desk.by(asked.by))
    was = entry.payload["was"]
    said = (
        f"The record goes on from {entry.entered_at}; it had been written until {was}. Entry {entry.number}."
    )
    return Receipt(entry.number, entry.digest, said)


def rebuild(desk: Desk) -> str:
    """Drop every table that follows from the entries and make it again."""
    count = desk.store.rebuild()
    return f"The tables were made again from {count} entries. The entries are as they were."


def export(desk: Desk, to: Path, *, leave_out_missing: bool = False) -> str:
    """Write the record and its recordings as one bag with its own verifier.

    Raises:
        Unknown: If the file of a recording is gone and it is not to be left out.
    """
    kept = desk.store.recordings()
    missing = [one for one in kept if leave_out_missing and not _files_of(desk, one.sha256)]
    media = {one.sha256: recording_path(desk, one.sha256) for one in kept if one not in missing}
    export_bag(desk.store, to, media)
    without = (
        f" Left out, for their files are gone: {', '.join(one.name for one in missing)}." if missing else ""
    )
    return f"Written to {to}. Head {head_of(desk)}: keep it apart from the file.{without}"


def recording_path(desk: Desk, sha256: str) -> Path:
    """Where the kept recording of this digest lies.

    Raises:
        Unknown: If it is not on the record, or its file is gone.
    """
    kept = desk.store.recording(sha256)
    if kept is None:
        raise Unknown(f"No recording {sha256[:12]}… is on the record.")
    found = _files_of(desk, sha256)
    if not found:
        raise Unknown(
            f"The file of {kept.name} (session {kept.session}) is not in {desk.recordings}. "
            "Put it back; its digest is on the record."
        )
    return found[0]


def _files_of(desk: Desk, sha256: str) -> list[Path]:
    # A phone's file may come without a suffix; a copy cut short by a power cut ends in .part.
    return sorted(path for path in desk.recordings.glob(f"{sha256}*") if path.suffix != ".part")


def _verification(verdict: Verdict) -> Verification:
    said = tuple(str(finding) for finding in verdict.findings)
    return Verification(verdict.holds, verdict.entries, verdict.head, verdict.first_bad, said)


def _line(entry: Entry, amended_by: tuple[int, ...]) -> EntryLine:
    lag = read_utc(entry.entered_at) - read_utc(entry.happened_at)
    return EntryLine(
        number=entry.number,
        kind=entry.kind,
        happened_at=entry.happened_at,
        entered_at=entry.entered_at,
        by=entry.by,
        site=entry.site,
        summary=summary_of(entry.kind, entry.payload),
        payload_text=_cut(_pretty(entry.payload), entry.number),
        digest=entry.digest,
        previous=entry.previous,
        late_s=max(0.0, lag.total_seconds()),
        amended_by=amended_by,
        amends=entry.payload.get("entry") if entry.kind == "amended" else None,
    )


def entry_text(desk: Desk, number: int) -> str:
    """One whole entry as it was written, as indented JSON.

    Raises:
        Unknown: If there is no such entry.
    """
    entry = desk.store.entry(number)
    return _pretty({name: getattr(entry, name) for name in entry.__slots__})


def _cut(text: str, number: int) -> str:
    left = len(text) - LONGEST_SHOWN
    if left <= 0:
        return text
    return f"{text[:LONGEST_SHOWN]}\n… {left} more characters; the whole entry: nares record show {number}"


def _pretty(payload: Any) -> str:
    return msgspec.json.format(msgspec.json.encode(payload), indent=2).decode()
