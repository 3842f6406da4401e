"""What somebody might try at a running line-up: opening early, forging, calling late, another's seat."""

import json
import sqlite3
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from tests.app.kennels import TickingClock
from tests.app.lineups.saltmarsh import EVALUATOR, HANDLER, PLACER, Session, kennel, sat_down

from nares.app import jobs
from nares.app.desk import Desk
from nares.app.lineups.requests import (
    BeginRun,
    CloseLineup,
    LeaveSeat,
    MakeCall,
    ObserveRun,
    OpenRun,
    PlaceRun,
    TakeSeat,
    VoidRun,
)
from nares.base.errors import NaresError, Refused
from nares.base.lineups import Observed, Placed
from nares.record.kinds_lineups import RunOpened
from nares.record.vault import LETTERS, WRONG_FREE
from nares.record.verify import verify


@pytest.fixture
def clock() -> TickingClock:
    return TickingClock()


@pytest.fixture
def desk(tmp_path: Path, clock: TickingClock) -> Iterator[Desk]:
    with kennel(tmp_path / "data", clock=clock) as opened:
        yield opened


@pytest.fixture
def session(desk: Desk) -> Session:
    return sat_down(desk)


def test_opening_early_is_refused_at_every_stage(session: Session) -> None:
    stages = (lambda: None, lambda: session.place(1), lambda: session.begin(1), lambda: session.observe(1))
    for stage in stages:
        stage()
        with pytest.raises(Refused, match="no call yet"):
            session.open(1)
        assert session.desk.store.run_results() == []


def test_opening_a_later_run_is_refused(session: Session) -> None:
    session.work(1)
    for run in (2, 3, 4):
        with pytest.raises(Refused, match="no call yet"):
            session.open(run)


def test_opening_a_void_run_is_refused_until_the_line_up_is_closed(session: Session) -> None:
    session.place(1)
    session.void(1)
    with pytest.raises(Refused, match="opened when the line-up is closed"):
        session.open(1)
    assert session.desk.store.run_results()[0].placed == ()
    session.close("it rained")
    assert session.desk.store.run_results()[0].placed != ()


def test_closing_early_without_a_reason_is_refused_and_opens_nothing(session: Session) -> None:
    session.work(1)
    with pytest.raises(Refused, match="Say why the line-up is closed early"):
        session.close()
    assert session.desk.store.key_opened(session.lineup) is None
    session.close("the dog was tired")
    page = jobs.lineup_page(session.desk, session.lineup)
    assert [run.void for run in page.runs] == ["", *["the dog was tired"] * 3]


def test_closing_from_another_seat_is_refused(session: Session) -> None:
    for role in ("placer", "handler", "recorder"):
        with pytest.raises(Refused, match="It is for the evaluator"):
            jobs.close_lineup(session.desk, CloseLineup(session.lineup, "", session.tokens[role], "x"))


def test_a_forged_run_key_does_not_open(session: Session) -> None:
    session.place(1)
    session.begin(1)
    session.call(1, 3)
    session.observe(1, 3)
    real = session.run(1)
    spots = tuple(replace(one, holds="target" if one.position == 3 else "blank") for one in real.placed)
    for forged in (replace(real, placed=spots), replace(real, nonce="ab" * 32), session.run(2)):
        said = RunOpened(session.lineup, 1, forged, EVALUATOR)
        with pytest.raises(Refused, match="not the key that was sealed"):
            session.desk.store.append("run_opened", said, happened_at=session.desk.now(), by=EVALUATOR)


def changed_in_vault(session: Session) -> None:
    """Let position 3 hold the target in run 1, as somebody with the vault's file could."""
    key = session.key()
    for one in key["runs"][0]["placed"]:
        one["holds"], one["item"] = ("target", "target") if one["position"] == 3 else ("blank", "")
    connection = sqlite3.connect(session.desk.vault.path)
    with connection:
        connection.execute("UPDATE keys SET key = ?", (json.dumps(key).encode(),))
    connection.close()


def test_a_key_changed_in_the_vault_is_found_at_the_opening_and_at_the_placing(session: Session) -> None:
    session.place(1)
    session.begin(1)
    session.call(1, 3)
    session.observe(1, 3)
    changed_in_vault(session)
    with pytest.raises(Refused, match="not the one that was sealed: it was changed"):
        session.open(1)
    session.void(1, "the key was changed")
    with pytest.raises(Refused, match="it was changed"):
        jobs.seat_page(session.desk, session.tokens["placer"])
    session.close("the key was changed")
    page = jobs.lineup_page(session.desk, session.lineup)
    assert [run.state for run in page.runs] == ["void"] * 4
    assert page.key is None
    assert verify(session.desk.store).holds


def test_a_lost_vault_voids_what_is_not_open_and_stops_nothing_else(session: Session) -> None:
    session.work(1)
    session.desk.vault.path.unlink()
    with pytest.raises(Refused, match="not yours any more"):
        jobs.seat_page(session.desk, session.tokens["placer"])
    assert jobs.lineup_page(session.desk, session.lineup).runs[0].state == "open"
    with pytest.raises(Refused, match="Say why"):
        session.close()
    receipt = session.close("the vault is lost")
    assert "cannot be opened: it is lost" in receipt.said
    assert [run.state for run in jobs.lineup_page(session.desk, session.lineup).runs] == [
        "open",
        *["void"] * 3,
    ]
    with pytest.raises(Refused, match="not in the vault"):
        session.close("again")
    assert sat_down(session.desk).lineup == "teasel-lineup-02"


def test_calling_after_the_opening_is_refused(session: Session) -> None:
    session.work(1, 2)
    with pytest.raises(Refused, match="open already"):
        session.call(1, 3)
    with pytest.raises(Refused, match="open already"):
        session.observe(1, 3, "recorder")


def test_a_clock_set_back_between_call_and_opening_changes_no_order(
    session: Session, clock: TickingClock
) -> None:
    session.place(1)
    session.begin(1)
    session.call(1, 2)
    session.observe(1, 2)
    clock.at -= timedelta(seconds=100)  # as far back as the record takes without being told
    session.open(1)
    (run,) = [one for one in session.desk.store.runs_of(session.lineup) if one.run == 1]
    assert run.called_at is not None
    assert run.opened_at is not None
    assert run.called_at > run.opened_at  # the clock says so
    assert (run.called_entry or 0) < (run.opened_entry or 0)  # the chain knows better
    assert session.desk.store.blinding_of_runs(session.lineup)[1][0] == "double"


def test_a_clock_set_far_back_is_refused(session: Session, clock: TickingClock) -> None:
    session.place(1)
    session.begin(1)
    session.call(1, 2)
    session.observe(1, 2)
    clock.at = datetime(2026, 3, 1, tzinfo=UTC)
    with pytest.raises(Refused, match="clock"):
        session.open(1)


def test_a_token_of_another_line_up_does_nothing_here(desk: Desk, session: Session) -> None:
    other = sat_down(desk)
    session.place(1)
    session.begin(1)
    with pytest.raises(Refused, match="has not begun"):
        jobs.make_call(desk, MakeCall(other.tokens["handler"], 1, 2))
    assert session.desk.store.runs_of(session.lineup)[0].called_entry is None
    with pytest.raises(Refused, match=f"belongs to {other.lineup}"):
        jobs.close_lineup(desk, CloseLineup(session.lineup, "", other.tokens["evaluator"], "x"))


def test_an_old_token_does_nothing(desk: Desk, session: Session) -> None:
    token = session.tokens["handler"]
    jobs.leave_seat(desk, LeaveSeat(token))
    assert jobs.seat_of(desk, token) is None
    for attempt in (
        lambda: jobs.seat_page(desk, token),
        lambda: jobs.make_call(desk, MakeCall(token, 1, 2)),
    ):
        with pytest.raises(Refused, match="not yours any more"):
            attempt()


def test_a_seat_taken_by_somebody_else_is_noticed_by_who_had_it(desk: Desk, session: Session) -> None:
    code = next(one.code for one in session.drawn.codes if one.role == "evaluator")
    jobs.take_seat(desk, TakeSeat(code))  # read off the evaluator's paper
    with pytest.raises(Refused, match="not yours any more"):
        jobs.seat_page(desk, session.tokens["evaluator"])
    taken = [one for one in desk.store.seats_taken(session.lineup) if one.role == "evaluator"]
    assert len(taken) == 2


@pytest.mark.parametrize("token", ["", "x", "' OR 1=1 --", "\x00", "ü" * 400])
def test_invented_tokens_open_nothing(desk: Desk, session: Session, token: str) -> None:
    assert jobs.seat_of(desk, token) is None
    with pytest.raises(Refused, match="not yours any more"):
        jobs.seat_page(desk, token)


@pytest.mark.parametrize("code", ["", "x", "A" * 10, "ü" * 400, "\x00", "' OR 1=1 --"])
def test_invented_codes_open_nothing(desk: Desk, session: Session, code: str) -> None:
    with pytest.raises(Refused, match="opens no seat"):
        jobs.take_seat(desk, TakeSeat(code))


def test_guessing_codes_is_stopped_and_leaves_seats_that_are_taken_alone(
    desk: Desk, session: Session, clock: TickingClock
) -> None:
    said = []
    for letter in LETTERS:
        with pytest.raises(Refused) as refused:
            jobs.take_seat(desk, TakeSeat(letter * 10))
        said.append(str(refused.value))
    answered = [one for one in said if "opens no seat" in one]
    assert len(answered) <= WRONG_FREE + 1
    session.place(1)  # who sits already goes on


def test_no_seat_does_the_work_of_another(desk: Desk, session: Session) -> None:
    seen = Observed(1, 2)
    deeds: dict[str, Callable[[str], object]] = {
        "placer": lambda token: jobs.place_run(desk, PlaceRun(token, 1)),
        "evaluator": lambda token: jobs.begin_run(desk, BeginRun(token, 1, (HANDLER,))),
        "handler": lambda token: jobs.make_call(desk, MakeCall(token, 1, 2)),
        "evaluator or recorder": lambda token: jobs.observe_run(desk, ObserveRun(token, 1, seen)),
        "evaluator only": lambda token: jobs.open_run(desk, OpenRun(token, 1)),
        "evaluator alone": lambda token: jobs.void_run(desk, VoidRun(token, 1, "x")),
    }
    for roles, deed in deeds.items():
        for role, token in session.tokens.items():
            if role not in roles:
                with pytest.raises(Refused, match=f"The {role}'s seat cannot do this"):
                    deed(token)


def test_a_placer_who_also_handles_is_found_as_known(desk: Desk) -> None:
    people = {"placer": PLACER, "handler": "joss  PIKE", "evaluator": EVALUATOR}
    session = sat_down(desk, people=people)
    assert "every run is known" in jobs.lineup_page(desk, session.lineup).findings[0]
    session.place(1)
    session.begin(1, "joss  PIKE", EVALUATOR)
    session.call(1)
    session.observe(1)
    session.open(1)
    assert jobs.lineup_page(desk, session.lineup).runs[0].blinding == "known"


def test_a_placer_who_stays_in_sight_is_found_as_single(desk: Desk, session: Session) -> None:
    session.place(1)
    session.begin(1, HANDLER, EVALUATOR, PLACER)
    session.call(1)
    session.observe(1)
    session.open(1)
    run = jobs.lineup_page(desk, session.lineup).runs[0]
    assert run.blinding == "single"
    assert f"{PLACER}, who was there, had placed the run." in run.because


def test_who_hands_in_the_seed_could_know_and_is_written_down(desk: Desk) -> None:
    session = sat_down(desk, seed="11" * 32, by=HANDLER)
    session.work(1)
    page = jobs.lineup_page(desk, session.lineup)
    assert page.runs[0].blinding == "known"
    assert any(HANDLER in finding and "could work out the key" in finding for finding in page.findings)


def test_a_code_of_a_drawing_that_was_cut_off_opens_nothing(
    desk: Desk, session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    key = {**session.key(), "nonce": "ee" * 32}
    codes = desk.vault.lay_in("never-sealed", key, {"handler": HANDLER}, desk.now())
    with pytest.raises(Refused, match="never sealed"):
        jobs.take_seat(desk, TakeSeat(codes["handler"]))
    same_name = desk.vault.lay_in(
        session.lineup, {**key, "nonce": "ef" * 32}, {"handler": HANDLER}, desk.now()
    )
    with pytest.raises(Refused, match="never sealed"):
        jobs.take_seat(desk, TakeSeat(same_name["handler"]))


def test_an_entry_written_past_the_desk_cannot_bring_a_placement_forward(session: Session) -> None:
    store, now = session.desk.store, session.desk.now()
    key = session.run(1)
    moved = replace(key, placed=(Placed(1, "target", "x"), *key.placed[1:]))
    for kind, said in (
        ("run_opened", RunOpened(session.lineup, 1, key, EVALUATOR)),
        ("run_opened", RunOpened(session.lineup, 1, moved, EVALUATOR)),
        ("key_opened", {"lineup": session.lineup, "key": session.key()}),
    ):
        with pytest.raises(NaresError):
            store.append(kind, said, happened_at=now, by=EVALUATOR)
