"""Measured again with other regions: both readings stay, changes are carried, numbers are kept."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from tests.app.kennels import READING, SHA, measured

from nares.app import again, jobs
from nares.app.deeds import ConfirmReps, CorrectEvents, MeasureAgain
from nares.app.desk import Desk
from nares.base.errors import NaresError, Refused, Unknown
from nares.base.vocab import Reading, Region, Span
from nares.measure.corrections import Edit

FRONT = Region(0.4, 0.4, 0.1, 0.2)
LATER = Edit("later", "marks", "moved", "marks-0", (11.4,), (11.9,))


def read_again() -> Reading:
    """The second reading sees a visit the first one missed, before all others."""
    reps = [replace(rep, rep=rep.rep + 1) for rep in READING.reps]
    first = replace(measured(1), nose_in_s=2.0, nose_out_s=4.0, mark_s=None)
    nose_in = (Span(2.0, 4.0, 0.9), *READING.nose_in)
    return replace(READING, nose_in=nose_in, reps=(first, *reps))


@pytest.fixture(autouse=True)
def machine(monkeypatch: pytest.MonkeyPatch, desk: Desk) -> list[dict[str, Any]]:
    asked: list[dict[str, Any]] = []

    def measure(path: Path, **said: Any) -> Reading:
        asked.append({"path": path, **said})
        return read_again()

    monkeypatch.setattr(again, "measure_recording", measure)
    desk.recordings.mkdir(parents=True, exist_ok=True)
    (desk.recordings / f"{SHA}.mp4").write_bytes(b"not a film")
    return asked


def measure(desk: Desk) -> str:
    return jobs.measure_again(desk, MeasureAgain("moss-01", "Wren", FRONT)).said


def test_both_readings_stay_and_the_newest_counts(
    desk: Desk, session: str, machine: list[dict[str, Any]]
) -> None:
    measure(desk)
    assert machine[0]["front"] == FRONT
    page = jobs.timeline_page(desk, session)
    assert len(page.readings) == 2
    assert page.reading_entry == page.readings[1]
    assert page.front == (0.4, 0.4, 0.1, 0.2)
    assert desk.store.entry(page.readings[0]).payload["reading"]["nose_in"] != []
    assert jobs.verify_record(desk).holds


def test_reps_keep_their_numbers_and_the_new_one_gets_the_next(desk: Desk, session: str) -> None:
    measure(desk)
    starts = {
        one.rep: one.measured.nose_in_s for one in jobs.session_page(desk, session).reps if one.measured
    }
    assert starts == {1: 10.0, 2: 20.0, 3: 30.0, 4: 40.0, 5: 2.0}


def test_changes_are_carried_with_who_made_them(desk: Desk, session: str) -> None:
    jobs.correct_events(desk, CorrectEvents(session, "Tobias", (LATER,)))
    assert "1 change carried over." in measure(desk)
    (edit,) = jobs.timeline_page(desk, session).edits
    assert (edit.event, edit.now, edit.by) == ("marks-0", (11.9,), "Tobias")
    assert jobs.session_page(desk, session).reps[0].measured.mark_s == 11.9  # type: ignore[union-attr]


def test_a_confirmed_rep_asks_for_a_look_only_where_it_changed(desk: Desk, session: str) -> None:
    jobs.confirm_reps(desk, ConfirmReps(session, "Wren"))
    measure(desk)
    assert [line.look_again for line in jobs.session_page(desk, session).reps] == [""] * 5


def test_a_page_open_on_the_earlier_reading_cannot_change_the_later_one(desk: Desk, session: str) -> None:
    first = jobs.timeline_page(desk, session).reading_entry
    measure(desk)
    with pytest.raises(Refused, match="measured again meanwhile"):
        jobs.correct_events(desk, CorrectEvents(session, "Wren", (LATER,), reading=first))


BAD: list[tuple[MeasureAgain, type[NaresError], str]] = [
    (MeasureAgain("moss-01", "Wren"), Refused, "No region was given"),
    (MeasureAgain("none", "Wren", FRONT), Unknown, "no session called 'none'"),
]


@pytest.mark.parametrize(("asked", "kind", "said"), BAD)
def test_what_cannot_be_measured_is_said(
    desk: Desk, session: str, asked: MeasureAgain, kind: type[NaresError], said: str
) -> None:
    with pytest.raises(kind, match=said):
        jobs.measure_again(desk, asked)


def test_a_calibrated_clickers_marks_are_taken_over(desk: Desk, session: str) -> None:
    kept = desk.store.reading_of(session)
    assert kept is not None
    old = replace(kept, settings={"calibrated": True})
    heard = again._heard_before(replace(read_again(), marks=()), old, MeasureAgain(session, "Wren", FRONT))
    assert heard.marks == READING.marks
    assert [rep.mark_s for rep in heard.reps if rep.mark_s] == [mark.at_s for mark in READING.marks]


def test_a_session_of_two_files_is_not_measured_by_one_of_them(desk: Desk, session: str) -> None:
    other: dict[str, Any] = {
        "session": session,
        "sha256": "cd" * 32,
        "name": "second.mp4",
        "media_type": "video/mp4",
    }
    other |= {"media_type": "video/mp4", "bytes": 9, "duration_s": 30.0}
    desk.store.append("recording_kept", other, happened_at=desk.now(), by="Wren")
    with pytest.raises(Refused, match="recorded in 2 files"):
        measure(desk)
