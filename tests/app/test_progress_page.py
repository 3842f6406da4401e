"""Progress from the record and from a rep table: the same answer, sentences and drawing included."""

import json
from dataclasses import replace
from pathlib import Path

import pytest
from tests.decide.courses import BOX, days

from nares.app import jobs
from nares.app.answers import json_text
from nares.app.deeds import ImportReps, SetAside
from nares.app.desk import Desk
from nares.app.progress_page import progress_answer, progress_table
from nares.base.errors import NotEnoughData, Unknown
from nares.decide import write_rep_table

COURSE = [*days(0, [[0, 0, 1, 0, 1, 1, 1, 1, 1, 1], [1] * 10]), *days(2, [[1, 0, 1, 1, 1, 1]], step=2)]


def table(folder: Path) -> Path:
    kept = folder / "reps.csv"
    kept.write_text(write_rep_table([replace(rep, dog="Moss") for rep in COURSE]), encoding="utf-8")
    return kept


def test_a_dog_without_reps_has_a_page_and_no_drawing(desk: Desk) -> None:
    page = jobs.progress_page(desk, "Moss")
    assert page.curve_svg is None
    assert page.steps == ((BOX.steps[0].key, BOX.steps[0].name),)
    assert page.said.rate == ("No counted reps at Value at source yet.",)


def test_record_and_table_give_one_answer(desk: Desk, tmp_path: Path) -> None:
    kept = table(tmp_path)
    jobs.import_reps(desk, ImportReps(kept, "Wren"))
    page = jobs.progress_page(desk, "Moss")
    assert page.curve_svg
    assert "6 reps in 1 session" in page.curve_svg
    answer = progress_answer(page)
    assert answer == progress_answer(progress_table(kept, dog="Moss", programme=None))
    assert answer["schema"] == "progress/1"
    assert "curve_svg" not in json_text(answer)
    assert json.loads(json_text(answer))["mastered"][0]["standing"] == "untried"


def test_the_step_before_can_be_chosen_and_an_unknown_one_is_refused(desk: Desk, tmp_path: Path) -> None:
    jobs.import_reps(desk, ImportReps(table(tmp_path), "Wren"))
    page = jobs.progress_page(desk, "Moss", step=BOX.steps[1].key)
    assert page.found.reps == 20
    assert [key for key, _ in page.steps] == [BOX.steps[1].key, BOX.steps[2].key]
    with pytest.raises(Unknown, match="no step 'sit'"):
        jobs.progress_page(desk, "Moss", step="sit")
    with pytest.raises(Unknown, match="no dog"):
        jobs.progress_page(desk, "Rex")


def test_reps_set_aside_are_not_among_them(desk: Desk, tmp_path: Path) -> None:
    jobs.import_reps(desk, ImportReps(table(tmp_path), "Wren"))
    session = COURSE[-1].session
    jobs.set_aside(desk, SetAside(session, 2, "The box fell over.", "Wren"))
    page = jobs.progress_page(desk, "Moss")
    assert (page.found.reps, page.found.met) == (5, 5)


def test_a_table_without_reps_is_refused_in_words(tmp_path: Path) -> None:
    empty = tmp_path / "reps.csv"
    empty.write_text(write_rep_table([]), encoding="utf-8")
    with pytest.raises(NotEnoughData, match="holds no reps"):
        progress_table(empty, dog="Moss", programme=None)
