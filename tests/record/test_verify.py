import shutil
import sqlite3
from pathlib import Path
from typing import Any

import pytest
from tests.record.kennel import opened, write_day

from nares.base.errors import Unusable
from nares.record.chain import Sealed, seal
from nares.record.store import Store
from nares.record.verify import verify


def test_a_whole_record_holds_and_says_its_head(store: Store) -> None:
    verdict = verify(store)
    assert (verdict.holds, verdict.entries, verdict.first_bad, verdict.findings) == (True, 11, None, ())
    assert store.head() == (11, verdict.head)


def test_an_empty_record_holds(empty: Store) -> None:
    verdict = verify(empty)
    assert (verdict.holds, verdict.entries, verdict.head) == (True, 0, None)


def test_a_head_from_paper_is_looked_for(store: Store) -> None:
    assert verify(store, head=store.entry(3).digest).holds
    verdict = verify(store, head="ab" * 32)
    assert not verdict.holds
    assert "cut off or rewritten" in verdict.findings[0].text


def test_verifying_the_chain_alone_skips_the_tables(store: Store) -> None:
    store._connection().execute("UPDATE reps SET met = 0")
    assert not verify(store).holds
    assert verify(store, tables=False).holds


def test_a_well_chained_entry_that_does_not_fit_its_kind_is_a_finding(tmp_path: Path) -> None:
    with opened(tmp_path) as store:
        write_day(store)
        last = store.entry(11)
        said = {name: getattr(last, name) for name in ("kennel", "site", "happened_at", "entered_at", "by")}
        append(
            store, seal(12, last.digest, {**said, "kind": "dog_added", "payload": {"dog": 1, "schema": 1}})
        )
        store.rebuild()
        verdict = verify(store)
    assert [(finding.rule, finding.where) for finding in verdict.findings] == [("misfit", "entry 12")]


def test_an_amendment_that_points_nowhere_is_a_finding(tmp_path: Path) -> None:
    with opened(tmp_path) as store:
        write_day(store)
        last = store.entry(11)
        said = {name: getattr(last, name) for name in ("kennel", "site", "happened_at", "entered_at", "by")}
        amended = {"entry": 40, "field": "/x", "old": 1, "new": 2, "why": "x", "schema": 1}
        append(store, seal(12, last.digest, {**said, "kind": "amended", "payload": amended}))
        store.rebuild()
        verdict = verify(store)
    assert [(finding.rule, finding.where) for finding in verdict.findings] == [("amends-nothing", "entry 12")]


def append(store: Store, sealed: Sealed) -> None:
    row = (sealed.number, sealed.body, sealed.digest)
    store._connection().execute("INSERT INTO entries VALUES (?, ?, ?)", row)


def disc(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A record on a disc that takes no writes, where SQLite cannot lay its shared memory beside it."""
    with opened(tmp_path) as store:
        write_day(store)
    (tmp_path / "disc").mkdir()
    shutil.copy(store.path, tmp_path / "disc")
    connect = sqlite3.connect

    def refusing(where: str, **settings: Any) -> sqlite3.Connection:
        if "/disc/" in where and "immutable=1" not in where:
            raise sqlite3.OperationalError("unable to open database file")
        connection: sqlite3.Connection = connect(where, **settings)
        return connection

    monkeypatch.setattr(sqlite3, "connect", refusing)
    return tmp_path / "disc" / store.path.name


def test_a_record_on_a_disc_that_takes_no_writes_is_verified(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with Store.open_to_read(disc(tmp_path, monkeypatch)) as store:
        assert verify(store).entries == 11


def test_entries_still_in_the_log_are_not_passed_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = disc(tmp_path, monkeypatch)
    path.with_name(f"{path.name}-wal").write_bytes(b"entries")
    with pytest.raises(Unusable, match=r"cannot be opened.*Check the folder"):
        Store.open_to_read(path)
