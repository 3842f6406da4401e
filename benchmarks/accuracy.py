"""How well listening does: on recordings with truth, and on invented sessions by level of noise.

    python -m benchmarks.accuracy                        recordings beside the checkout, then invented ones
    python -m benchmarks.accuracy CLIP TRUTH.json ...    these recordings
    python -m benchmarks.accuracy --quick                fewer invented sessions

A lane is a function from a recording and its truth to one line of scores; `LANES` holds them. A generic
onset detector (spectral flux with a running median) stands beside the marks for comparison. Breath on
invented sessions is `benchmarks.accuracy_breath`. Invented sessions use seeds of 10,000 and up, which nothing
learned from.
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
from tests.generator.noises import BEDS
from tests.generator.sessions import Soundscape, calibration, draw_session

from nares.base.vocab import Reading, Region, Span
from nares.measure.inputs import SoundBlock
from nares.measure.scoring import event_scores, frame_scores, pair_events
from nares.measure.sound.clicker import learn_clicker
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


# Baselines ------------------------------------------------------------------------------------------


def flux_onsets(sound: Sound) -> list[float]:
    """A generic onset detector: positive change of the log spectrum over a running median."""
    frames = np.lib.stride_tricks.sliding_window_view(sound, 1024)[::256] * np.hanning(1024)
    spectrum = np.log1p(1000 * np.abs(np.fft.rfft(frames, axis=1)))
    flux = np.maximum(np.diff(spectrum, axis=0), 0).sum(axis=1)
    from scipy.ndimage import maximum_filter1d, median_filter

    high = (flux >= maximum_filter1d(flux, 11)) & (flux > 2.5 * median_filter(flux, 61) + 1e-6)
    return [float((k + 1) * 256 + 512) / 48_000 for k in np.flatnonzero(high)]


# Invented sessions ----------------------------------------------------------------------------------


@dataclass(slots=True)
class Tally:
    """Counts of true, found and both over several sessions."""

    true: int = 0
    found: int = 0
    both: int = 0

    def add(self, true: int, found: int, both: int) -> None:
        """Count one session in."""
        self.true, self.found, self.both = self.true + true, self.found + found, self.both + both

    def __str__(self) -> str:
        return f"{2 * self.both / max(self.true + self.found, 1):.3f}"


def add_events(tally: Tally, true: list[float], found: list[float]) -> None:
    tally.add(len(true), len(found), len(pair_events(true, found, 0.020)))


def marks_by_level(sessions: int) -> None:
    print("\nmarks, F1 within 20 ms, by level of the click over the background (other sounds: 14 a minute)")
    print(f"{'click dB':>9} {'print':>7} {'no print':>9} {'flux':>7}")
    for level in (10.0, 20.0, 30.0, 40.0):
        told, untold, flux = Tally(), Tally(), Tally()
        for seed in range(10_000, 10_000 + sessions):
            scape = draw_session(seed, length_s=30.0, click_db=level)
            add_events(flux, scape.marks_s, flux_onsets(scape.sound))
            heard, _ = listen(blocks_of(scape.sound))
            add_events(untold, scape.marks_s, [mark.at_s for mark in heard.marks])
            heard, _ = listen(blocks_of(scape.sound), print_of(scape, seed))
            add_events(told, scape.marks_s, [mark.at_s for mark in heard.marks])
        print(f"{level:9.0f} {told!s:>7} {untold!s:>9} {flux!s:>7}")


def marks_by_noise(sessions: int) -> None:
    print(
        "\nmarks, F1 within 20 ms, click at 30 dB, by what lies under the session (10 dB over the background)"
    )
    for bed in (*BEDS, None):
        told, untold = Tally(), Tally()
        for seed in range(11_000, 11_000 + sessions):
            scape = draw_session(seed, length_s=30.0, click_db=30.0, bed=bed)
            heard, _ = listen(blocks_of(scape.sound))
            add_events(untold, scape.marks_s, [mark.at_s for mark in heard.marks])
            heard, _ = listen(blocks_of(scape.sound), print_of(scape, seed))
            add_events(told, scape.marks_s, [mark.at_s for mark in heard.marks])
        print(f"{bed or 'nothing':>9} print {told} no print {untold}")


def print_of(scape: Soundscape, seed: int) -> ClickerPrint | None:
    from nares.base.errors import NotEnoughData

    try:
        return learn_clicker(blocks_of(calibration(seed + 1, scape)))
    except NotEnoughData:
        return None


# Real sounds without a marker -----------------------------------------------------------------------


def false_alarms(folder: Path) -> None:
    scape = draw_session(10_900, length_s=8.0)
    clicker = print_of(scape, 10_900)
    print(
        "\nreal sounds, no marker, no dog: false marks a minute (print / none), share of time called sniffing"
    )
    told = untold = minutes = 0.0
    for kind in sorted(path for path in folder.iterdir() if path.is_dir()):
        counts, sniffed, length = [0, 0], 0.0, 0.0
        for clip in sorted(kind.glob("*.ogg")):
            first, _ = listen(sound_of(clip), clicker)
            second, _ = listen(sound_of(clip))
            counts[0] += len(first.marks)
            counts[1] += len(second.marks)
            sniffed += sum(bout.end_s - bout.start_s for bout in second.bouts)
            length += second.sound_quality.heard_s
        each = [count * 60 / length for count in counts]
        print(f"{kind.name:>15} {each[0]:5.1f} {each[1]:5.1f}   {sniffed / length:.3f}")
        told, untold, minutes = told + counts[0], untold + counts[1], minutes + length / 60
    print(f"{'all':>15} {told / minutes:5.2f} {untold / minutes:5.2f}")


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("files", nargs="*", type=Path, help="recording and truth in turn")
    asked.add_argument("--quick", action="store_true")
    told = asked.parse_args()
    files = told.files or [
        path
        for truth in sorted(SHARED.glob("recordings/*.truth.json"))
        for path in (truth.with_name(truth.name.replace(".truth.json", ".mp4")), truth)
    ]
    for clip in recordings(files):
        for name, lane in LANES.items():
            print(f"{clip.name} {name}: {lane(clip)}")
    sessions = 4 if told.quick else 12
    marks_by_level(sessions)
    marks_by_noise(max(sessions // 3, 2))
    if (SHARED / "sounds").is_dir():
        false_alarms(SHARED / "sounds")


if __name__ == "__main__":
    main()
