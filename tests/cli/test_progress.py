"""``nares progress``: from the record, from a table, as JSON, and what is refused."""

import json
from pathlib import Path

from tests.cli.conftest import Run
from tests.decide.courses import BOX, days

from nares.decide import write_rep_table


def table(folder: Path) -> Path:
    kept = folder / "reps.csv"
    course = [*days(0, [[1] * 10, [1] * 10]), *days(2, [[1, 0, 1, 1, 1, 1]], step=2)]
    kept.write_text(write_rep_table(course), encoding="utf-8")
    return kept


def test_a_table_alone_is_said_part_by_part(nares: Run, tmp_path: Path) -> None:
    said = nares("progress", "Sedge", "--reps", table(tmp_path))
    assert said.code == 0
    for words in (
        "5 of 6 reps met",
        "Learning curve:",
        "Mastered steps:",
        "Not tried since",
        "once in 246 reps",
    ):
        assert words in said.out


def test_the_answer_is_json_and_nothing_else(nares: Run, tmp_path: Path) -> None:
    said = nares("progress", "Sedge", "--reps", table(tmp_path), "--json", "-")
    answer = json.loads(said.out)
    assert (answer["schema"], answer["dog"], answer["reps"]) == ("progress/1", "Sedge", 6)
    assert answer["course"]["curve"]["start"] == "open"


def test_the_record_gives_what_the_table_gives(nares: Run, tmp_path: Path) -> None:
    kept = table(tmp_path)
    nares("dog", "add", "Sedge", "--breed", "Labrador Retriever", "--by", "Wren")
    nares("reps", "import", kept, "--by", "Wren")
    from_record = nares("progress", "Sedge", "--json", "-").out
    assert from_record == nares("progress", "Sedge", "--reps", kept, "--json", "-").out


def test_what_cannot_be_answered_is_one_sentence(nares: Run, tmp_path: Path) -> None:
    kept = table(tmp_path)
    dog = nares("progress", "Rex", "--reps", kept)
    step = nares("progress", "Sedge", "--reps", kept, "--step", "sit")
    programme = nares("progress", "Sedge", "--programme", kept)
    assert (dog.code, step.code, programme.code) == (2, 2, 2)
    assert "no rep of a dog named 'Rex'" in dog.err
    assert "has no step 'sit'" in step.err
    assert "--programme goes with --reps" in programme.err


def test_a_published_start_can_be_asked_for_where_the_reps_carry_it(nares: Run, tmp_path: Path) -> None:
    kept = table(tmp_path)
    said = nares("progress", "Sedge", "--reps", kept, "--start", "at_level")
    assert "begins at 60%, which pulls a short record" in said.out
    step = BOX.steps[1].key
    refused = nares("progress", "Sedge", "--reps", kept, "--step", step, "--start", "at_first")
    assert refused.code == 3
    assert "Use the open start here" in refused.err
