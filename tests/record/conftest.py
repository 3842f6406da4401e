"""A store with nothing in it, and one with a day's work in it."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.record.kennel import Clock, opened, write_day

from nares.record.store import Store


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def empty(tmp_path: Path, clock: Clock) -> Iterator[Store]:
    with opened(tmp_path, clock) as store:
        yield store


@pytest.fixture
def store(empty: Store) -> Store:
    write_day(empty)
    return empty
