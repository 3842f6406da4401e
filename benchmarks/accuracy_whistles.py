"""How well whistles are found: invented sessions by level and by kind of whistle, and real sounds.

    python -m benchmarks.accuracy_whistles             all of it
    python -m benchmarks.accuracy_whistles --quick     fewer sessions
    python -m benchmarks.accuracy_whistles --from 30000   other invented sessions

Levels are the RMS of a blast over the steady background. A blast counts as found within 20 ms of its first
sound. Between the blasts, twenty a minute: howls, birds, hinges, sirens, alarms, music, wind, talk, barks,
metal. Seeds from 10,000 on, which nothing was learned from.
"""

import argparse
import time
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from benchmarks.accuracy import sound_of
from benchmarks.accuracy_words import reliability
from tests.generator.noises import BEDS
from tests.generator.soundcraft import RATE_HZ, Sound
from tests.generator.whistles import KINDS, TONES, WhistleScape, draw_whistle_session

from nares.base.errors import NotEnoughData
from nares.measure.inputs import SoundBlock
from nares.measure.scoring import pair_events
from nares.measure.sound.ear import Ear
from nares.measure.sound.heard import Heard
from nares.measure.sound.whistle import WhistlePrint, learn_whistle

SHARED = Path(__file__).resolve().parent.parent.parent / "shared"
Chances = list[tuple[float, bool]]


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


def heard(sound: Sound, known: WhistlePrint | None) -> Heard:
    ear = Ear(marker="whistle", clicker=known)
    for first in range(0, sound.size, RATE_HZ):
        ear.hear(SoundBlock(sound[first : first + RATE_HZ].astype(np.float32), first, RATE_HZ))
    return ear.finish()


def print_of(scape: WhistleScape) -> WhistlePrint | None:
    try:
        return learn_whistle([SoundBlock(scape.alone.astype(np.float32), 0, RATE_HZ)])
    except NotEnoughData:
        return None


def row(scapes: Iterable[WhistleScape], told_chances: Chances, untold_chances: Chances) -> str:
    told, untold, unprinted = Tally(), Tally(), 0
    for scape in scapes:
        known = print_of(scape)
        unprinted += known is None
        for tally, chances, by in ((told, told_chances, known), (untold, untold_chances, None)):
            answer = heard(scape.sound, by)
            found = [mark.at_s for mark in answer.marks]
            tally.add(len(scape.marks), len(found), len(pair_events(scape.marks_s, found, 0.020)))
            every = (*answer.marks, *answer.doubtful_marks)
            right = {j for _, j in pair_events(scape.marks_s, [mark.at_s for mark in every], 0.04)}
            chances += [(mark.sure, number in right) for number, mark in enumerate(every)]
    return f"print {told} (P {_p(told)} R {_r(told)})  no print {untold} (P {_p(untold)} R {_r(untold)})" + (
        f"  no print could be learned: {unprinted}" if unprinted else ""
    )


def _p(tally: Tally) -> str:
    return f"{tally.both / max(tally.found, 1):.3f}"


def _r(tally: Tally) -> str:
    return f"{tally.both / max(tally.true, 1):.3f}"


def tables(first_seed: int, sessions: int) -> None:
    told: Chances = []
    untold: Chances = []
    print("\nwhistles, F1 within 20 ms, by level over the background [dB]")
    for level in (10.0, 20.0, 30.0, 40.0):
        seeds = range(first_seed, first_seed + sessions)
        scapes = (draw_whistle_session(seed, whistle_db=level) for seed in seeds)
        print(f"{level:12.0f}  {row(scapes, told, untold)}")
    print("\nby kind of whistle, 25 dB")
    for kind in KINDS:
        seeds = range(first_seed + 100, first_seed + 100 + max(sessions // 3, 3))
        print(f"{kind:>12}  {row((draw_whistle_session(seed, kind=kind) for seed in seeds), told, untold)}")
    print("\nby what else sounds, 25 dB")
    for tone in TONES:
        seeds = range(first_seed + 200, first_seed + 200 + max(sessions // 4, 3))
        print(
            f"{tone:>12}  {row((draw_whistle_session(seed, tones=(tone,)) for seed in seeds), told, untold)}"
        )
    print("\nby what lies under the session, 25 dB, bed 10 dB over the background")
    for bed in BEDS:
        seeds = range(first_seed + 300, first_seed + 300 + max(sessions // 5, 3))
        scapes = (draw_whistle_session(seed, bed=bed, bed_db=10.0) for seed in seeds)
        print(f"{bed:>12}  {row(scapes, told, untold)}")
    print("\nreliability with a print\n" + reliability(told))
    print("reliability without a print\n" + reliability(untold))


def real_sounds(first_seed: int) -> None:
    known = print_of(draw_whistle_session(first_seed + 400, kind="blast"))
    print("\nreal sounds without a whistle: false marks a minute (print / none)")
    told = untold = 0
    minutes = 0.0
    for kind in sorted(path for path in (SHARED / "sounds").iterdir() if path.is_dir()):
        counts, length_s = [0, 0], 0.0
        for clip in sorted(kind.glob("*.ogg")):
            blocks = list(sound_of(clip))
            for place, by in enumerate((known, None)):
                ear = Ear(rate_hz=blocks[0].rate_hz, marker="whistle", clicker=by)
                for block in blocks:
                    ear.hear(block)
                answer = ear.finish()
                counts[place] += len(answer.marks)
            length_s += answer.sound_quality.heard_s
        each = [count * 60 / length_s for count in counts]
        print(f"{kind.name:>15} {each[0]:5.2f} {each[1]:5.2f}")
        told, untold, minutes = told + counts[0], untold + counts[1], minutes + length_s / 60
    print(f"{'all':>15} {told / minutes:5.2f} {untold / minutes:5.2f}")


def speed(first_seed: int) -> None:
    scapes = [draw_whistle_session(first_seed + 900 + k, length_s=60.0) for k in range(3)]
    sound = np.concatenate([scape.sound for scape in scapes])
    heard(sound[: 5 * RATE_HZ], None)  # loads what is loaded late
    began = time.process_time()
    heard(sound, None)
    times = sound.size / RATE_HZ / (time.process_time() - began)
    print(f"\n{times:.0f} x real time on one core, breath included")


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--quick", action="store_true")
    asked.add_argument("--from", dest="first_seed", type=int, default=15_000)
    told = asked.parse_args()
    tables(told.first_seed, 6 if told.quick else 20)
    if (SHARED / "sounds").is_dir():
        real_sounds(told.first_seed)
    speed(told.first_seed)


if __name__ == "__main__":
    main()
