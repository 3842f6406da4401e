"""``nares measure --marker word`` and ``--marker whistle``: from recordings to marks."""

import json
import wave
from pathlib import Path

import numpy as np
import pytest
from tests.cli.conftest import Run
from tests.generator.soundcraft import Sound
from tests.generator.whistles import draw_whistle_session
from tests.generator.words import draw_word_session

from nares.measure.scoring import event_scores


def kept(path: Path, sound: Sound) -> Path:
    """A sound as a 16-bit recording."""
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(48_000)
        file.writeframes((np.clip(sound, -1, 1) * 32_767).astype("<i2").tobytes())
    return path


def test_a_word_is_measured_from_its_examples(nares: Run, tmp_path: Path) -> None:
    scape = draw_word_session(14_951, length_s=12.0, word="j eh s", word_db=30.0, others_share=0.0)
    session, told = kept(tmp_path / "session.wav", scape.sound), kept(tmp_path / "yes.wav", scape.examples)
    said = nares("measure", session, "--marker", "word", "--clicker", told, "--json", "-")
    assert said.code == 0, said.err
    marks = [mark["at_s"] for mark in json.loads(said.out)["marks"]]
    assert event_scores(scape.marks_s, marks, 0.05).f1 >= 0.85


def test_a_word_without_examples_is_refused_in_words(nares: Run, tmp_path: Path) -> None:
    scape = draw_word_session(14_952, length_s=8.0)
    said = nares("measure", kept(tmp_path / "session.wav", scape.sound), "--marker", "word")
    assert said.code == 2
    assert "Record the word three to ten times" in said.err


@pytest.mark.parametrize("marker", ["word", "whistle"])
def test_a_recording_that_teaches_nothing_is_unusable(nares: Run, tmp_path: Path, marker: str) -> None:
    silence = kept(tmp_path / "silence.wav", np.zeros(96_000))
    said = nares("measure", silence, "--marker", marker, "--clicker", silence)
    assert said.code == 3
    assert "Traceback" not in said.err


def test_a_whistle_is_measured_from_a_recording_of_it(nares: Run, tmp_path: Path) -> None:
    scape = draw_whistle_session(14_953, length_s=12.0, kind="pea", tones_a_minute=5.0)
    session, told = kept(tmp_path / "session.wav", scape.sound), kept(tmp_path / "whistle.wav", scape.alone)
    said = nares("measure", session, "--marker", "whistle", "--clicker", told, "--json", "-")
    assert said.code == 0, said.err
    marks = [mark["at_s"] for mark in json.loads(said.out)["marks"]]
    assert event_scores(scape.marks_s, marks, 0.02).f1 >= 0.85


def test_the_help_says_what_a_word_needs(nares: Run) -> None:
    said = nares("measure", "--help")
    assert "3 to 10 times" in " ".join(said.out.split())
