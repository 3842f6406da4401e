"""Signs and overrulings on the command line."""

import json
from pathlib import Path

import pytest
from tests.cli.conftest import Run
from tests.cli.test_deeds import TABLE


@pytest.fixture
def kennel(nares: Run, tmp_path: Path) -> Run:
    (tmp_path / "reps.csv").write_text(TABLE, encoding="utf-8")
    nares("dog", "add", "Moss", "--breed", "Springer Spaniel", "--by", "Wren")
    assert nares("reps", "import", "reps.csv", "--by", "Wren").code == 0
    return nares


def test_signs_are_listed_written_down_and_looked_into(kennel: Run) -> None:
    listed = kennel("dog", "signs", "Moss").out
    assert "No signs of Moss stand." in listed
    assert "crouch         level 3" in listed
    said = kennel("dog", "signs", "Moss", "--sign", "crouch", "--session", "moss-t1", "--rep", 4)
    assert (said.code, "Stop the session" in said.out) == (0, True), said.err
    assert "stop at Stay for a breath" in kennel("dog", "list").out
    assert kennel("dog", "overrule", "Moss", "raise", "--why", "He is fine.").code == 4
    assert kennel("dog", "signs-cleared", "Moss", "--why", "A splinter.").code == 0
    assert "raise at Stay for a breath" in kennel("dog", "list").out
    assert kennel("record", "verify").code == 0


def test_a_sign_nobody_knows_is_one_sentence(kennel: Run) -> None:
    said = kennel("dog", "signs", "Moss", "--sign", "tired")
    assert (said.code, said.err.count("\n"), "crouch" in said.err) == (2, 1, True)


def test_a_call_is_overruled_told_and_taken_back(kennel: Run) -> None:
    said = kennel("dog", "overrule", "Moss", "stay", "--why", "A short week.", "--by", "Wren")
    assert (said.code, "stay instead of raise" in said.out) == (0, True), said.err
    told = json.loads(kennel("dog", "overrulings", "--json", "-").out)
    assert (told["schema"], told["lines"][0]["outcome"]) == ("overrulings/1", "too early to say")
    assert kennel("dog", "withdraw-overruling", "Moss", "--why", "Fine after all.").code == 0
    assert "Taken back: Fine after all." in kennel("dog", "overrulings", "Moss").out
    assert kennel("dog", "overrule", "Moss", "stay").code == 2
    assert kennel("dog", "overrule", "Moss", "stay", "--why", "x", "--step", "nowhere").code == 2
