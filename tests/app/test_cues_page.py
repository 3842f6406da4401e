"""The page of a dog's cues from the record: reps, line-up runs, names, what a session puts there."""

import wave
from pathlib import Path

import numpy as np
import pytest
from tests.record import line_ups
from tests.record.kennel import rep

from nares.app import jobs
from nares.app.cues.values import AskCues, NameCue
from nares.app.deeds import AddDog, RunSession
from nares.app.desk import Desk
from nares.app.tables import keep_session
from nares.base.errors import OutOfRange, Refused, Unknown


def reps(desk: Desk, count: int = 10) -> None:
    rows = [
        rep(n, "moss-01", "Moss", source="target" if n % 2 else "blank", paid=bool(n % 2), cues=("target",))
        for n in range(1, count + 1)
    ]
    keep_session(desk, [rows[0], *rows[1:]], "Wren")


def test_a_dog_without_reps_has_an_empty_page(desk: Desk) -> None:
    page = jobs.cues_page(desk, AskCues("Moss"))
    assert (page.verdict, page.cues, page.next_reps, page.course_svg) == (None, (), None, "")


def test_confirmed_reps_make_the_page(desk: Desk) -> None:
    reps(desk)
    page = jobs.cues_page(desk, AskCues("Moss"))
    assert (page.reps, page.sessions) == (10, 1)
    assert page.cues[0].cue == "target"
    assert page.course_svg.startswith("<svg")
    assert jobs.cues_page(desk, AskCues("Moss")) == page


def test_places_of_opened_runs_count_as_reps_and_a_sealed_run_shows_nothing(desk: Desk) -> None:
    jobs.add_dog(desk, AddDog("Brine", "Springer", by="Wren"))
    begun = line_ups.upto("run_opened")
    desk.store.append_all(begun)
    assert jobs.cues_page(desk, AskCues("Brine")).reps == 0
    desk.store.append_all(line_ups.whole()[len(begun) :])
    page = jobs.cues_page(desk, AskCues("Brine"))
    assert {one.cue for one in page.cues} == {"target", "position:2"}
    assert page.cues[0].overall.with_it.paid == 1
    assert any("place of a line-up run counts" in note for note in page.notes)


def test_bans_that_leave_nothing_are_said_beside_the_page(desk: Desk) -> None:
    reps(desk)
    page = jobs.cues_page(desk, AskCues("Moss", bans=("target", "!target")))
    assert page.next_reps is None
    assert "bans leave no rep" in page.next_fault
    with pytest.raises(OutOfRange, match="salience is 4"):
        jobs.cues_page(desk, AskCues("Moss", salience=4.0))
    with pytest.raises(Unknown, match="Rex"):
        jobs.cues_page(desk, AskCues("Rex"))


def test_a_cue_is_named_once_and_offered_to_sessions(desk: Desk) -> None:
    said = jobs.name_cue(desk, NameCue("rain", "It  rained.", "Wren"))
    assert said.entry == desk.store.count()
    offered = jobs.session_cues(desk, "Moss")
    assert [(one.cue, one.about, one.by) for one in offered.own] == [("rain", "It rained.", "Wren")]
    assert offered.usual == ("target", "hand")
    with pytest.raises(Refused, match="already"):
        jobs.name_cue(desk, NameCue("rain"))


def test_a_session_keeps_what_else_was_there(desk: Desk, tmp_path: Path) -> None:
    path = tmp_path / "hiss.wav"
    samples = (np.random.default_rng(3).normal(0, 40, 48000)).astype("<i2")
    with wave.open(str(path), "wb") as out:
        out.setparams((1, 2, 48000, 0, "NONE", "none"))
        out.writeframes(samples.tobytes())
    asked = RunSession(path, "Moss", "Wren", "2026-03-02T08:00:00Z", cues=("rain", "hand", "box:2"))
    jobs.run_session(desk, asked)
    assert desk.store.session("moss-01").cues == ("target", "hand", "rain", "box:2")
    with pytest.raises(OutOfRange, match="no name of a cue"):
        jobs.run_session(desk, RunSession(path, "Moss", "Wren", cues=("two words",)))
