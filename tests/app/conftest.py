"""A kennel to work in, with and without a measured session."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.app.kennels import kennel, measure_by_hand

from nares.app.desk import Desk


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    """A kennel with the dog Moss."""
    with kennel(tmp_path / "data") as opened:
        yield opened


@pytest.fixture
def session(desk: Desk) -> str:
    """A measured session of Moss."""
    return measure_by_hand(desk)
