"""``nares agreement`` and ``nares marks``: the answers other programs get, and what is refused in words."""

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from tests.app import marked
from tests.app.kennels import kennel
from tests.cli.conftest import Run

from nares.app.answers import json_text, reading_answer
from nares.base.vocab import Mark, Reading, RecordingFacts


def reading(seed: int = 20_050, sha256: str = "ab" * 32) -> Reading:
    return marked.reading_of(sha256, reps=6, late_s=0.2, scatter_s=0.02, chance=np.random.default_rng(seed))


def written(to: Path, said: Reading) -> Path:
    to.write_text(json_text(reading_answer(said)), encoding="utf-8")
    return to


@pytest.fixture
def two(tmp_path: Path) -> tuple[Path, Path]:
    one = reading()
    late = tuple(Mark(mark.at_s + 0.03, 0.9) for mark in one.marks[1:])
    return written(tmp_path / "a.json", one), written(tmp_path / "b.json", replace(one, marks=late))


def test_agreement_keeps_its_promise(nares: Run, two: tuple[Path, Path]) -> None:
    said = nares("agreement", *two, "--json", "-")
    assert (said.code, said.err) == (0, "")
    told: dict[str, Any] = json.loads(said.out)
    assert (told["schema"], told["first"], told["second"]) == ("agreement/1", "a.json", "b.json")
    mark = told["events"][0]
    assert (mark["event"], mark["first"], mark["second"], mark["paired"]) == ("mark", 6, 5, 5)
    assert [(one["window_s"], one["both"]) for one in mark["within"]] == [(0.02, 0), (0.05, 5)]
    assert mark["timing"]["bias"]["value"] == pytest.approx(0.03, abs=1e-4)
    assert [(one["event"], one["by"]) for one in told["alone"]] == [("mark", 1)]


def test_agreement_in_words_names_what_only_one_has(nares: Run, two: tuple[Path, Path]) -> None:
    said = nares("agreement", *two)
    assert said.code == 0
    assert "b.json against a.json" in said.out
    assert "Only a.json: mark 6." in said.out
    assert "Only b.json: nothing" in said.out


def test_two_recordings_are_not_compared(nares: Run, tmp_path: Path) -> None:
    one = written(tmp_path / "a.json", reading())
    other = written(tmp_path / "b.json", reading(sha256="cd" * 32))
    said = nares("agreement", one, other)
    assert said.code == 3
    assert "a.json is of another recording than b.json" in said.err


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("nothing", "is not JSON"),
        ('{"schema": "decide/1"}', "holds decide/1, not measure/1"),
        ("[1]", "names no schema"),
        ('{"schema": "measure/1", "marks": 3}', "does not hold a whole reading"),
    ],
)
def test_a_file_of_another_kind_is_refused_in_words(
    nares: Run, tmp_path: Path, text: str, words: str
) -> None:
    bad = tmp_path / "bad.json"
    bad.write_text(text, encoding="utf-8")
    said = nares("agreement", bad, written(tmp_path / "a.json", reading()))
    assert said.code == 3
    assert words in said.err
    missing = nares("agreement", bad, tmp_path / "nowhere.json")
    assert missing.code == 3


def test_sound_alone_leaves_nose_and_hand_out(nares: Run, tmp_path: Path) -> None:
    facts = RecordingFacts(65.0, None, "ab" * 32, ("audio",))
    sound = replace(reading(), recording=facts, nose_in=(), hand_in=(), reps=())
    said = nares("agreement", written(tmp_path / "a.json", reading()), written(tmp_path / "s.json", sound))
    assert "s.json has no lane of nose in" in said.out


def test_marks_in_words_and_as_json(nares: Run, tmp_path: Path) -> None:
    with kennel(tmp_path / "data") as desk:
        for day in range(1, 4):
            marked.keep(desk, f"m{day}", "Moss", day=day, late_s=0.9, seed=20_060 + day, marked_by="Ines")
    said = nares("marks", "--person", "Ines")
    assert said.code == 0
    assert "18 marks of 3 sessions, 0 looked at by a person." in said.out
    assert "Practise: The marks are alike, and late by much the same" in said.out
    told = json.loads(nares("marks", "--dog", "Moss", "--json", "-").out)
    assert told["schema"] == "marks/1"
    assert told["timing"]["over_ask"]["middle"]["median"] == pytest.approx(0.9, abs=0.03)
    assert len(told["marks"]) == 18
    assert not any(name.endswith("_svg") for name in told)


def test_marks_of_nobody_are_refused_in_words(nares: Run, tmp_path: Path) -> None:
    with kennel(tmp_path / "data"):
        pass
    assert "add a recorded session" in nares("marks").out
    said = nares("marks", "--person", "Tobias")
    assert said.code == 2
    assert "Those who did: nobody yet" in said.err
    assert nares("marks", "--since", "spring").code == 2
