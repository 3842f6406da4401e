"""The two recordings with ground truth: nose, hand and reps against what was scripted."""

import json
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from nares.base.vocab import Mark, MeasuredRep, Region, Span
from nares.measure.inputs import Picture
from nares.measure.picture.eye import Eye, Watched
from nares.measure.reps import assemble_reps
from nares.media.recording import open_recording

pytestmark = pytest.mark.shared


@dataclass(frozen=True)
class Clip:
    truth: dict[str, Any]
    seen: Watched
    at_s: tuple[float, ...]


@cache
def measured(folder: Path, name: str) -> Clip:
    truth = json.loads((folder / f"{name}.truth.json").read_text())
    eye = Eye(Region(*truth["regions"]["front"]), Region(*truth["regions"]["side"]))
    times = []
    with open_recording(folder / f"{name}.mp4") as recording:
        for piece in recording.play(sound=False):
            assert isinstance(piece, Picture)
            eye.see(piece)
            times.append(piece.at.seconds)
    return Clip(truth, eye.finish(), tuple(times))


def frame_f1(found: tuple[Span, ...], truth: list[list[float]], at_s: tuple[float, ...]) -> float:
    at = np.array(at_s)
    seen = np.any([(at >= s.start_s) & (at <= s.end_s) for s in found], axis=0)
    true = np.any([(at >= a) & (at <= b) for a, b in truth], axis=0)
    return 2 * int((seen & true).sum()) / int(seen.sum() + true.sum())


def reps_of(clip: Clip) -> tuple[MeasuredRep, ...]:
    """Reps from the scripted marks, so that only the picture is on trial."""
    return assemble_reps(
        marks=[Mark(at, 1.0) for at in clip.truth["mark_s"]],
        inhales=[Span(a, b, 1.0) for a, b in clip.truth["inhale"]],
        bouts=None,
        nose_in=clip.seen.nose_in,
        hand_in=clip.seen.hand_in,
        duration_s=clip.truth["duration"],
    )


@pytest.mark.parametrize("name", ["c1", "c3"])
def test_nose_and_hand_frames_agree_with_the_script(shared: Path, name: str) -> None:
    clip = measured(shared / "recordings", name)
    assert frame_f1(clip.seen.nose_in, clip.truth["nose_in"], clip.at_s) >= 0.97
    assert frame_f1(clip.seen.hand_in, clip.truth["hand_in"], clip.at_s) >= 0.97
    assert clip.seen.lost == ()


@pytest.mark.parametrize("name", ["c1", "c3"])
def test_every_edge_of_the_nose_is_within_three_frames(shared: Path, name: str) -> None:
    clip = measured(shared / "recordings", name)
    assert len(clip.seen.nose_in) == len(clip.truth["nose_in"])
    for span, (start, end) in zip(clip.seen.nose_in, clip.truth["nose_in"], strict=True):
        assert abs(span.start_s - start) <= 3 / clip.truth["fps"]
        assert abs(span.end_s - end) <= 3 / clip.truth["fps"]


@pytest.mark.parametrize("name", ["c1", "c3"])
def test_every_scripted_rep_is_found_and_ended_as_scripted(shared: Path, name: str) -> None:
    clip = measured(shared / "recordings", name)
    found = reps_of(clip)
    scripted = [rep for rep in clip.truth["reps"] if rep.get("nose") != []]
    assert len(found) == len(scripted)
    for rep, script in zip(found, scripted, strict=True):
        assert rep.ended_by == ("dog" if script["mark"] is None else "mark")
        assert rep.mark_s == script["mark"]


def test_pay_is_seen_where_the_hand_goes_in_and_not_where_it_stays(shared: Path) -> None:
    entering, staying = (measured(shared / "recordings", name) for name in ("c1", "c3"))
    paid = [rep for rep in reps_of(entering) if rep.mark_s is not None]
    assert len(paid) == len(entering.truth["hand_in"])
    for rep, (start, _) in zip(paid, entering.truth["hand_in"], strict=True):
        assert rep.pay_s == pytest.approx(start, abs=0.1)
    assert all(rep.pay_s is None and rep.pay_place == "inside" for rep in reps_of(staying))
