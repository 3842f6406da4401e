"""Several processes writing to one file at once: all of them succeed and the chain holds."""

import multiprocessing
from datetime import UTC, datetime
from multiprocessing.synchronize import Barrier
from pathlib import Path

from tests.record.kennel import BY, KENNEL, SITE

from nares.record import dialect
from nares.record.store import Store
from nares.record.verify import verify

EACH = 40


def now() -> datetime:
    return datetime.now(UTC)


def work(path: Path, name: str, start: Barrier | None = None) -> None:
    if start is not None:
        start.wait(30)  # all at once
    with Store.open(path, kennel=KENNEL, site=SITE, clock=now) as store:
        for number in range(EACH):
            dog = {"dog": f"{name}{number}", "breed": "Terrier"}
            store.append("dog_added", dog, happened_at=now(), by=BY)


def test_processes_that_append_at_once_all_succeed(tmp_path: Path) -> None:
    path = tmp_path / "record.sqlite3"
    fork = multiprocessing.get_context("fork")
    start = fork.Barrier(3)
    writers = [fork.Process(target=work, args=(path, name, start)) for name in "abc"]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join(60)
    assert [writer.exitcode for writer in writers] == [0, 0, 0]
    with Store.open(path, kennel=KENNEL, site=SITE, clock=now) as store:
        assert store.count() == 3 * EACH
        assert verify(store).holds


def opened(path: Path, start: Barrier) -> None:
    start.wait(30)
    dialect.connect(path, write=True).close()


def test_a_new_record_may_be_opened_by_many_at_the_same_moment(tmp_path: Path) -> None:
    fork = multiprocessing.get_context("fork")
    for number in range(12):
        start = fork.Barrier(8)
        path = tmp_path / f"{number}.sqlite3"
        openers = [fork.Process(target=opened, args=(path, start)) for _ in range(8)]
        for opener in openers:
            opener.start()
        for opener in openers:
            opener.join(60)
        assert [opener.exitcode for opener in openers] == [0] * 8


def test_readers_see_whole_transactions_while_others_write(tmp_path: Path) -> None:
    path = tmp_path / "record.sqlite3"
    with Store.open(path, kennel=KENNEL, site=SITE, clock=now) as store:
        writer = multiprocessing.get_context("fork").Process(target=work, args=(path, "w"))
        writer.start()
        while writer.is_alive():
            assert verify(store).holds
        writer.join()
        assert store.count() == EACH
