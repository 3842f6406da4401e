"""Line-ups on the command line: drawn into a file, checked against the commitment, sheets printed."""

import hashlib
import json
import stat
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import rfc8785
from tests.cli.conftest import Run, Said

SEED = "00" * 31 + "2a"
ASKED = (
    *("lineup", "new", "--positions", 6, "--runs", 20, "--targets-per-run", "0-1", "--blank-runs", 0.25),
    *("--distractors", "tape,glove,food", "--blinding", "double"),
)


def new(nares: Run, *more: Any, out: str = "KEY.json") -> Said:
    return nares(*ASKED, "--out", out, *more)


def key_in(folder: Path, name: str = "KEY.json") -> Any:
    return json.loads((folder / name).read_text(encoding="utf-8"))


def test_new_prints_the_commitment_and_nothing_else(nares: Run, tmp_path: Path) -> None:
    said = new(nares, "--sheet", "SHEET.pdf")
    key = key_in(tmp_path)
    assert said.code == 0
    assert said.out == hashlib.sha256(rfc8785.dumps(key)).hexdigest() + "\n"
    assert len(bytes.fromhex(key["nonce"])) == 32
    assert len(key["runs"]) == 20
    assert (tmp_path / "SHEET.pdf").read_bytes().startswith(b"%PDF")
    assert "no target" not in said.err.lower()


def test_the_key_is_its_owners_alone(nares: Run, tmp_path: Path) -> None:
    new(nares, "--placing-sheet", "PLACING.pdf")
    for name in ("KEY.json", "PLACING.pdf"):
        assert stat.S_IMODE((tmp_path / name).stat().st_mode) == 0o600


def test_a_seed_gives_the_same_bytes_and_chance_gives_others(nares: Run, tmp_path: Path) -> None:
    for name in ("a.json", "b.json"):
        assert "whoever knows the seed" in new(nares, "--seed", SEED, out=name).err
    new(nares, out="c.json")
    new(nares, out="d.json")
    held = [(tmp_path / f"{name}.json").read_bytes() for name in "abcd"]
    assert held[0] == held[1]
    assert len(set(held)) == 3


def test_check_says_yes_with_0_and_no_with_1(nares: Run, tmp_path: Path) -> None:
    commitment = new(nares).out.strip()
    yes = nares("lineup", "check", "KEY.json", commitment)
    assert (yes.code, yes.out) == (0, "The key is the one that was sealed.\n")
    assert "no place in it was chosen by hand" in yes.err
    assert nares("lineup", "check", "KEY.json", commitment.upper()).code == 0
    no = nares("lineup", "check", "KEY.json", "0" * 64)
    assert no.code == 1
    assert f"it gives {commitment}" in no.out
    for wrong in ("x", commitment[:-1], commitment + "0", commitment[:40] + "0" * 24, commitment[::-1]):
        assert nares("lineup", "check", "KEY.json", wrong).code == 1


def test_a_key_changed_afterwards_is_a_no_however_it_was_changed(nares: Run, tmp_path: Path) -> None:
    commitment = new(nares).out.strip()
    changes: list[Callable[[Any], object]] = [
        lambda key: key.update(nonce="00" * 32),
        lambda key: key.pop("nonce"),
        lambda key: key["runs"].pop(),
        lambda key: key["runs"][0]["placed"].reverse(),
        lambda key: key.update(runs=None),
    ]
    for change in changes:
        key = key_in(tmp_path)
        change(key)
        (tmp_path / "changed.json").write_text(json.dumps(key), encoding="utf-8")
        said = nares("lineup", "check", "changed.json", commitment)
        assert (said.code, "is not the one" in said.out) == (1, True)


def test_a_key_drawn_up_by_hand_is_found(nares: Run, tmp_path: Path) -> None:
    new(nares, "--seed", SEED)
    key = key_in(tmp_path)
    for one in key["runs"][4]["placed"]:
        one.update(holds="blank", item="")
    (tmp_path / "hand.json").write_text(json.dumps(key), encoding="utf-8")
    said = nares("lineup", "check", "hand.json", hashlib.sha256(rfc8785.dumps(key)).hexdigest())
    assert said.code == 0, "it is what was committed to"
    assert "run 5: It is not what the seed gives." in said.err
    told = json.loads(nares("lineup", "check", "hand.json", "0" * 64, "--json", "-").out)
    assert (told["schema"], told["holds"], told["follows_from_seed"]) == ("lineup-check/1", False, False)


def test_one_run_is_checked_alone(nares: Run) -> None:
    told = json.loads(new(nares, "--json", "-").out)
    assert (told["schema"], len(told["run_commitments"])) == ("lineup-new/1", 20)
    third = told["run_commitments"][2]
    assert (
        nares("lineup", "check", "KEY.json", third, "--run", 3).out == "Run 3 is the one that was sealed.\n"
    )
    assert nares("lineup", "check", "KEY.json", third, "--run", 4).code == 1
    assert nares("lineup", "check", "KEY.json", third, "--run", 21).code == 2


def test_the_answer_tells_nothing_of_the_key(nares: Run, tmp_path: Path) -> None:
    """Two line-ups that differ in the seed alone differ in their commitments alone."""
    answers = []
    for name in ("a", "b"):
        said = new(nares, "--json", "-", "--placing-sheet", f"{name}.pdf", out=f"{name}.json")
        told = json.loads(said.out)
        assert (
            told.pop("commitment")
            == hashlib.sha256(rfc8785.dumps(key_in(tmp_path, f"{name}.json"))).hexdigest()
        )
        assert len(set(told.pop("run_commitments"))) == 20
        answers.append((told, said.err.replace(f"{name}.", "x.")))
    assert answers[0] == answers[1]


@pytest.mark.parametrize("name", ["KEY.json", "PLACING.pdf"])
def test_what_holds_a_key_is_written_over_nothing(nares: Run, tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_text("kept", encoding="utf-8")
    said = new(nares, "--placing-sheet", "PLACING.pdf", "--sheet", "SHEET.pdf")
    assert (said.code, said.out) == (3, "")
    assert "is there already and is not written over" in said.err
    assert (tmp_path / name).read_text(encoding="utf-8") == "kept"
    assert [path.name for path in tmp_path.iterdir()] == [name]


def test_a_key_does_not_follow_a_link(nares: Run, tmp_path: Path) -> None:
    (tmp_path / "KEY.json").symlink_to(tmp_path / "elsewhere.json")
    assert new(nares).code == 3
    assert not (tmp_path / "elsewhere.json").exists()


@pytest.mark.parametrize(
    ("more", "code", "said"),
    [
        (("--positions", 3), 2, "do not fit into 3 positions"),
        (("--targets-per-run", "two"), 2, "Write 1, or 0-1"),
        (("--targets-per-run", "1"), 2, "contradicts at least 1 target"),
        (("--targets-per-run", "2-1"), 2, "cannot be"),
        (("--blank-runs", 25), 2, "25 % as 0.25"),
        (("--seed", "42"), 2, "not 32 bytes in hex. Give 64 digits"),
        (("--seed", "zz" * 32), 2, "not 32 bytes in hex"),
        (("--novel", "soap"), 2, "'soap' is not among the distractors"),
        (("--controls", "hat"), 2, "no control 'hat'"),
        (("--distractors", "tape,Tape"), 3, "is there twice"),
        (("--shape", "room"), 2, "keeps odour"),
        (("--sheet", "KEY.json"), 2, "same name"),
        (("--blinding", "known", "--rules", "luck"), 2, "luck"),
    ],
)
def test_what_cannot_be_is_one_sentence_and_leaves_no_file(
    nares: Run, tmp_path: Path, more: tuple[Any, ...], code: int, said: str
) -> None:
    answer = new(nares, *more)
    assert (answer.code, answer.out) == (code, "")
    assert said in answer.err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("text", ["", "[]", "{", '{"runs": 1.0}', '{"a": 1, "a": 1}'])
def test_a_file_that_is_no_key_at_all_ends_with_3(nares: Run, tmp_path: Path, text: str) -> None:
    (tmp_path / "KEY.json").write_text(text, encoding="utf-8")
    said = nares("lineup", "check", "KEY.json", "0" * 64)
    assert (said.code, said.out) == (3, "")
    assert nares("lineup", "check", "nowhere.json", "0" * 64).code == 3


def test_everything_that_can_be_asked_for_is_in_the_key(nares: Run, tmp_path: Path) -> None:
    said = nares(
        *("lineup", "new", "--positions", 8, "--runs", 12, "--targets-per-run", "0-2", "--out", "k.json"),
        *("--distractors", "tape, food", "--novel", "food", "--controls", "packaging,gloves,placer"),
        *("--aids", "birch 1,birch 2", "--along", 3, "--fresh-containers", "--shape", "ring"),
        *("--place", "yard", "--dog", "Teasel", "--name", "Teasel 9", "--set-time", 30, "--paper", "letter"),
    )
    assert said.code == 0
    key = key_in(tmp_path, "k.json")
    asked = key["asked"]
    assert (key["lineup"], asked["area"]["place"], asked["area"]["shape"]) == ("Teasel 9", "yard", "ring")
    assert asked["distractors"] == [{"smell": "tape", "novel": False}, {"smell": "food", "novel": True}]
    assert (asked["controls"], asked["along"], asked["fresh"]) == (["packaging", "gloves", "placer"], 3, True)
    assert (asked["aids"], asked["set_time_min"]) == (["birch 1", "birch 2"], 30)


def test_training_orders_keep_their_rules(nares: Run, tmp_path: Path) -> None:
    said = nares(
        *("lineup", "new", "--positions", 4, "--runs", 8, "--targets-per-run", 1, "--blinding", "known"),
        *("--out", "k.json", "--json", "-"),
    )
    told = json.loads(said.out)
    assert told["drawing"] == "constrained"
    assert len(told["rules"]) > 0
    assert key_in(tmp_path, "k.json")["rules"] == told["rules"]
