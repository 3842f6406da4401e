"""Line-ups of the record on the command line: listed, shown without a sealed key, closed."""

import json
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from tests.app.kennels import TickingClock
from tests.app.lineups.saltmarsh import Session, kennel, sat_down
from tests.cli.conftest import Run


@pytest.fixture
def session(tmp_path: Path) -> Iterator[Session]:
    """A session with one run worked and one begun."""
    with kennel(tmp_path / "data", clock=TickingClock(datetime(2026, 3, 2, 9, tzinfo=UTC))) as desk:
        session = sat_down(desk)
        session.work(1)
        session.place(2)
        yield session


def test_line_ups_are_listed(nares: Run, session: Session) -> None:
    said = nares("lineup", "list")
    assert (said.code, said.err) == (0, "")
    assert "teasel-lineup-01: Teasel, 6 positions at barn, 1 of 4 runs open, 0 void, not closed" in said.out
    told = json.loads(nares("lineup", "list", "--json", "-").out)
    assert told["schema"] == "lineups/1"
    assert told["lines"][0]["opened"] == 1


def test_a_line_up_is_shown_without_what_is_sealed(nares: Run, session: Session) -> None:
    key = session.key()
    for words in (("lineup", "show", session.lineup), ("lineup", "show", session.lineup, "--json", "-")):
        said = nares(*words)
        assert said.code == 0, said.err
        assert key["nonce"] not in said.out
        assert key["seed"] not in said.out
        for run in key["runs"][1:]:
            assert run["nonce"] not in said.out
    shown = nares("lineup", "show", session.lineup).out
    assert "Run 1: open, position 1 called," in shown
    assert "double-blind" in shown
    assert "Run 2: placed\n" in shown
    assert "Not closed: its key is sealed." in shown


def test_closing_early_wants_a_reason_and_then_shows_the_key(nares: Run, session: Session) -> None:
    key = session.key()
    refused = nares("lineup", "open", session.lineup)
    assert (refused.code, "Say why" in refused.err) == (4, True)
    said = nares("lineup", "open", session.lineup, "--why", "rain", "--by", "Mara Quill")
    assert (said.code, "its whole key is entry" in said.out) == (0, True), said.err
    told = json.loads(nares("lineup", "show", session.lineup, "--json", "-").out)
    assert told["key"] == key
    assert told["holds"] is True
    assert "The key is the one that was sealed." in nares("lineup", "show", session.lineup).out
    assert nares("record", "verify").code == 0


def test_an_unknown_line_up_is_one_sentence(nares: Run, session: Session) -> None:
    for words in (("show", "nobody"), ("open", "nobody")):
        said = nares("lineup", *words)
        assert (said.code, said.err.count("\n")) == (2, 1)


def test_record_show_and_export_hold_no_sealed_key(nares: Run, session: Session, tmp_path: Path) -> None:
    key = session.key()
    hidden = [key["nonce"], key["seed"], *(run["nonce"] for run in key["runs"][1:])]
    for entry in range(1, session.desk.store.count() + 1):
        said = nares("record", "show", entry)
        assert [text for text in hidden if text in said.out + said.err] == []
    assert nares("record", "export", "out.zip").code == 0
    bag = (tmp_path / "out.zip").read_bytes()
    assert [text for text in hidden if text.encode() in bag] == []


def test_calls_from_paper_are_typed_in(nares: Run, session: Session, tmp_path: Path) -> None:
    rows = "3,5,Tobin Fell,2026-03-02T09:30:00Z\n4,,Tobin Fell,2026-03-02T09:40:00Z\n"
    (tmp_path / "calls.csv").write_text(f"run,position,called_by,called_at\n{rows}", encoding="utf-8")
    said = nares("lineup", "type-calls", session.lineup, "calls.csv", "--by", "Mara Quill")
    assert (said.code, said.out) == (0, "2 calls of teasel-lineup-01 typed in from paper.\n"), said.err
    assert (
        "Run 4: called, clear called, how blind cannot be said" in nares("lineup", "show", session.lineup).out
    )
    (tmp_path / "calls.csv").write_text("run,position\n9,1\n", encoding="utf-8")
    said = nares("lineup", "type-calls", session.lineup, "calls.csv")
    assert (said.code, "line 2: The key has no run '9'" in said.err) == (3, True)
