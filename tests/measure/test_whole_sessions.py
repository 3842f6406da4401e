"""Whole sessions through a file: rendered picture and invented sound on one clock, coded as a phone does.

Two sessions that are read without a fault; how often one is not, `benchmarks.accuracy_reps` tells.
"""

from pathlib import Path

import pytest
from tests.generator.filed import write
from tests.generator.filmed import filmed

from nares.app.measuring import measure_recording


@pytest.mark.parametrize(("condition", "seed"), [("low", 30_001), ("hand-held", 30_001)])
def test_every_rep_is_found_and_none_invented(condition: str, seed: int, tmp_path: Path) -> None:
    session = filmed(seed, condition)
    front, side = session.scene.regions
    reading = measure_recording(write(session, tmp_path / "session.mp4"), front=front, side=side)
    assert len(reading.reps) == len(session.reps)
    for rep, true in zip(reading.reps, session.reps, strict=True):
        assert rep.ended_by == true.ended_by
        assert rep.mark_s == (None if true.mark_s is None else pytest.approx(true.mark_s, abs=0.02))
        if true.nose_in_s:
            assert rep.nose_in_s == pytest.approx(true.nose_in_s, abs=0.15)
        if rep.hold_s is not None and rep.ended_by == "mark" and true.nose_in_s and true.mark_s:
            assert rep.hold_s == pytest.approx(true.mark_s - true.nose_in_s, abs=0.15)
            assert 0.01 < rep.within_s["hold_s"] < 0.3
