"""A trainer's own spreadsheet on the command line: shown, changed, kept."""

import json
from pathlib import Path

import pytest
from tests.cli.conftest import Run

LOG = (
    "Date;Dog;Exercise;Hold;Verdict\n"
    + "14.02.2026;Moss;Value at source;0,9;hurra\n" * 9
    + "15.02.2026;Moss;Value at source;0,4;schade\n"
)
WORDS = ("--map", "met=Verdict", "--word", "met:hurra=1", "--word", "met:schade=0")


@pytest.fixture
def kennel(nares: Run, tmp_path: Path) -> Run:
    (tmp_path / "log.csv").write_text(LOG, encoding="cp1252")
    assert nares("dog", "add", "Moss", "--breed", "Springer Spaniel", "--by", "Wren").code == 0
    return nares


def test_without_a_word_of_consent_nothing_is_kept(kennel: Run) -> None:
    head = kennel("record", "head").out
    said = kennel("reps", "import-sheet", "log.csv")
    assert said.code == 0
    assert "  D Hold: hold_s (0,9, 0,4)" in said.out
    assert "  E Verdict: not used (hurra, schade)" in said.out
    assert "Met: No column says it" in said.out
    assert kennel("record", "head").out == head


def test_a_mapping_is_said_and_the_call_comes_at_once(kennel: Run) -> None:
    shown = kennel("reps", "import-sheet", "log.csv", *WORDS, "--preview")
    assert "10 reps of 2 sessions of Moss. The first:" in shown.out
    assert "  line 2: Moss 2026-02-14, rep 1, source-value, met, hold 0.9 s" in shown.out
    assert shown.out.endswith("Nothing was kept.\n")
    said = kennel("reps", "import-sheet", "log.csv", *WORDS, "--keep-as", "own log", "--by", "Wren")
    assert (said.code, said.err) == (0, "")
    assert said.out.endswith("Moss: raise at Value at source.\n")
    assert kennel("record", "verify").code == 0


def test_a_kept_mapping_is_used_by_its_name(kennel: Run, tmp_path: Path) -> None:
    kennel("reps", "import-sheet", "log.csv", *WORDS, "--keep-as", "own log")
    (tmp_path / "next.csv").write_text(LOG.replace(".02.", ".01."), encoding="utf-8")
    assert "10 reps of 2 sessions" in kennel("reps", "import-sheet", "next.csv", "--use", "own log").out
    again = kennel("reps", "import-sheet", "next.csv", "--use", "own log")
    assert (again.code, "on the record already" in again.err) == (3, True)


def test_faults_are_named_by_line_and_the_record_stays(kennel: Run) -> None:
    head = kennel("record", "head").out
    said = kennel("reps", "import-sheet", "log.csv", "--map", "met=Verdict")
    assert said.code == 3
    assert "line 2, column E (Verdict): Met is 'hurra'. Nobody has said what this word means" in said.err
    assert kennel("record", "head").out == head


def test_the_preview_is_json_too(kennel: Run) -> None:
    said = kennel(
        "reps", "import-sheet", "log.csv", *WORDS, "--give", "hand=away", "--preview", "--json", "-"
    )
    page = json.loads(said.out)
    assert (page["schema"], page["reps"], page["sound"]) == ("sheet/1", 10, True)
    assert page["first_reps"][0]["rep"]["hand"] == "away"


def test_columns_for_each_rep_are_named_in_a_row(kennel: Run, tmp_path: Path) -> None:
    (tmp_path / "wide.csv").write_text("Date,a,b,c\n2026-02-14,1,0,1\n")
    words = ("--reps", "met=a,b,c", "--give", "step=source-value", "--header-line", "1")
    said = kennel("reps", "import-sheet", "wide.csv", *words, "--map", "day=Date", "--preview")
    assert "3 reps of 1 sessions of Moss" in said.out


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["--map", "met"], 2, "--map met is no pair. Write --map FIELD="),
        (["--word", "met:hurra"], 2, "met:hurra says no value"),
        (["--map", "mood=Verdict"], 2, "There is no field 'mood'"),
        (["--map", "met=Nope"], 2, "no column 'Nope'"),
        (["--use", "nothing"], 2, "No mapping is kept under the name 'nothing'"),
        (["--order", "sideways"], 3, "Choose one of: day first"),
    ],
)
def test_wrong_words_are_said_without_a_trace(kennel: Run, words: list[str], code: int, said: str) -> None:
    found = kennel("reps", "import-sheet", "log.csv", *words)
    assert (found.code, found.err.startswith("nares: "), said in found.err) == (code, True, True)


def test_what_if_says_figures_and_keeps_nothing(kennel: Run) -> None:
    kennel("reps", "import-sheet", "log.csv", *WORDS)
    head = kennel("record", "head").out
    said = kennel("what-if", "--dog", "Moss", "--false-raise", "0.2")
    assert said.code == 0
    assert "would be raised by luck" in said.out
    assert "Today, on 9 of 10 met: raise" in said.out
    page = json.loads(kennel("what-if", "--dog", "Moss", "--json", "-").out)
    assert (page["schema"], page["raise_at"][0]) == ("what-if/1", [8, 8])
    wrong = kennel("what-if", "--dog", "Moss", "--ready", "0.5")
    assert (wrong.code, "Give a share from 0.55 to 0.99" in wrong.err) == (2, True)
    assert kennel("record", "head").out == head
