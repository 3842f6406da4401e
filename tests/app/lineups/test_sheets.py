"""Sheets of a sealed line-up: the calls' one is the same whatever was drawn, the placer's is written down."""

from pathlib import Path

import pytest
from tests.app.lineups.saltmarsh import PLACER, Session, kennel, sat_down

from nares.app import jobs
from nares.app.desk import Desk
from nares.base.errors import Refused


def test_the_placers_sheet_says_on_the_record_which_runs_were_seen(desk: Desk, session: Session) -> None:
    session.work(1)
    pages = jobs.placing_sheet(desk, session.tokens["placer"])
    assert pages.startswith(b"%PDF")
    seen = desk.store.key_seen(session.lineup)[-1]
    assert (seen.runs, seen.person, seen.how) == ((2, 3, 4), PLACER, "sheet")


def test_no_other_seat_prints_the_placers_sheet(desk: Desk, session: Session) -> None:
    for role in ("handler", "evaluator", "recorder"):
        with pytest.raises(Refused, match="It is for the placer"):
            jobs.placing_sheet(desk, session.tokens[role])
    assert desk.store.key_seen(session.lineup) == []


def test_a_sheet_that_cannot_be_set_was_not_seen(
    desk: Desk, session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> bytes:
        raise Refused("no paper")

    monkeypatch.setattr("nares.report.lineup_sheets.placing_sheet_pdf", broken)
    with pytest.raises(Refused, match="no paper"):
        jobs.placing_sheet(desk, session.tokens["placer"])
    assert desk.store.key_seen(session.lineup) == []


def test_there_is_no_placers_sheet_once_every_run_is_done(desk: Desk, session: Session) -> None:
    for run in range(1, 5):
        session.void(run)
    with pytest.raises(Refused, match="nothing more to place"):
        jobs.placing_sheet(desk, session.tokens["placer"])


def test_the_call_sheet_needs_no_vault_and_tells_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    values: list[dict[str, object]] = []

    def kept(said: dict[str, object], paper: str) -> bytes:
        values.append(dict(said))
        return b""

    monkeypatch.setattr("nares.report.lineup_sheets.call_sheet_pdf", kept)
    for number, seed in enumerate((b"\x07" * 32, b"\x4e" * 32)):
        with kennel(tmp_path / str(number), seed) as desk:
            session = sat_down(desk)
            desk.vault.path.unlink()
            jobs.call_sheet(desk, session.lineup)
    one, other = ({**said, "commitment": "", "run_commitments": ""} for said in values)
    assert one == other


def test_the_call_sheet_is_a_pdf(desk: Desk, session: Session) -> None:
    assert jobs.call_sheet(desk, session.lineup, "letter").startswith(b"%PDF")
