"""How well a recording is read, on recordings with truth.

    python -m benchmarks.accuracy                        recordings beside the checkout
    python -m benchmarks.accuracy CLIP TRUTH.json ...    these recordings

A lane is a function from a recording and its truth to one line of scores; `LANES` holds them. Marks and
breath on invented sessions, beside generic baselines, are `benchmarks.accuracy_marks` and
`benchmarks.accuracy_breath`.
"""

import argparse
import json
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from nares.base.vocab import Reading, Region, Span
from nares.measure.inputs import SoundBlock
from nares.measure.scoring import event_scores, frame_scores
from nares.measure.sound.ear import Ear
from nares.measure.sound.heard import Heard
from nares.measure.sound.marks import ClickerPrint

SHARED = Path(__file__).resolve().parent.parent.parent / "shared"
FRAME_S = 0.020
Spans = list[tuple[float, float]]
Sound = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Clip:
    """A recording heard, with its truth."""

    name: str
    truth: Mapping[str, Any]
    heard: Heard
    took_s: float
    reading: Reading | None = None


def sound_of(path: Path) -> Iterator[SoundBlock]:
    from nares.media import open_recording

    for part in open_recording(path).play(pictures=False):
        if isinstance(part, SoundBlock):
            yield part


def listen(blocks: Iterator[SoundBlock], clicker: ClickerPrint | None = None) -> tuple[Heard, float]:
    """What is heard, and the seconds of listening alone, without decoding."""
    ear, took_s = None, 0.0
    for block in blocks:
        began = time.process_time()
        ear = ear or Ear(rate_hz=block.rate_hz, clicker=clicker)
        ear.hear(block)
        took_s += time.process_time() - began
    began = time.process_time()
    heard = (ear or Ear()).finish()
    return heard, took_s + time.process_time() - began


def blocks_of(sound: Sound, rate_hz: int = 48_000) -> Iterator[SoundBlock]:
    for first in range(0, sound.size, 48_000):
        yield SoundBlock(sound[first : first + 48_000].astype(np.float32), first, rate_hz)


def spans_of(heard: Heard) -> Spans:
    return [(span.start_s, span.end_s) for span in heard.inhales]


def lane_marks(clip: Clip) -> str:
    found = [mark.at_s for mark in clip.heard.marks]
    wide, narrow = (event_scores(clip.truth["mark_s"], found, window) for window in (0.025, 0.020))
    bias = "none" if wide.bias_s is None else f"{wide.bias_s * 1000:+.2f} ms"
    return f"marks F1 {wide.f1:.3f} within 25 ms, {narrow.f1:.3f} within 20 ms, bias {bias}"


def lane_inhales(clip: Clip) -> str:
    length = clip.heard.sound_quality.heard_s
    scores = frame_scores(clip.truth["inhale"], spans_of(clip.heard), length, FRAME_S)
    level = clip.heard.sound_quality.breath_over_floor_db
    detail = f"P {scores.precision:.3f} R {scores.recall:.3f}, breath at {level} dB"
    return f"intakes frame F1 {scores.f1:.3f} ({detail})"


def lane_speed(clip: Clip) -> str:
    return f"{clip.heard.sound_quality.heard_s / clip.took_s:.0f} x real time on one core, decoding apart"


def lane_nose(clip: Clip) -> str:
    return opening(clip, "nose_in", clip.reading.nose_in if clip.reading else ())


def lane_hand(clip: Clip) -> str:
    return opening(clip, "hand_in", clip.reading.hand_in if clip.reading else ())


def opening(clip: Clip, lane: str, found: Sequence[Span]) -> str:
    if clip.reading is None:
        return "no regions are given with the truth"
    frame_s = 1 / clip.truth["fps"]
    spans = [(span.start_s, span.end_s) for span in found]
    scores = frame_scores(clip.truth[lane], spans, clip.truth["duration"], frame_s)
    entries = event_scores(
        [start for start, _ in clip.truth[lane]], [start for start, _ in spans], 3 * frame_s
    )
    return f"frame F1 {scores.f1:.3f}, entries within 3 frames F1 {entries.f1:.3f}"


def lane_reps(clip: Clip) -> str:
    if clip.reading is None:
        return "no regions are given with the truth"
    true = [start for start, _ in clip.truth["nose_in"]]
    found = [rep.nose_in_s for rep in clip.reading.reps if rep.nose_in_s is not None]
    whole = event_scores(true, found, 0.25)
    return f"{whole.paired} of {whole.true} found, {whole.found - whole.paired} invented"


LANES: dict[str, Callable[[Clip], str]] = {
    "marks": lane_marks,
    "intakes": lane_inhales,
    "nose in": lane_nose,
    "hand in": lane_hand,
    "reps": lane_reps,
    "speed": lane_speed,
}


def recordings(paths: list[Path]) -> Iterator[Clip]:
    listen(blocks_of(np.zeros(48_000)))  # loads what is loaded late
    for clip, truth in zip(paths[::2], paths[1::2], strict=True):
        heard, took_s = listen(sound_of(clip))
        told = json.loads(truth.read_text("utf-8"))
        yield Clip(clip.name, told, heard, took_s, looked_at(clip, told))


def looked_at(clip: Path, truth: Mapping[str, Any]) -> Reading | None:
    """The whole reading, where the truth says where the openings are."""
    from nares.app.measuring import measure_recording

    regions = truth.get("regions")
    if not regions:
        return None
    return measure_recording(clip, front=Region(*regions["front"]), side=Region(*regions["side"]))


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("files", nargs="*", type=Path, help="recording and truth in turn")
    told = asked.parse_args()
    files = told.files or [
        path
        for truth in sorted(SHARED.glob("recordings/*.truth.json"))
        for path in (truth.with_name(truth.name.replace(".truth.json", ".mp4")), truth)
    ]
    for clip in recordings(files):
        for name, lane in LANES.items():
            print(f"{clip.name} {name}: {lane(clip)}")


if __name__ == "__main__":
    main()
