"""The record itself: entries page by page, head, rebuild, export. Whether it holds: `nares.app.verifying`."""

from pathlib import Path
from typing import Any

import msgspec

from nares.app.deeds import Receipt, SetClockBack
from nares.app.desk import Desk
from nares.app.pages import EntryLine, RecordPage
from nares.app.recordings import files_of, recording_path
from nares.app.summaries import summary_of
from nares.app.verifying import verify_record
from nares.base.errors import Unknown
from nares.base.times import read_utc
from nares.record.chain import Entry
from nares.record.export import export_bag

PAGE_SIZE = 25

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
        newest=0 if head is None else head[0],
    )


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
    missing = [one for one in kept if leave_out_missing and not files_of(desk.recordings, one.sha256)]
    media = {one.sha256: recording_path(desk, one.sha256) for one in kept if one not in missing}
    export_bag(desk.store, to, media)
    without = (
        f" Left out, for their files are gone: {', '.join(one.name for one in missing)}." if missing else ""
    )
    return f"Written to {to}. Head {head_of(desk)}: keep it apart from the file.{without}"


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
