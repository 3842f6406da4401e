"""A crash planted at each point between vault and record: never a seal without its key, and what is left
over counts for nothing and is swept away."""

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from tests.app.kennels import TickingClock
from tests.app.lineups.saltmarsh import Session, asked, kennel, sat_down

from nares.app import jobs
from nares.app.desk import Desk
from nares.app.lineups.requests import TakeSeat
from nares.base.errors import Refused
from nares.record.store import Store
from nares.record.vault import Vault
from nares.record.verify import verify


class Crash(BaseException):
    """The computer stops here: nothing after it runs, not even what tidies up."""


def crashing(*_: Any, **__: Any) -> Any:
    raise Crash


@pytest.fixture
def clock() -> TickingClock:
    return TickingClock()


@pytest.fixture
def desk(tmp_path: Path, clock: TickingClock) -> Iterator[Desk]:
    with kennel(tmp_path / "data", clock=clock) as opened:
        yield opened


def keys_in(desk: Desk) -> int:
    with desk.vault._writing() as connection:
        return int(connection.execute("SELECT count(*) FROM keys").fetchone()[0])


def test_a_crash_before_the_key_is_laid_in_leaves_nothing(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as patch:
        patch.setattr(Vault, "lay_in", crashing)
        with pytest.raises(Crash):
            jobs.draw_lineup(desk, asked())
    assert desk.store.lineups() == []
    assert not desk.vault.path.exists()


def test_a_crash_between_key_and_seal_leaves_a_key_that_opens_nothing_and_is_swept(
    desk: Desk, clock: TickingClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as patch:
        patch.setattr(Store, "append", crashing)
        patch.setattr(Vault, "forget", lambda *_: None)  # it stopped before tidying up
        with pytest.raises(Crash):
            jobs.draw_lineup(desk, asked())
    assert (desk.store.lineups(), keys_in(desk)) == ([], 1)
    clock.at += timedelta(days=2)
    session = sat_down(desk)  # under the name the other would have had
    assert (session.lineup, keys_in(desk)) == ("teasel-lineup-01", 1)
    session.work(1)


def test_a_refused_seal_leaves_no_key(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(*_: Any, **__: Any) -> Any:
        raise Refused("another one was quicker to this name")

    with monkeypatch.context() as patch:
        patch.setattr(Store, "append", refused)
        with pytest.raises(Refused, match="quicker"):
            jobs.draw_lineup(desk, asked())
    assert keys_in(desk) == 0
    sat_down(desk, lineup="monday")
    with pytest.raises(Refused, match="already a line-up"):
        jobs.draw_lineup(desk, asked(lineup="monday"))
    assert keys_in(desk) == 1


def test_a_crash_after_the_seal_leaves_a_line_up_that_can_be_closed(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    append = Store.append

    def sealed_then_crash(self: Store, *args: Any, **kept: Any) -> Any:
        append(self, *args, **kept)
        raise Crash

    with monkeypatch.context() as patch:
        patch.setattr(Store, "append", sealed_then_crash)
        patch.setattr(Vault, "forget", lambda *_: None)
        with pytest.raises(Crash):
            jobs.draw_lineup(desk, asked())
    (kept,) = desk.store.lineups()  # its codes were never shown: it can only be closed
    assert desk.vault.key(kept.sealed.lineup, kept.sealed.commitment)
    Session(desk, jobs.draw_lineup(desk, asked()))
    drawn = jobs.lineup_page(desk, kept.sealed.lineup)
    assert drawn.key is None


@pytest.mark.parametrize("point", ["seat_by_code", "sit"])
def test_a_crash_while_sitting_down_leaves_the_seat_to_be_taken_again(
    desk: Desk, monkeypatch: pytest.MonkeyPatch, point: str
) -> None:
    drawn = jobs.draw_lineup(desk, asked())
    code = drawn.codes[1].code
    with monkeypatch.context() as patch:
        patch.setattr(Vault, point, crashing)
        with pytest.raises(Crash):
            jobs.take_seat(desk, TakeSeat(code))
    assert jobs.seat_of(desk, jobs.take_seat(desk, TakeSeat(code)).token) is not None


def test_a_crash_before_the_key_is_shown_says_it_was_seen(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = sat_down(desk)
    with monkeypatch.context() as patch:
        patch.setattr("nares.app.lineups.placing.runs_from", crashing)
        with pytest.raises(Crash):
            jobs.seat_page(desk, session.tokens["placer"])
    assert len(desk.store.key_seen(session.lineup)) == 1  # errs towards having known


def test_a_crash_between_the_whole_key_and_forgetting_it_is_swept_later(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = sat_down(desk)
    session.work(1)
    with monkeypatch.context() as patch:
        patch.setattr(Vault, "forget", crashing)
        with pytest.raises(Crash):
            session.close("tired")
    page = jobs.lineup_page(desk, session.lineup)
    assert page.holds is True
    assert keys_in(desk) == 1
    assert session.close().entry == desk.store.lineup(session.lineup).closed_entry
    sat_down(desk)
    assert keys_in(desk) == 1  # the new one's only
    assert verify(desk.store).holds


def test_a_crash_while_opening_leaves_the_run_as_it_was(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    session = sat_down(desk)
    session.place(1)
    session.begin(1)
    session.call(1)
    session.observe(1)
    with monkeypatch.context() as patch:
        patch.setattr("nares.record.store.fold", crashing)
        with pytest.raises(Crash):
            session.open(1)
    assert desk.store.run_results() == []
    session.open(1)
