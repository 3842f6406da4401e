"""``nares cues``: the keys other programs rely on, and what cannot be asked."""

import json
from pathlib import Path
from typing import Any

import pytest
from tests.design.cue_tables import BALANCED, TIED, rep

from nares.cli.main import main
from nares.decide import write_rep_table


@pytest.fixture
def table(tmp_path: Path) -> Any:
    def write(rows: list[tuple[str, int]]) -> str:
        reps = [
            rep(n, cues, source="target" if "target" in cues.split() else "blank", paid=bool(paid))
            for n, (cues, paid) in enumerate(rows, start=1)
        ]
        path = tmp_path / "reps.csv"
        path.write_text(write_rep_table(reps), encoding="utf-8")
        return str(path)

    return write


def said(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, *words: str) -> tuple[int, str]:
    monkeypatch.setattr("sys.argv", ["nares", "cues", *words])
    with pytest.raises(SystemExit) as ended:
        main()
    out = capsys.readouterr()
    return int(ended.value.code or 0), out.out + out.err


def answer(capsys: Any, monkeypatch: Any, *words: str) -> dict[str, Any]:
    code, text = said(capsys, monkeypatch, *words, "--json", "-")
    assert code == 0
    found: dict[str, Any] = json.loads(text)
    return found


def test_tied_cues_are_named_and_the_reps_that_part_them(capsys: Any, monkeypatch: Any, table: Any) -> None:
    found = answer(capsys, monkeypatch, table(TIED), "--dog", "Teasel")
    assert found["schema"] == "cues/1"
    assert found["inseparable"] == [["target", "hand"]]
    assert {"cues": ["target"], "paid": True} in found["next_reps"]
    assert {"cues": ["hand"], "paid": False} in found["next_reps"]
    keys = {"cue", "reps_with", "reps_without", "pay_with", "pay_without", "delta_p", "strength"}
    assert all(keys <= one.keys() for one in found["cues"])


def test_never_without_is_null(capsys: Any, monkeypatch: Any, table: Any) -> None:
    found = answer(capsys, monkeypatch, table([("target hand", 1)] * 40), "--dog", "Teasel")
    assert [(one["reps_without"], one["pay_without"], one["delta_p"]) for one in found["cues"]] == [
        (0, None, None),
        (0, None, None),
    ]
    assert found["inseparable"] == [["target", "hand"]]


def test_a_balanced_table_ties_nothing(capsys: Any, monkeypatch: Any, table: Any) -> None:
    found = answer(capsys, monkeypatch, table(BALANCED), "--dog", "Teasel")
    assert found["inseparable"] == []
    assert [(one["cue"], one["delta_p"]) for one in found["cues"]] == [("target", 1.0), ("hand", 0.0)]


def test_bans_and_the_number_of_reps_are_kept_and_the_answer_is_the_same_again(
    capsys: Any, monkeypatch: Any, table: Any
) -> None:
    words = (table(TIED), "--dog", "Teasel", "--reps", "5", "--ban", "hand target")
    found = answer(capsys, monkeypatch, *words)
    assert len(found["next_reps"]) == 5
    assert all(set(one["cues"]) != {"target", "hand"} for one in found["next_reps"])
    assert answer(capsys, monkeypatch, *words) == found


def test_it_is_said_in_words(capsys: Any, monkeypatch: Any, table: Any) -> None:
    code, text = said(capsys, monkeypatch, table(TIED), "--dog", "Teasel", "--salience-of", "hand=0.3")
    assert code == 0
    assert "the dog cannot tell the target from the hand" in text
    assert "Traceback" not in text


@pytest.mark.parametrize(
    ("words", "code", "about"),
    [
        (("--dog", "Rex"), 2, "The dogs are: Teasel"),
        (("--dog", "Teasel", "--reps", "0"), 2, "0 reps cannot be planned"),
        (("--dog", "Teasel", "--ban", "rain"), 2, "not among the cues in question"),
        (("--dog", "Teasel", "--salience", "7"), 2, "salience is 7"),
        (("--dog", "Teasel", "--salience-of", "hand"), 2, "is not CUE=NUMBER"),
    ],
)
def test_what_cannot_be_is_said(
    capsys: Any, monkeypatch: Any, table: Any, words: tuple[str, ...], code: int, about: str
) -> None:
    ended, text = said(capsys, monkeypatch, table(TIED), *words)
    assert ended == code
    assert about in text
