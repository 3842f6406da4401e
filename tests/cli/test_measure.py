"""``nares measure`` keeps its promise to other programs: keys, kinds of values, and how well it does."""

import json
import wave
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from tests.cli.conftest import Run

from nares.measure.scoring import event_scores, frame_scores

TOP = {"nares", "schema", "recording", "marks", "inhales", "nose_in", "hand_in", "reps"}
RECORDING = {"duration_s", "frames_per_s", "sha256", "streams", "notes"}
SPAN = {"start_s", "end_s", "sure"}
REP = {
    "rep",
    "nose_in_s",
    "nose_out_s",
    "mark_s",
    "mark_delay_s",
    "hold_s",
    "ended_by",
    "inhales_before_mark",
    "sniffing_at_mark",
    "inhaling_at_mark",
    "pay_s",
    "pay_delay_s",
    "pay_place",
}
THREE = {"yes", "no", "unclear"}


def measured(nares: Run, clip: Path, truth: dict[str, Any]) -> dict[str, Any]:
    regions = {name: ",".join(map(str, numbers)) for name, numbers in truth["regions"].items()}
    said = nares("measure", clip, "--front", regions["front"], "--side", regions["side"], "--json", "-")
    assert said.code == 0, said.err
    told: dict[str, Any] = json.loads(said.out)
    return told


def require_contract(told: dict[str, Any]) -> None:
    assert told.keys() >= TOP
    assert told["schema"] == "measure/1"
    assert told["recording"].keys() == RECORDING
    assert all(mark.keys() >= {"at_s", "sure"} for mark in told["marks"])
    for lane in ("inhales", "nose_in", "hand_in"):
        assert all(span.keys() >= SPAN and span["start_s"] <= span["end_s"] for span in told[lane])
        assert all(0 <= span["sure"] <= 1 for span in told[lane])
    for number, rep in enumerate(told["reps"], start=1):
        assert rep.keys() >= REP
        assert rep["rep"] == number
        assert rep["ended_by"] in {"mark", "dog", "unknown"}
        assert {rep["sniffing_at_mark"], rep["inhaling_at_mark"]} <= THREE
        assert rep["hold_s"] is None or rep["hold_s"] >= 0


@pytest.mark.shared
@pytest.mark.parametrize("name", ["c1", "c3"])
def test_a_recording_with_truth_is_read_as_well_as_promised(nares: Run, shared: Path, name: str) -> None:
    folder = shared / "recordings"
    truth = json.loads((folder / f"{name}.truth.json").read_text(encoding="utf-8"))
    told = measured(nares, folder / f"{name}.mp4", truth)
    require_contract(told)

    def spans(lane: str) -> list[tuple[float, float]]:
        return [(span["start_s"], span["end_s"]) for span in told[lane]]

    length, frame_s = truth["duration"], 1 / truth["fps"]
    assert event_scores(truth["mark_s"], [mark["at_s"] for mark in told["marks"]], 0.025).f1 >= 0.95
    assert frame_scores(truth["nose_in"], spans("nose_in"), length, frame_s).f1 >= 0.90
    assert frame_scores(truth["hand_in"], spans("hand_in"), length, frame_s).f1 >= 0.95
    assert frame_scores(truth["inhale"], spans("inhales"), length, 0.02).f1 >= 0.70
    assert len(told["reps"]) == len(truth["nose_in"])


def test_the_demo_recording_without_regions_gives_what_sound_alone_can(nares: Run) -> None:
    from nares.demo.scenario import recording

    said = nares("measure", recording(), "--json", "-")
    told = json.loads(said.out)
    require_contract(told)
    assert len(told["marks"]) == 14
    assert told["nose_in"] == told["hand_in"] == []
    assert all(rep["nose_in_s"] is None and rep["hold_s"] is None and rep["notes"] for rep in told["reps"])


def test_an_answer_to_a_file_is_whole_and_said_in_words_too(nares: Run, tmp_path: Path) -> None:
    from nares.demo.scenario import recording

    said = nares("measure", recording(), "--json", "out.json")
    require_contract(json.loads((tmp_path / "out.json").read_text(encoding="utf-8")))
    assert "14 marks" in said.out
    assert not list(tmp_path.glob("*.part"))


def test_parts_and_a_second_phone_are_told_in_the_answer_and_a_single_file_says_nothing_of_them(
    nares: Run, tmp_path: Path
) -> None:
    paths = [tmp_path / name for name in ("a.wav", "b.wav")]
    for number, path in enumerate(paths):
        hiss = np.random.default_rng(number).normal(0, 40, 2 * 48_000).astype("<i2")
        with wave.open(str(path), "wb") as out:
            out.setparams((1, 2, 48_000, 0, "NONE", "none"))
            out.writeframes(hiss.tobytes())
    said = nares("measure", paths[0], "--then", paths[1], "--json", "-")
    assert said.code == 0, said.err
    recording = json.loads(said.out)["recording"]
    assert recording.keys() == RECORDING | {"parts"}
    assert [part["name"] for part in recording["parts"]] == ["a.wav", "b.wav"]
    assert recording["parts"][1]["start_s"] == pytest.approx(2.0, abs=0.002)
    assert recording["duration_s"] == pytest.approx(4.0, abs=0.01)
    alone = nares("measure", paths[0], "--json", "-")
    assert json.loads(alone.out)["recording"].keys() == RECORDING
    refused = nares("measure", paths[0], "--beside", paths[1])
    assert refused.code == 3
    assert "No mark of b.wav agrees" in refused.err
    twice = nares("measure", paths[0], "--then", paths[0])
    assert twice.code == 2
    assert "a.wav is given twice" in twice.err
