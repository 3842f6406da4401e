"""Listening to recordings: two rendered sessions with truth, and real sounds that are no marker."""

import json
from pathlib import Path
from typing import Any

import pytest
from tests.generator.sessions import calibration, draw_session

from nares.measure.inputs import SoundBlock
from nares.measure.scoring import event_scores, frame_scores
from nares.measure.sound.clicker import learn_clicker
from nares.measure.sound.ear import Ear
from nares.measure.sound.heard import Heard
from nares.measure.sound.marks import ClickerPrint
from nares.media import open_recording

pytestmark = pytest.mark.shared


def heard(path: Path, clicker: ClickerPrint | None = None) -> Heard:
    ear = Ear(clicker=clicker)
    for part in open_recording(path).play(pictures=False):
        if isinstance(part, SoundBlock):
            ear.hear(part)
    return ear.finish()


@pytest.mark.parametrize("name", ["c1", "c3"])
def test_a_rendered_session_is_heard(shared: Path, name: str) -> None:
    truth: dict[str, Any] = json.loads((shared / f"recordings/{name}.truth.json").read_text("utf-8"))
    answer = heard(shared / f"recordings/{name}.mp4")
    marks = event_scores(truth["mark_s"], [mark.at_s for mark in answer.marks], 0.025)
    inhales = [(span.start_s, span.end_s) for span in answer.inhales]
    assert marks.f1 >= 0.95
    assert abs(marks.bias_s or 1.0) < 0.001
    assert frame_scores(truth["inhale"], inhales, truth["duration"], 0.02).f1 >= 0.70


def test_real_sounds_are_hardly_ever_taken_for_a_known_clicker(shared: Path) -> None:
    scape = draw_session(10_900, length_s=8.0)
    sound = calibration(10_901, scape)
    clicker = learn_clicker([SoundBlock(sound.astype("float32"), 0, 48_000)])
    answers = [heard(path, clicker) for path in sorted((shared / "sounds").glob("*/*.ogg"))]
    minutes = sum(answer.sound_quality.heard_s for answer in answers) / 60
    assert minutes > 4
    assert sum(len(answer.marks) for answer in answers) / minutes <= 1.0
