"""How well breath is heard: intakes, bouts and certainty on invented sessions nothing learned from.

    python -m benchmarks.accuracy_breath                 all of it
    python -m benchmarks.accuracy_breath --sessions N    more or fewer sessions a level (12 unless told)
    python -m benchmarks.accuracy_breath --first N       sessions from seed N on (30,000 unless told)

Beside the intakes stands a plain threshold: 2 to 12 kHz at 6 dB over its floor. Frames are 20 ms; a frame
counts by its middle. An intake heard is true when it shares at least half of what it and a true one cover.
"""

import argparse
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from tests.generator.noises import BEDS
from tests.generator.sessions import Soundscape, draw_session
from tests.generator.sniffing import draw_sniffing

from nares.base.vocab import Span
from nares.measure.inputs import SoundBlock
from nares.measure.sound.air import excess
from nares.measure.sound.bands import HOP_S, Frames, band_levels
from nares.measure.sound.breath import Breath, hear_breath
from nares.measure.sound.stream import Stretches

SHARED = Path(__file__).resolve().parent.parent.parent / "shared"
FRAME_S = 0.020
BINS = 10
Spans = Sequence[tuple[float, float]]
Sound = NDArray[np.floating]


@dataclass(slots=True)
class Tally:
    """Frames that were so, were said to be, and both."""

    true: int = 0
    found: int = 0
    both: int = 0

    def add(self, was: NDArray[np.bool_], said: NDArray[np.bool_]) -> None:
        """Count one session in."""
        self.true, self.found = self.true + int(was.sum()), self.found + int(said.sum())
        self.both += int((was & said).sum())

    @property
    def f1(self) -> float:
        """Agreement, 1 where nothing was and nothing was said."""
        return 2 * self.both / (self.true + self.found) if self.true + self.found else 1.0


@dataclass(slots=True)
class Level:
    """What one level of breath came to."""

    intakes: Tally = field(default_factory=Tally)
    plain: Tally = field(default_factory=Tally)
    edges_alone: Tally = field(default_factory=Tally)
    finding_alone: Tally = field(default_factory=Tally)
    pants: Tally = field(default_factory=Tally)
    measured: int = 0
    level_db: list[float] = field(default_factory=list)


def levels_of(sound: Sound, rate_hz: int = 48_000) -> Frames:
    stretches = Stretches(rate_hz)
    block = SoundBlock(np.asarray(sound, dtype=np.float32), 0, rate_hz)
    levels = np.concatenate([band_levels(part) for part in [*stretches.add(block), *stretches.rest()]])
    return levels[: int(sound.size / rate_hz / HOP_S)]


def on(spans: Spans, length_s: float) -> NDArray[np.bool_]:
    middles = (np.arange(int(length_s / FRAME_S + 1e-6)) + 0.5) * FRAME_S
    is_on = np.zeros(middles.size, dtype=bool)
    for start, end in spans:
        is_on[np.searchsorted(middles, start) : np.searchsorted(middles, end)] = True
    return is_on


def loud(levels: Frames) -> Spans:
    risen = excess(levels)[:, 8:14].mean(axis=1) * 10
    return [(float(k) * HOP_S, float(k + 1) * HOP_S) for k in np.flatnonzero(risen > 6.0)]


def edges(spans: Sequence[Span]) -> Spans:
    return [(span.start_s, span.end_s) for span in spans]


def partners(true: Spans, found: Spans) -> dict[int, int]:
    """For each true intake the found one that shares at least half of what both cover."""
    pairs = {}
    for i, (start, end) in enumerate(true):
        for j, (first, last) in enumerate(found):
            if min(end, last) - max(start, first) >= 0.5 * (max(end, last) - min(start, first)):
                pairs[i] = j
    return pairs


def count(into: Level, scape: Soundscape, breath: Breath, levels: Frames) -> None:
    length_s, found = scape.sound.size / 48_000, edges(breath.inhales)
    pairs = partners(scape.inhales, found)
    was = on(scape.inhales, length_s)
    into.intakes.add(was, on(found, length_s))
    into.plain.add(was, on(loud(levels), length_s))
    with_truth = [found[pairs[i]] if i in pairs else span for i, span in enumerate(scape.inhales)]
    into.edges_alone.add(was, on(with_truth, length_s))
    extra = [span for j, span in enumerate(found) if j not in pairs.values()]
    into.finding_alone.add(was, on([*(scape.inhales[i] for i in pairs), *extra], length_s))
    pants = on(scape.pants, length_s) & ~on(scape.bouts, length_s)
    into.pants.add(pants, on(edges_of_bouts(breath), length_s))
    into.measured += bool(breath.inhales)
    if breath.over_floor_db is not None:
        into.level_db.append(breath.over_floor_db)


def edges_of_bouts(breath: Breath) -> Spans:
    return [(bout.start_s, bout.end_s) for bout in breath.bouts]


def by_level(
    name: str, draw: Callable[..., Soundscape], seeds: range, levels_db: Sequence[float]
) -> list[tuple[Soundscape, Breath]]:
    print(f"\n{name}: intakes, frame F1 (20 ms), by level of the bouts over the background, 1 to 8 kHz")
    print("    dB  heard     P     R  plain | true edges  true finding | pants  measured  level read")
    every = []
    for level_db in levels_db:
        tally = Level()
        for seed in seeds:
            scape = draw(seed, breath_db=level_db)
            levels = levels_of(scape.sound)
            breath = hear_breath(levels)
            count(tally, scape, breath, levels)
            if level_db >= 3:
                every.append((scape, breath))
        print(line(level_db, tally, len(seeds)), flush=True)
    return every


def line(level_db: float, tally: Level, sessions: int) -> str:
    heard = tally.intakes
    read = f"{np.median(tally.level_db):5.1f}" if tally.level_db else "    -"
    return (
        f"{level_db:6.0f} {heard.f1:6.3f} {heard.both / max(heard.found, 1):5.3f} "
        f"{heard.both / max(heard.true, 1):5.3f} {tally.plain.f1:6.3f} | {tally.finding_alone.f1:10.3f} "
        f"{tally.edges_alone.f1:13.3f} | {tally.pants.both / max(tally.pants.true, 1):5.3f} "
        f"{tally.measured:5d}/{sessions:<3d} {read:>8}"
    )


def reliability(every: Sequence[tuple[Soundscape, Breath]]) -> None:
    """Of the intakes given a chance, how many are true; and of true edges, how many lie where said."""
    sure, true, inside = [], [], []
    for scape, breath in every:
        pairs = partners(scape.inhales, edges(breath.inhales))
        sure += [span.sure for span in breath.inhales]
        true += [j in set(pairs.values()) for j in range(len(breath.inhales))]
        for i, j in pairs.items():
            span, (start, end) = breath.inhales[j], scape.inhales[i]
            inside.append(abs(span.start_s - start) <= (span.start_within_s or 0))
            inside.append(abs(span.end_s - end) <= (span.end_within_s or 0))
    print("\nreliability of `sure` of an intake:  said  true    n")
    said, was = np.array(sure), np.array(true)
    which, error = np.minimum((said * BINS).astype(int), BINS - 1), 0.0
    for k in range(BINS):
        here = which == k
        if here.any():
            error += here.mean() * abs(said[here].mean() - was[here].mean())
            print(f"{'':35} {said[here].mean():5.2f} {was[here].mean():5.2f} {here.sum():5d}")
    print(f"expected calibration error {error:.3f} over {said.size} intakes")
    print(f"edges inside their 95 % interval: {np.mean(inside):.3f}")


def noises(seeds: range) -> None:
    print("\ninvented noise without a dog, share of time called sniffing (10 dB over the background)")
    for bed in BEDS:
        said = [
            bout_share(draw_sniffing(seed, breath_db=None, bed=bed, bed_db=10.0, pants=0).sound)
            for seed in seeds
        ]
        print(f"{bed:>15} {np.mean(said):.3f}")


def bout_share(sound: Sound, rate_hz: int = 48_000) -> float:
    breath = hear_breath(levels_of(sound, rate_hz))
    return sum(bout.end_s - bout.start_s for bout in breath.bouts) / (sound.size / rate_hz)


def real_noises(folder: Path) -> None:
    from nares.media import open_recording

    print("\nreal sounds without a dog that sniffs, share of time called sniffing")
    for kind in sorted(path for path in folder.iterdir() if path.is_dir()):
        said = []
        for clip in sorted(kind.glob("*.ogg")):
            blocks = [b for b in open_recording(clip).play(pictures=False) if isinstance(b, SoundBlock)]
            said.append(bout_share(np.concatenate([b.samples for b in blocks]), blocks[0].rate_hz))
        print(f"{kind.name:>15} {np.mean(said):.3f}")


def speed() -> None:
    sound = np.tile(draw_sniffing(29_999).sound, 10)
    levels_of(sound[:96_000])
    began = time.process_time()
    hear_breath(levels_of(sound))
    took_s, length_s = time.process_time() - began, sound.size / 48_000
    print(f"\nbreath alone: {length_s / took_s:.0f} x real time on one core")


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--sessions", type=int, default=12)
    asked.add_argument("--first", type=int, default=30_000)
    told = asked.parse_args()
    sessions = told.sessions
    seeds, levels_db = (
        range(told.first, told.first + sessions),
        (-12.0, -6.0, -3.0, 0.0, 3.0, 6.0, 12.0, 20.0),
    )
    every = by_level("sniffing and panting", draw_sniffing, seeds, levels_db)
    seeds = range(told.first + 500, told.first + 500 + sessions)
    every += by_level("box sessions with many loud sounds", draw_session, seeds, (6.0, 12.0, 20.0))
    reliability(every)
    noises(range(told.first + 800, told.first + 800 + max(sessions // 3, 2)))
    if (SHARED / "sounds").is_dir():
        real_noises(SHARED / "sounds")
    speed()


if __name__ == "__main__":
    main()
