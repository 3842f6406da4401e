"""How people mark, from the record: who, which dog, when; what stands and what does not count."""

from pathlib import Path

import pytest
from tests.app import marked

from nares.app import jobs
from nares.app.deeds import Amend, ConfirmReps, SetAside
from nares.app.desk import Desk
from nares.base.errors import OutOfRange, Refused, Unknown


def session_entry(desk: Desk, session: str) -> int:
    return desk.store.session(session).entry


def test_an_empty_record_says_what_to_do(desk: Desk) -> None:
    page = jobs.marks_page(desk)
    assert page.timing is None
    assert "add a recorded session" in page.why_none


def test_delays_asks_and_phases_are_those_that_were_made(desk: Desk) -> None:
    marked.keep(desk, "moss-11", "Moss", reps=12, late_s=0.2, scatter_s=0.01)
    page = jobs.marks_page(desk)
    assert page.timing is not None
    assert (page.timing.marks, page.timing.looked_at, page.sessions) == (12, 0, 1)
    over, after = page.timing.over_ask.middle, page.timing.after_nose.middle
    assert over is not None
    assert after is not None
    assert over.median == pytest.approx(0.2, abs=0.01)
    assert after.median == pytest.approx(1.2, abs=0.01)
    assert page.timing.direction is not None
    assert page.timing.direction.phase == pytest.approx(0.3, abs=0.01)
    assert page.timing.sniffing.count == 12
    assert page.delays_svg
    assert page.over_ask_svg
    assert page.phases_svg


def test_who_marked_is_who_the_session_names_else_who_entered_it(desk: Desk) -> None:
    marked.keep(desk, "moss-11", "Moss", marked_by="Ines")
    marked.keep(desk, "moss-12", "Moss", day=3)
    page = jobs.marks_page(desk)
    assert page.people == ("Ines", "Wren")
    assert [line.name for line in page.by_person] == ["Ines", "Wren"]
    assert jobs.marks_page(desk, person="Ines").sessions == 1


def test_who_marked_can_be_put_right_in_the_open(desk: Desk) -> None:
    marked.keep(desk, "moss-11", "Moss")
    entry = session_entry(desk, "moss-11")
    jobs.amend(desk, Amend(entry, "/marked_by", "Tobias", "Tobias held the clicker.", "Wren"))
    assert jobs.marks_page(desk).people == ("Tobias",)
    with pytest.raises(Refused, match="who marked"):
        jobs.amend(desk, Amend(entry, "/marked_by", " Tobias ", "blank", "Wren"))


def test_only_the_chosen_dog_and_period_count(desk: Desk) -> None:
    marked.add_dogs(desk)
    marked.keep(desk, "moss-11", "Moss", day=2)
    marked.keep(desk, "eider-11", "Eider", day=9)
    assert {mark.dog for mark in jobs.marks_page(desk, dog="Eider").marks} == {"Eider"}
    assert jobs.marks_page(desk, since="2026-02-03").sessions == 1
    assert jobs.marks_page(desk, until="2026-02-02").sessions == 1
    assert jobs.marks_page(desk, since="2026-02-02", until="2026-02-09").sessions == 2
    assert "Choose another person, dog or period" in jobs.marks_page(desk, since="2026-03-01").why_none


def test_what_cannot_be_chosen_is_refused_in_words(desk: Desk) -> None:
    marked.keep(desk, "moss-11", "Moss")
    with pytest.raises(Unknown, match=r"that Tobias marked.*did: Wren"):
        jobs.marks_page(desk, person="Tobias")
    with pytest.raises(OutOfRange, match="'yesterday' is not a day"):
        jobs.marks_page(desk, since="yesterday")
    with pytest.raises(Unknown, match="no dog"):
        jobs.marks_page(desk, dog="Rex")


def test_corrected_marks_count_as_they_stand_and_reps_set_aside_do_not(desk: Desk) -> None:
    marked.keep(desk, "moss-11", "Moss")
    marked.correct(desk, "moss-11")
    jobs.set_aside(desk, SetAside("moss-11", 3, "Wren", "A bird."))
    page = jobs.marks_page(desk)
    assert page.timing is not None
    # Six read, one taken away, one added with nobody in, one set aside.
    assert page.timing.marks == 5
    assert page.set_aside == 1
    assert page.timing.looked_at == 2
    assert page.timing.after_nose.not_measured == 1


def test_a_confirmed_rep_was_looked_at(desk: Desk) -> None:
    marked.keep(desk, "moss-11", "Moss")
    jobs.confirm_reps(desk, ConfirmReps("moss-11", "Wren"))
    page = jobs.marks_page(desk)
    assert page.timing is not None
    assert page.timing.looked_at == 6


def test_practice_is_for_each_person_from_their_own_marks(desk: Desk) -> None:
    for number in range(1, 5):
        marked.keep(
            desk, f"a{number}", "Moss", day=number, late_s=0.9, seed=20_010 + number, marked_by="Ines"
        )
    marked.keep(desk, "b1", "Moss", day=9, marked_by="Tobias")
    page = jobs.marks_page(desk)
    keys = [(line.name, [one.key for one in line.practice]) for line in page.by_person]
    assert keys == [("Ines", ["late"]), ("Tobias", ["too few"])]
    assert [line.practice for line in page.by_dog] == [()]


def test_the_same_record_gives_the_same_page(desk: Desk, tmp_path: Path) -> None:
    marked.keep(desk, "moss-11", "Moss")
    assert jobs.marks_page(desk) == jobs.marks_page(desk)
