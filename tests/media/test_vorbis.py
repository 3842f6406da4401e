"""Ogg Vorbis: stamps that waver from block to block are no holes in the sound."""

from pathlib import Path

import pytest

from nares.measure.inputs import SoundBlock
from nares.media import open_recording


@pytest.mark.shared
@pytest.mark.parametrize("name", ["clock-tick/1-21934-A", "dog-bark/1-100032-A", "rain/1-17367-A"])
def test_a_whole_recording_has_no_holes(shared: Path, name: str) -> None:
    with open_recording(shared / "sounds" / f"{name}.ogg") as recording:
        blocks = [piece for piece in recording.play() if isinstance(piece, SoundBlock)]
        facts = recording.facts()
    ends = [block.first + len(block.samples) for block in blocks]
    assert [block.first for block in blocks[1:]] == ends[:-1]
    assert ends[-1] == pytest.approx(5.0 * 48000, abs=480)
    assert facts.notes == ("no pictures",)
