"""The invented sessions that listening is learned from, heard once and kept: what both recipes start with.

Seeds 1 to 9,999 are learned from; every figure quoted anywhere comes from seeds of 10,000 and up. No
recording takes part.
"""

import pickle
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from tests.generator.noises import BEDS, EVENTS
from tests.generator.rooms import through_phone
from tests.generator.sessions import calibration, draw_session

from nares.measure.inputs import SoundBlock
from nares.measure.sound.bands import band_levels
from nares.measure.sound.snaps import Snaps, find_snaps, join_snaps, without_echoes
from nares.measure.sound.stream import Stretches


@dataclass(frozen=True, slots=True)
class Lesson:
    """What was heard of one session and of its clicker, and the truth."""

    snaps: Snaps
    levels: NDArray[np.float16]
    print_snaps: Snaps
    marks_s: list[float]
    releases_s: list[float]
    inhales: list[tuple[float, float]]
    pants: list[tuple[float, float]]
    about: dict[str, float | str | None]


def listen(sound: NDArray[np.float64]) -> tuple[Snaps, NDArray[np.float16]]:
    stretches = Stretches(48_000)
    parts = list(stretches.add(SoundBlock(sound.astype(np.float32), 0, 48_000))) + list(stretches.rest())
    snaps = without_echoes(join_snaps([find_snaps(part) for part in parts]))
    return snaps, np.concatenate([band_levels(p) for p in parts])


def lesson(seed: int) -> Lesson:
    chance = np.random.default_rng(seed + 500_000)
    kinds = [kind for kind in EVENTS if chance.random() < 0.6]
    about: dict[str, float | str | None] = {
        "click_db": None if chance.random() < 0.12 else chance.uniform(12, 46),
        "breath_db": None if chance.random() < 0.5 else chance.uniform(-3, 28),
        "bed": str(chance.choice(list(BEDS))) if chance.random() < 0.65 else None,
        "a_minute": float(chance.choice([4.0, 15.0, 40.0])),
        "bed_db": chance.uniform(-5, 25),
        "length_s": float(chance.choice([6.0, 15.0, 30.0, 30.0])),
    }
    scape = draw_session(
        seed,
        length_s=float(about["length_s"] or 0),
        click_db=about["click_db"],  # type: ignore[arg-type]
        breath_db=about["breath_db"],  # type: ignore[arg-type]
        events=tuple(kinds),
        events_a_minute=float(about["a_minute"] or 0),
        bed=about["bed"],  # type: ignore[arg-type]
        bed_db=float(about["bed_db"] or 0),
    )
    phone = str(chance.choice(["plain", "codec", "narrow", "clipped", "gain"], p=[0.45, 0.25, 0.1, 0.1, 0.1]))
    about["phone"] = phone
    snaps, levels = listen(through_phone(chance, scape.sound, phone))
    told = through_phone(chance, calibration(seed + 700_000, scape), phone)
    print_snaps, _ = listen(told if scape.click_scale else told[:1000])
    return Lesson(
        snaps, levels, print_snaps, scape.marks_s, scape.releases_s, scape.inhales, scape.pants, about
    )


def lessons(keep: Path | None, count: int) -> list[Lesson]:
    if keep is not None and keep.exists():
        return list(pickle.loads(keep.read_bytes()))
    made = [lesson(seed) for seed in range(1, count + 1)]
    if keep is not None:
        keep.write_bytes(pickle.dumps(made))
    return made
