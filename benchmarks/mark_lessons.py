"""The invented sessions that marks are learned from, as a phone recorded them: sound and truth, in files.

Seeds 1 to 9,999 are learned from; every figure quoted anywhere comes from seeds of 10,000 and up. No
recording takes part.

    python -m benchmarks.mark_lessons FOLDER --from 1 --to 563      draw sessions into FOLDER
"""

import argparse
import pickle
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from tests.generator.noises import BEDS, EVENTS, IMPACTS
from tests.generator.phones import through_phone
from tests.generator.sessions import calibration, draw_session

PHONES = {
    "plain": 0.30, "aac": 0.25, "codec": 0.08, "narrow": 0.07, "clipped": 0.12, "gain": 0.08, "quiet": 0.10
}  # fmt: skip
Steps = NDArray[np.int16]


@dataclass(frozen=True, slots=True)
class MarkLesson:
    """One session as recorded (16 bits), a recording of its clicker alone, and the truth.

    ``start_block``: it begins with two quiet seconds and four marks. ``clicks``: its clicker is heard at all.
    """

    sound: Steps
    told: Steps
    marks_s: list[float]
    releases_s: list[float]
    start_block: bool
    clicks: bool
    about: dict[str, object]


def mark_lesson(seed: int) -> MarkLesson:
    """Draw one session: any clicker, room, noise, phone and level."""
    chance = np.random.default_rng(seed + 500_000)
    kinds = [kind for kind in (*EVENTS, *IMPACTS) if chance.random() < 0.5]
    click_db = None if chance.random() < 0.1 else chance.uniform(13, 40)
    breath_db = None if chance.random() < 0.5 else chance.uniform(-3, 22)
    bed = str(chance.choice(list(BEDS))) if chance.random() < 0.5 else None
    chatter_db = chance.uniform(-3, 14) if chance.random() < 0.3 else None
    start_block = bool(chance.random() < 0.5)
    scape = draw_session(
        seed,
        length_s=float(chance.choice([15.0, 25.0, 35.0])),
        click_db=click_db,
        breath_db=breath_db,
        events=tuple(kinds),
        events_a_minute=float(chance.choice([4.0, 12.0, 30.0])),
        bed=bed,
        bed_db=chance.uniform(-5, 20),
        start_block=start_block,
        moving=bool(chance.random() < 0.3),
        chatter_db=chatter_db,
    )
    phone = str(chance.choice(list(PHONES), p=list(PHONES.values())))
    told = np.zeros(1000)
    if click_db is not None:
        told = calibration(seed + 700_000, scape, moved=bool(chance.random() < 0.3))
        told = through_phone(chance, told, phone)
    about: dict[str, object] = {
        "seed": seed, "click_db": click_db, "breath_db": breath_db, "bed": bed, "chatter_db": chatter_db,
        "phone": phone,
    }  # fmt: skip
    return MarkLesson(
        _steps(through_phone(chance, scape.sound, phone)), _steps(told), scape.marks_s, scape.releases_s,
        start_block and click_db is not None, click_db is not None, about,
    )  # fmt: skip


def _steps(sound: NDArray[np.float64]) -> Steps:
    return np.round(np.clip(sound, -1.0, 1.0) * 32_767).astype(np.int16)


def draw_lessons(folder: Path, first: int, last: int) -> None:
    """Draw sessions into a folder, one file each; those already there are left."""
    folder.mkdir(parents=True, exist_ok=True)
    for seed in range(first, last + 1):
        file = folder / f"{seed:05d}.pickle"
        if not file.exists():
            file.write_bytes(pickle.dumps(mark_lesson(seed)))


def kept_lessons(folder: Path) -> Iterator[MarkLesson]:
    """The sessions of a folder, by seed."""
    for file in sorted(folder.glob("*.pickle")):
        yield pickle.loads(file.read_bytes())


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("folder", type=Path)
    asked.add_argument("--from", dest="first", type=int, default=1)
    asked.add_argument("--to", dest="last", type=int, default=563)
    told = asked.parse_args()
    draw_lessons(told.folder, told.first, told.last)


if __name__ == "__main__":
    main()
