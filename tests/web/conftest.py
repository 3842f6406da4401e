"""The web door with fake jobs behind it, and a client in front of it."""

from types import SimpleNamespace
from typing import Any

import pytest
from django.test import Client
from tests.web import lineups as line_ups
from tests.web.fakes import JOBS, FakeJobs
from tests.web.lineups import FakeLineups

from nares.app import jobs
from nares.web.application import DESK, MEASURINGS
from nares.web.sessions.measuring import Measurings
from nares.web.settings import configure

DESK_SAMPLE = SimpleNamespace(person="Mara Quill", secret="a secret of the tests only")


class DeskClient(Client):
    """A browser without scripts, looking at one desk."""

    def __init__(self, **given: Any) -> None:
        super().__init__(raise_request_exception=False, **given)
        carried: dict[str, Any] = {DESK: DESK_SAMPLE, MEASURINGS: Measurings(DESK_SAMPLE)}
        self.defaults.update(carried)
        self.defaults["SERVER_NAME"] = "127.0.0.1"


@pytest.fixture
def fake(monkeypatch: pytest.MonkeyPatch) -> FakeJobs:
    """Fake jobs, put in the place of the real ones."""
    made = FakeJobs()
    for name in JOBS:
        monkeypatch.setattr(jobs, name, getattr(made, name))
    return made


@pytest.fixture
def lineups(monkeypatch: pytest.MonkeyPatch) -> FakeLineups:
    """Fake jobs around line-ups, put in the place of the real ones."""
    made = FakeLineups()
    for name in line_ups.JOBS:
        monkeypatch.setattr(jobs, name, getattr(made, name), raising=False)
    return made


@pytest.fixture
def client(fake: FakeJobs) -> DeskClient:
    """A client that skips the form token, as the test client does unless told otherwise."""
    configure(secret=DESK_SAMPLE.secret)
    return DeskClient()


@pytest.fixture
def strict_client(fake: FakeJobs) -> DeskClient:
    """A client whose forms need their token."""
    configure(secret=DESK_SAMPLE.secret)
    return DeskClient(enforce_csrf_checks=True)
