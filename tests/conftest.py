"""What every test shares: the published marker, the header line, the shared recordings."""

import sqlite3
import sys
from pathlib import Path

import numpy
import pytest
import scipy
from hypothesis import settings

from nares.base.sources import SOURCES

settings.register_profile("suite", deadline=None)  # how long an example takes says how busy the machine is
settings.load_profile("suite")

ROOT = Path(__file__).resolve().parent.parent
SHARED = ROOT.parent / "shared"


def pytest_report_header() -> str:
    return (
        f"nares: numpy {numpy.__version__}, scipy {scipy.__version__}, SQLite {sqlite3.sqlite_version}, "
        f"Python {sys.version.split()[0]}, shared recordings {'found' if SHARED.is_dir() else 'absent'}"
    )


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    for item in items:
        for marker in item.iter_markers("published"):
            source, place = marker.kwargs.get("source"), marker.kwargs.get("at")
            if source not in SOURCES:
                raise pytest.UsageError(f"{item.nodeid}: source {source!r} is not in nares.base.sources.")
            if not place:
                raise pytest.UsageError(f"{item.nodeid}: say where in {source} the figure stands (at=...).")
            if marker.kwargs.get("seen") not in ("read", "memory"):
                raise pytest.UsageError(
                    f"{item.nodeid}: say how the figure was seen (seen='read' or 'memory')."
                )
        if item.get_closest_marker("shared") and not SHARED.is_dir():
            item.add_marker(pytest.mark.skip(reason="the shared recordings are not beside this checkout"))


@pytest.fixture
def shared() -> Path:
    """The folder of recordings with ground truth."""
    return SHARED
