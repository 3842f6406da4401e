"""The invented sessions that breath is learned from, heard once and kept.

Seeds 1 to 9,999 are learned from; figures come from seeds of 10,000 and up. No recording takes part.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from tests.generator.noises import BEDS, EVENTS
from tests.generator.sessions import Soundscape
from tests.generator.sniffing import PHONES, draw_sniffing

from nares.measure.inputs import SoundBlock
from nares.measure.sound.bands import HOP_S, Frames, band_levels
from nares.measure.sound.stream import Stretches

Spans = list[tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Sniffed:
    """What was heard of one session, shape (t, 15), and where the dog drew in, sniffed and panted. [s]"""

    levels: Frames
    inhales: Spans
    bouts: Spans
    pants: Spans


def heard(scape: Soundscape) -> Sniffed:
    stretches = Stretches(48_000)
    block = SoundBlock(scape.sound.astype(np.float32), 0, 48_000)
    levels = np.concatenate([band_levels(part) for part in [*stretches.add(block), *stretches.rest()]])
    return Sniffed(levels[: scape.sound.size // 240], scape.inhales, scape.bouts, scape.pants)


def any_session(seed: int) -> Soundscape:
    """Any session: two in three with a sniffing dog, at any level, among any disturbance."""
    chance = np.random.default_rng(seed + 600_000)
    has_dog = chance.random() < 0.67
    return draw_sniffing(
        seed,
        length_s=float(chance.choice([15.0, 24.0, 30.0] if has_dog else [6.0, 10.0, 20.0])),
        breath_db=chance.uniform(-4, 26) if has_dog else None,
        click_db=None if chance.random() < 0.15 else chance.uniform(12, 46),
        events=tuple(kind for kind in EVENTS if chance.random() < 0.6),
        events_a_minute=float(chance.choice([0.0, 4.0, 15.0, 30.0])),
        talk=float(chance.choice([0.0, 0.0, chance.uniform(0, 0.6)])),
        rubs_a_minute=float(chance.choice([0.0, 2.0, 8.0])),
        bed=str(chance.choice(list(BEDS))) if chance.random() < (0.3 if has_dog else 0.8) else None,
        bed_db=chance.uniform(-5, 12 if has_dog else 30),
        pants=int(chance.integers(0, 5)) if has_dog or chance.random() < 0.3 else 0,
        phone=str(chance.choice(PHONES, p=[0.35, 0.25, 0.15, 0.1, 0.05, 0.1])),
    )


def lessons(keep: Path, seeds: range) -> Iterator[Sniffed]:
    """The sessions of these seeds; what was heard of each is kept in a folder."""
    keep.mkdir(parents=True, exist_ok=True)
    for seed in seeds:
        file = keep / f"{seed}.npz"
        if not file.exists():
            one = heard(any_session(seed))
            np.savez(
                file,
                levels=one.levels,
                inhales=np.array(one.inhales),
                bouts=np.array(one.bouts),
                pants=np.array(one.pants),
            )
        kept = np.load(file)
        spans = [
            [(float(a), float(b)) for a, b in kept[name].reshape(-1, 2)] for name in Sniffed.__slots__[1:]
        ]
        yield Sniffed(kept["levels"], *spans)


def kinds_of(one: Sniffed) -> NDArray[np.float32]:
    """The true share of each kind in each frame: something else, drawing in, other sniffing, panting."""
    frames = one.levels.shape[0]
    drawn, sniffed, panted = (_share(spans, frames) for spans in (one.inhales, one.bouts, one.pants))
    sniffed = np.clip(np.maximum(sniffed, drawn) - drawn, 0, 1)
    panted = np.clip(panted, 0, 1 - drawn - sniffed)
    return np.stack([1 - drawn - sniffed - panted, drawn, sniffed, panted], axis=1).astype(np.float32)


def _share(spans: Spans, frames: int) -> NDArray[np.float64]:
    edges, total = np.arange(frames + 1) * HOP_S, np.zeros(frames + 1)
    for start, end in spans:
        total += np.clip(edges, start, end) - start
    return np.clip(np.diff(total) / HOP_S, 0, 1)
