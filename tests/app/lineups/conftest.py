"""A kennel, and a line-up of it with everybody in their seats."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.app.lineups.saltmarsh import Session, kennel, sat_down

from nares.app.desk import Desk


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with kennel(tmp_path / "data") as opened:
        yield opened


@pytest.fixture
def session(desk: Desk) -> Session:
    return sat_down(desk)
