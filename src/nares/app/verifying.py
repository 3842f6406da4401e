"""Whether a record still holds together: the one at the desk, one in a folder, or an export."""

from dataclasses import replace
from pathlib import Path
from zipfile import ZipFile, is_zipfile

from nares.app.desk import RECORD, RECORDINGS, Desk
from nares.app.files import is_database
from nares.app.pages import Verification
from nares.app.recordings import changed_recordings, missing_recordings
from nares.base.errors import Unknown, Unusable
from nares.record.export import TOP, findings_of, verify_export
from nares.record.store import Store
from nares.record.verify import Verdict, verify

EXPORTED = ("data/entries.jsonl", "bagit.txt")
"""Files of an export; where none of them is, it is something else."""


def verify_record(desk: Desk, *, head: str | None = None) -> Verification:
    """Recompute every digest and link, and compare the tables that pages read with the entries."""
    return _verification(verify(desk.store, head=head))


def verify_at(path: Path, *, head: str | None = None) -> Verification:
    """Verify a data folder with its recordings, a record file, or an export; nothing is changed.

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
        found = _verification(verify(store, head=head))
        return _with_recordings(found, store, record.parent / RECORDINGS) if found.holds else found


def _with_recordings(found: Verification, store: Store, folder: Path) -> Verification:
    """Look at the files of the recordings too: a changed one is a fault, a missing one is said."""
    kept = store.recordings()
    changed = changed_recordings(folder, kept)
    return replace(
        found,
        holds=not changed,
        first_bad=min((int(fault.where.split()[-1]) for fault in changed), default=None),
        findings=tuple(map(str, changed)),
        notes=tuple(missing_recordings(folder, kept)),
    )


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


def _verification(verdict: Verdict) -> Verification:
    said = tuple(str(finding) for finding in verdict.findings)
    return Verification(verdict.holds, verdict.entries, verdict.head, verdict.first_bad, said)
