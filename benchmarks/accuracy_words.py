"""How well a marker word is found: invented talkers, a speech synthesiser where there is one, real sounds.

    python -m benchmarks.accuracy_words             all of it
    python -m benchmarks.accuracy_words --quick     fewer sessions
    python -m benchmarks.accuracy_words --from 30000   other invented sessions

Levels are of the loud parts of the word over the steady background. A word counts as found within 50 ms of
where it begins. Speech of the trainer and of others fills about half of the time; one word in ten of it is
nearly the marker (one phone other, one more or one less). Debian's ``espeak-ng`` reads invented sentences and
says the marker; nothing was learned from it. Seeds from 10,000 on, which nothing was learned from.
"""

import argparse
import shutil
import subprocess
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.signal import fftconvolve, resample_poly
from tests.generator.noises import EVENTS
from tests.generator.rooms import draw_room
from tests.generator.soundcraft import RATE_HZ, Chance, Sound, add, coloured
from tests.generator.words import NOISES, WordScape, draw_examples, draw_word_session

from nares.base.errors import NotEnoughData
from nares.base.vocab import Mark
from nares.measure.inputs import SoundBlock
from nares.measure.scoring import pair_events
from nares.measure.sound.ear import Ear
from nares.measure.sound.heard import Heard
from nares.measure.sound.word_print import WordPrint, learn_word

SHARED = Path(__file__).resolve().parent.parent.parent / "shared"
WINDOW_S = 0.050
VOICES = ("en-gb-x-rp", "en-us+f3", "en-gb+m7", "en-029+f1", "en-gb-scotland+m2", "en-us+f5")
WORDS = ("yes", "good", "click", "nice", "bravo", "tap")
SENTENCES = (
    "We went down to the shed this morning before the rain came in from the sea.",
    "The door was open and somebody had left the lamp burning all night.",
    "Put the tins back on the shelf and write the number in the book.",
    "She walked along the wall, turned at the corner and sat beside the second box.",
    "I guess the chest of drawers is best left where it is until Wednesday.",
    "Less is more, they say, but this is a very long list of things to do.",
    "The old van would not start, so we carried the crates across the yard by hand.",
    "Take care on the steps, they are slippery, and mind the low beam above the gate.",
)


@dataclass(slots=True)
class Score:
    """Counts over sessions, onset errors, chances with their truth, and false alarms by where they fell."""

    true: int = 0
    found: int = 0
    both: int = 0
    refused: int = 0
    errors_s: list[float] = field(default_factory=list)
    chances: list[tuple[float, bool]] = field(default_factory=list)
    alarms: dict[str, int] = field(default_factory=lambda: {"own": 0, "others": 0, "rest": 0})
    minutes: dict[str, float] = field(default_factory=lambda: {"own": 0.0, "others": 0.0, "rest": 0.0})

    def add(self, scape: WordScape, heard: Heard) -> None:
        """Count one session in."""
        found = [mark.at_s for mark in heard.marks]
        pairs = pair_events(scape.marks_s, found, WINDOW_S)
        wide = {j: i for i, j in pair_events(scape.marks_s, found, 0.25)}
        self.true, self.found, self.both = (
            self.true + len(scape.marks), self.found + len(found), self.both + len(pairs)
        )  # fmt: skip
        self.errors_s += [found[j] - scape.marks_s[i] for j, i in wide.items()]
        every: tuple[Mark, ...] = (*heard.marks, *heard.doubtful_marks)
        right = {j for _, j in pair_events(scape.marks_s, [mark.at_s for mark in every], 0.1)}
        self.chances += [(mark.sure, number in right) for number, mark in enumerate(every)]
        length_s = scape.sound.size / RATE_HZ
        spoken = {"own": scape.own, "others": scape.others}
        for where, spans in spoken.items():
            self.minutes[where] += sum(b - a for a, b in spans) / 60
        self.minutes["rest"] += length_s / 60 - sum(b - a for a, b in [*scape.own, *scape.others]) / 60
        for number, at_s in enumerate(found):
            if number not in wide:
                where = next((k for k, v in spoken.items() if any(a - 0.1 < at_s < b for a, b in v)), "rest")
                self.alarms[where] += 1

    def __str__(self) -> str:
        off = np.array(self.errors_s or [0.0]) * 1000
        each = [f"{self.alarms[k] / max(self.minutes[k], 1e-9):.2f}" for k in self.alarms]
        return (
            f"F1 {2 * self.both / max(self.true + self.found, 1):.3f}  "
            f"P {self.both / max(self.found, 1):.3f}  R {self.both / max(self.true, 1):.3f}  "
            f"off {np.median(off):+.0f} ms, 95 % within {np.quantile(np.abs(off), 0.95):.0f} ms  "
            f"false a minute: own speech {each[0]}, others' {each[1]}, else {each[2]}  refused {self.refused}"
        )


def heard(sound: Sound, known: WordPrint) -> Heard:
    ear = Ear(marker="word", clicker=known)
    for first in range(0, sound.size, RATE_HZ):
        ear.hear(SoundBlock(sound[first : first + RATE_HZ].astype(np.float32), first, RATE_HZ))
    return ear.finish()


def scored(scapes: Iterator[WordScape]) -> Score:
    score = Score()
    for scape in scapes:
        try:
            known = learn_word([SoundBlock(scape.examples.astype(np.float32), 0, RATE_HZ)])
        except NotEnoughData:
            score.refused += 1
            continue
        score.add(scape, heard(scape.sound, known))
    return score


def reliability(chances: list[tuple[float, bool]]) -> str:
    """Share of true ones by chance given, and the expected calibration error."""
    given, true = (np.array(part, dtype=float) for part in zip(*chances, strict=True))
    cells = np.clip((given * 10).astype(int), 0, 9)
    rows, error = [], 0.0
    for cell in np.unique(cells):
        here = cells == cell
        rows.append(f"  {given[here].mean():.2f} given, {true[here].mean():.2f} true ({here.sum()})")
        error += abs(given[here].mean() - true[here].mean()) * here.mean()
    return "\n".join([*rows, f"  expected calibration error {error:.3f}"])


def by_level(first_seed: int, sessions: int) -> None:
    every: list[tuple[float, bool]] = []
    print("\ninvented talkers, five examples, by level of the word over the background [dB]")
    for level in (10.0, 20.0, 30.0, 40.0):
        seeds = range(first_seed, first_seed + sessions)
        score = scored(draw_word_session(seed, word_db=level, examples_db=max(level, 25.0)) for seed in seeds)
        every += score.chances
        print(f"{level:5.0f}  {score}")
    print("reliability, all levels (what was given below 0.1 is not told to anybody)")
    print(reliability(every))


def by_examples(first_seed: int, sessions: int) -> None:
    print("\ninvented talkers at 25 dB, by number of examples")
    for count in (3, 5, 8):
        seeds = range(first_seed + 200, first_seed + 200 + sessions)
        print(f"{count:5d}  {scored(draw_word_session(seed, examples=count) for seed in seeds)}")


def near_words(first_seed: int, sessions: int) -> None:
    print("\ninvented talkers at 30 dB, half of all words spoken nearly the marker (the hard case)")
    seeds = range(first_seed + 300, first_seed + 300 + sessions)
    print(f"       {scored(draw_word_session(seed, word_db=30.0, near_share=0.5) for seed in seeds)}")


# A speech synthesiser ------------------------------------------------------------------------------


def spoken(text: str, voice: str, pitch: int, words_a_minute: int) -> Sound:
    """What ``espeak-ng`` says, at 48 kHz, trimmed, RMS of its loudest tenth 1."""
    command = ["espeak-ng", "-v", voice, "-p", str(pitch), "-s", str(words_a_minute), "--stdout", text]
    out = subprocess.run(command, check=True, capture_output=True).stdout
    raw = out[out.index(b"data") + 8 :]
    sound = np.frombuffer(raw[: len(raw) // 2 * 2], dtype="<i2").astype(np.float64)
    sound = np.asarray(resample_poly(sound, 320, 147))
    loud = np.flatnonzero(np.abs(sound) > 0.01 * np.abs(sound).max())
    sound = sound[loud[0] : loud[-1]]
    return np.asarray(sound / np.sqrt(np.quantile(sound**2, 0.9)))


def synthesised(
    seed: int, voice: str, word: str, *, level: float = 25.0, length_s: float = 30.0
) -> WordScape:
    """A session of one voice that marks and talks, and of others that talk."""
    chance = np.random.default_rng(seed)
    room = draw_room(chance)

    def utter() -> Sound:
        return spoken(word, voice, int(50 + 8 * chance.uniform(-1, 1)), int(160 + 28 * chance.uniform(-1, 1)))

    gaps = [np.zeros(int(chance.uniform(0.5, 1.4) * RATE_HZ)) for _ in range(6)]
    told = np.concatenate([gaps[0], *(part for gap in gaps[1:] for part in (utter(), gap))])
    told = np.asarray(fftconvolve(told, room)[: told.size]) * 10 ** (30 / 20) + coloured(
        chance, told.size, 3.0
    )
    scape = WordScape(np.zeros(int(length_s * RATE_HZ)), told * 0.4 / np.abs(told).max(), word)
    at_s = 1.0
    while at_s < length_s - 1.5:
        one = utter() * 10 ** (chance.uniform(-3, 3) / 20)
        add(scape.sound, one, at_s)
        scape.marks.append((at_s, at_s + one.size / RATE_HZ))
        at_s += one.size / RATE_HZ + chance.uniform(0.3, 1.0)
        own = bool(chance.random() < 0.6)
        talk = _sentence(
            chance, voice if own else str(chance.choice([v for v in VOICES if v != voice])), word
        )
        add(scape.sound, talk * 10 ** (chance.uniform(-8, 2) / 20), at_s)
        (scape.own if own else scape.others).append((at_s, at_s + talk.size / RATE_HZ))
        at_s += talk.size / RATE_HZ + chance.uniform(0.2, 1.0)
    for _ in range(chance.poisson(4)):
        event = EVENTS[str(chance.choice(NOISES))](chance)
        add(scape.sound, 3.0 * event / np.abs(event).max(), chance.uniform(0, length_s))
    scape.sound = np.asarray(fftconvolve(scape.sound, room)[: scape.sound.size]) * 10 ** (level / 20)
    scape.sound += coloured(chance, scape.sound.size, chance.uniform(2, 5))
    scape.sound *= 0.4 / np.abs(scape.sound).max()
    return scape


def _sentence(chance: Chance, voice: str, word: str) -> Sound:
    text = str(chance.choice([one for one in SENTENCES if word not in one.lower()]))
    return spoken(text, voice, int(50 + 5 * chance.uniform(-1, 1)), int(165 + 15 * chance.uniform(-1, 1)))


def with_synthesiser(first_seed: int, *, quick: bool) -> None:
    if shutil.which("espeak-ng") is None:
        print("\nspeech synthesiser: espeak-ng is not installed, left out")
        return
    every: list[tuple[float, bool]] = []
    print("\nspeech synthesiser at 25 dB, by word, over its voices")
    for number, word in enumerate(WORDS[:3] if quick else WORDS):
        seeds = enumerate(VOICES[:3] if quick else VOICES, first_seed + 500 + 20 * number)
        score = scored(synthesised(seed, voice, word) for seed, voice in seeds)
        every += score.chances
        print(f"{word:>7}  {score}")
    print(reliability(every))


# Real sounds and speed -----------------------------------------------------------------------------


def real_sounds(first_seed: int) -> None:
    from benchmarks.accuracy import sound_of

    prints = [
        learn_word([SoundBlock(draw_examples_of(first_seed + k).astype(np.float32), 0, RATE_HZ)])
        for k in range(4)
    ]
    print("\nreal sounds without a word: false marks a minute, over four words")
    total = minutes = 0.0
    for kind in sorted(path for path in (SHARED / "sounds").iterdir() if path.is_dir()):
        count, length_s = 0, 0.0
        for clip in sorted(kind.glob("*.ogg")):
            blocks = list(sound_of(clip))
            for known in prints:
                ear = Ear(rate_hz=blocks[0].rate_hz, marker="word", clicker=known)
                for block in blocks:
                    ear.hear(block)
                answer = ear.finish()
                count, length_s = count + len(answer.marks), length_s + answer.sound_quality.heard_s
        print(f"{kind.name:>15} {count * 60 / length_s:5.2f}")
        total, minutes = total + count, minutes + length_s / 60
    print(f"{'all':>15} {total / minutes:5.2f}")


def draw_examples_of(seed: int) -> NDArray[np.float64]:
    from tests.generator.talkers import MARKERS, draw_talker

    chance = np.random.default_rng(seed)
    word = str(chance.choice(MARKERS))
    return draw_examples(chance, draw_talker(chance), word, count=5, over_db=30.0)


def speed(first_seed: int) -> None:
    scapes = [draw_word_session(first_seed + 900 + k, length_s=60.0) for k in range(3)]
    known = learn_word([SoundBlock(scapes[0].examples.astype(np.float32), 0, RATE_HZ)])
    sound = np.concatenate([scape.sound for scape in scapes])
    heard(sound[: 5 * RATE_HZ], known)  # loads what is loaded late
    began = time.process_time()
    heard(sound, known)
    times = sound.size / RATE_HZ / (time.process_time() - began)
    print(f"\n{times:.0f} x real time on one core, breath included")


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--quick", action="store_true")
    asked.add_argument("--from", dest="first_seed", type=int, default=15_000)
    told = asked.parse_args()
    sessions = 8 if told.quick else 25
    by_level(told.first_seed, sessions)
    by_examples(told.first_seed, sessions)
    near_words(told.first_seed, sessions)
    with_synthesiser(told.first_seed, quick=told.quick)
    if (SHARED / "sounds").is_dir():
        real_sounds(told.first_seed)
    speed(told.first_seed)


if __name__ == "__main__":
    main()
