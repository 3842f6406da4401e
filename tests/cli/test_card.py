"""The session card on the command line: said, printed, taken, for the handler, from a table alone."""

import json
import re
from datetime import UTC, datetime
from pathlib import Path

import pytest
from tests.cli.conftest import Run
from tests.cli.test_deeds import TABLE


@pytest.fixture
def kennel(nares: Run, tmp_path: Path) -> Run:
    """A record with the dog Moss and four reps at the step of blank searches."""
    rows = TABLE.replace("source-breaths", "blanks").replace(",1.3,mark,1,", ",0.9,dog,0,", 1).splitlines()
    (tmp_path / "reps.csv").write_text("\n".join(rows[:5]) + "\n", encoding="utf-8")
    assert nares("dog", "add", "Moss", "--breed", "Springer Spaniel", "--by", "Wren").code == 0
    assert nares("reps", "import", "reps.csv", "--by", "Wren").code == 0
    return nares


def test_the_card_says_every_rep_and_when_to_stop(kennel: Run) -> None:
    said = kennel("card", "Moss")
    assert said.code == 0
    assert "Moss at Blank searches" in said.out
    assert "Not taken yet." in said.out
    assert len(re.findall(r"^ +\d+ +(?:—|[\d.]+) s ", said.out, re.MULTILINE)) == 12
    assert (
        said.out.index("To the vet at once.") < said.out.index("Signs of stress.") < said.out.index("Time.")
    )


def test_the_json_is_the_page_and_nothing_else(kennel: Run) -> None:
    told = json.loads(kennel("card", "Moss", "--json", "-").out)
    assert (told["schema"], told["dog"], told["step"], len(told["reps"])) == ("card/1", "Moss", "blanks", 12)
    assert told["reps"][-1]["easy"]
    again = json.loads(kennel("card", "Moss", "--json", "-").out)
    assert again["reps"] == told["reps"]


def test_a_card_is_printed_to_one_file(kennel: Run, tmp_path: Path) -> None:
    said = kennel("card", "Moss", "--pdf", "card.pdf", "--paper", "letter")
    assert (said.code, said.err) == (0, "Printed to card.pdf.\n")
    assert (tmp_path / "card.pdf").read_bytes().startswith(b"%PDF")


def test_a_card_is_never_printed_over_a_record(kennel: Run, tmp_path: Path) -> None:
    said = kennel("card", "Moss", "--pdf", tmp_path / "data" / "record.sqlite3")
    assert said.code == 4
    assert "is a record" in said.err
    assert kennel("record", "verify").code == 0


def test_a_card_is_taken_once(kennel: Run) -> None:
    said = kennel("card", "Moss", "--take", "--by", "Wren", "--json", "-")
    assert json.loads(said.out)["taken"]["by"] == "Wren"
    assert "The card of Moss is taken: 12 reps." in said.err
    again = kennel("card", "Moss", "--take")
    assert (again.code, again.out) == (4, "")
    assert "already taken" in again.err


def test_the_ration_bounds_the_card(kennel: Run) -> None:
    said = kennel("dog", "ration", "Moss", "--grams", 90, "--reward", 1, "--bowl", 83, "--by", "Wren")
    assert said.out.startswith("Today's ration of Moss is set: it pays for 7 more reps.")
    assert "veterinarian" in said.out
    told = json.loads(kennel("card", "Moss", "--json", "-").out)
    assert (len(told["reps"]), told["limited_by"], told["food"]["left_reps"]) == (7, "left", 7)


def test_a_ration_that_cannot_be_is_one_sentence_and_exit_4(kennel: Run) -> None:
    said = kennel("dog", "ration", "Moss", "--grams", 90)
    assert (said.code, said.out) == (4, "")
    assert "one reward in grams" in said.err


def test_the_handlers_card_gives_nothing_away(kennel: Run) -> None:
    said = kennel("card", "Moss", "--handler")
    assert "For the handler." in said.out
    assert "box 1" not in said.out
    assert "No target" not in said.out
    told = json.loads(kennel("card", "Moss", "--handler", "--json", "-").out)
    assert told["schema"] == "handler-card/1"
    assert "reps" not in told


def test_a_card_comes_from_a_table_alone(kennel: Run, tmp_path: Path) -> None:
    told = json.loads(kennel("card", "--reps", "reps.csv", "--dog", "Moss", "--json", "-").out)
    assert (told["step"], told["head"], told["taken"]) == ("blanks", None, None)
    today = datetime.now(UTC).astimezone().date().isoformat()
    assert told["day"] == today
    assert kennel("card", "Moss", "--reps", "reps.csv", "--pdf", "t.pdf").code == 0
    assert (tmp_path / "t.pdf").exists()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "Name the dog"),
        (("Moss", "--reps", "reps.csv", "--take"), "not on a record"),
        (("Moss", "--handler", "--pdf", "x.pdf"), "not printed"),
        (("Moss", "--paper", "a5"), "a4"),
    ],
)
def test_wrong_use_is_said_and_ends_with_2(kennel: Run, words: tuple[str, ...], said: str) -> None:
    answer = kennel("card", *words)
    assert (answer.code, said in answer.err) == (2, True)


def test_a_card_of_a_misspelt_folder_founds_no_record(nares: Run, tmp_path: Path) -> None:
    assert nares("card", "Moss", "--data", tmp_path / "misspelt").code == 2
    assert not (tmp_path / "misspelt").exists()
