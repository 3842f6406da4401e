"""The record under attack: a closed file with a day's work, and a way to write past every guard."""

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from sqlite3 import Connection, connect

import pytest
from tests.record.kennel import opened, write_day

from nares.record.store import Store
from nares.record.verify import Verdict, verify

Attack = Callable[[Connection], object]


@pytest.fixture(scope="session")
def day(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A record nobody has touched."""
    folder = tmp_path_factory.mktemp("day")
    with opened(folder) as store:
        write_day(store)
        store._connection().execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return folder / "record.sqlite3"


@pytest.fixture
def attacked(day: Path, tmp_path: Path) -> Callable[[Attack], Verdict]:
    """Do something to the file with another program, triggers dropped, and verify."""

    def run(attack: Attack, *, head: str | None = None) -> Verdict:
        path = tmp_path / "record.sqlite3"
        shutil.copy(day, path)
        connection = connect(path, isolation_level=None)
        for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            connection.execute(f"DROP TRIGGER {name}")
        attack(connection)
        connection.close()
        with Store.open_to_read(path) as store:
            return verify(store, head=head)

    return run


@pytest.fixture
def guarded(day: Path, tmp_path: Path) -> Iterator[Connection]:
    """The file opened by another program that leaves the triggers in place."""
    path = tmp_path / "guarded.sqlite3"
    shutil.copy(day, path)
    connection = connect(path, isolation_level=None)
    yield connection
    connection.close()
