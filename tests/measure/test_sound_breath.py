"""Intakes and bouts on invented sessions, and the honest answer where the sound cannot carry them."""

from dataclasses import dataclass, replace

import numpy as np
import pytest
from numpy.typing import NDArray
from tests.generator.breaths import Dog, Shape, breath, draw_dog
from tests.generator.sessions import Soundscape, draw_session
from tests.generator.sniffing import draw_sniffing
from tests.generator.soundcraft import add, coloured, level

from nares.measure.inputs import SoundBlock
from nares.measure.sound.bands import Frames, band_levels
from nares.measure.sound.breath import Breath, hear_breath, likely_intakes
from nares.measure.sound.ear import Ear
from nares.measure.sound.heard import Heard
from nares.measure.sound.intakes import Intakes
from nares.measure.sound.stream import Stretches

FRAME_S = 0.02
Spans = list[tuple[float, float]]
Sound = NDArray[np.float64]


def heard(sound: Sound) -> Heard:
    ear = Ear()
    ear.hear(SoundBlock(sound.astype(np.float32), 0, 48_000))
    return ear.finish()


def levels_of(sound: Sound) -> Frames:
    stretches = Stretches(48_000)
    block = SoundBlock(sound.astype(np.float32), 0, 48_000)
    parts = [band_levels(part) for part in [*stretches.add(block), *stretches.rest()]]
    return np.concatenate(parts)[: sound.size // 240]


def breath_of(sound: Sound) -> Breath:
    return hear_breath(levels_of(sound))


def on(spans: Spans, length_s: float) -> NDArray[np.bool_]:
    middles = (np.arange(int(length_s / FRAME_S)) + 0.5) * FRAME_S
    return np.array([any(a <= t < b for a, b in spans) for t in middles])


@dataclass(slots=True)
class Counts:
    """Frames that were intakes, were said to be, and both."""

    true: int = 0
    found: int = 0
    both: int = 0

    def add(self, scape: Soundscape, answer: Breath) -> None:
        length_s = scape.sound.size / 48_000
        was, said = on(scape.inhales, length_s), on(edges(answer), length_s)
        self.true, self.found = self.true + int(was.sum()), self.found + int(said.sum())
        self.both += int((was & said).sum())

    @property
    def f1(self) -> float:
        return 2 * self.both / max(self.true + self.found, 1)


def edges(answer: Breath) -> Spans:
    return [(span.start_s, span.end_s) for span in answer.inhales]


def bouts(answer: Breath) -> Spans:
    return [(span.start_s, span.end_s) for span in answer.bouts]


def one_dog(dog: Dog, seed: int, *, over_db: float = 24.0, pant: bool = False) -> tuple[Sound, Spans]:
    """Four bouts of one dog over a steady background, 20 s."""
    chance = np.random.default_rng(seed)
    background = coloured(chance, 20 * 48_000, 3.0)
    sound, inhales = np.zeros(background.size), []
    for number in range(4):
        puffs, drawn = breath(chance, dog, 2.5, pant=pant)
        add(sound, puffs, at_s := 1.0 + 4.5 * number)
        inhales += [(at_s + a, at_s + b) for a, b in drawn]
    scale = 10 ** (over_db / 20) * level(background, 1000, 8000) / level(sound, 1000, 8000)
    return 0.01 * (sound * scale + background), inhales


@pytest.mark.parametrize(("level_db", "least"), [(6.0, 0.90), (12.0, 0.93)])
def test_intakes_are_found_by_level(level_db: float, least: float) -> None:
    total = Counts()
    for seed in range(13_000, 13_003):
        scape = draw_session(seed, length_s=20.0, breath_db=level_db)
        total.add(scape, breath_of(scape.sound))
    assert total.f1 >= least


@pytest.mark.parametrize("phone", ["aac", "narrow", "gain"])
def test_intakes_are_found_through_phones(phone: str) -> None:
    total = Counts()
    for seed in range(13_050, 13_052):
        scape = draw_sniffing(seed, length_s=15.0, breath_db=15.0, phone=phone)
        total.add(scape, breath_of(scape.sound))
    assert total.f1 >= 0.87


@pytest.mark.parametrize(
    "shape",
    [Shape("hump", 0.4, 1.0), Shape("hump", 1.0, 1.0), Shape("hump", 1.8, 1.0), Shape("flanks", 0.5, 1.0)],
)
def test_edges_lie_at_the_foot_of_sharp_and_soft_breath(shape: Shape) -> None:
    dog = replace(draw_dog(np.random.default_rng(13_060)), drawing=shape, letting=shape, flutter=0.0)
    sound, inhales = one_dog(dog, 13_061)
    answer = edges(breath_of(sound))
    pairs = [(min(answer, key=lambda span: abs(span[0] - true[0])), true) for true in inhales]
    apart = np.array([(found[0] - true[0], found[1] - true[1]) for found, true in pairs])
    assert len(answer) == pytest.approx(len(inhales), rel=0.05)
    assert np.abs(np.median(apart, axis=0)).max() <= 0.009
    assert np.abs(apart).mean() <= 0.008


@pytest.mark.parametrize(
    ("level_db", "said"), [(-6.0, "dB below the background"), (-20.0, "not measurable: breath")]
)
def test_breath_below_the_background_is_not_measured(level_db: float, said: str) -> None:
    scape = draw_session(13_101, length_s=15.0, breath_db=level_db, click_db=None, events=())
    answer = heard(scape.sound)
    assert (answer.inhales, answer.bouts) == ((), ())
    assert not answer.breath_measurable
    assert any(note.startswith("not measurable: breath") and said in note for note in answer.notes)


def test_breath_drowned_by_rain_is_not_measured() -> None:
    scape = draw_sniffing(13_120, length_s=15.0, breath_db=6.0, bed="rain", bed_db=25.0, pants=0)
    assert not heard(scape.sound).breath_measurable


@pytest.mark.parametrize("level_db", [3.0, 8.0, 20.0])
def test_the_level_of_breath_is_read(level_db: float) -> None:
    answer = breath_of(draw_session(13_103, length_s=15.0, breath_db=level_db).sound)
    assert answer.inhales
    assert answer.over_floor_db == pytest.approx(level_db, abs=2.5)


def test_panting_is_not_sniffing() -> None:
    chance, said, panted = np.random.default_rng(13_201), 0.0, 0.0
    for seed in range(3):
        sound, _ = one_dog(draw_dog(chance), 13_210 + seed, pant=True)
        said += sum(end - start for start, end in bouts(breath_of(sound)))
        panted += 4 * 2.5
    assert said / panted <= 0.05


def test_panting_right_after_sniffing_is_not_sniffing() -> None:
    was, said = np.zeros(0, dtype=bool), np.zeros(0, dtype=bool)
    for seed in range(13_220, 13_223):
        scape = draw_sniffing(seed, length_s=15.0, breath_db=15.0, pants=3)
        was = np.concatenate([was, on(scape.pants, 15.0)])
        said = np.concatenate([said, on(bouts(breath_of(scape.sound)), 15.0)])
    assert was.sum() > 100
    assert np.mean(said[was]) <= 0.08


@pytest.mark.parametrize("bed", ["rain", "gusts", "crackle", "waves"])
def test_noise_is_not_sniffing(bed: str) -> None:
    scape = draw_sniffing(13_310, length_s=15.0, breath_db=None, bed=bed, bed_db=15.0, pants=0)
    assert sum(end - start for start, end in bouts(breath_of(scape.sound))) <= 0.75


@pytest.mark.parametrize(
    ("chances", "kept"),
    [
        ([0.6, 0.6, 0.65], 0),  # doubtful ones alone make no sniffing
        ([0.6, 0.75, 0.65], 3),
        ([0.6, 0.75, 0.4], 2),
        ([0.75], 0),
        ([0.85], 1),
        ([], 0),
    ],
)
def test_a_run_counts_when_one_of_its_intakes_is_sure(chances: list[float], kept: int) -> None:
    starts = 1.0 + 0.2 * np.arange(len(chances))
    known = np.full(len(chances), 0.005)
    assert len(likely_intakes(Intakes(starts, starts + 0.09, known, known), np.array(chances))) == kept


def test_speech_is_not_sniffing() -> None:
    scape = draw_session(
        13_301, length_s=20.0, click_db=None, breath_db=None, events=("speech",), events_a_minute=40.0
    )
    assert sum(end - start for start, end in bouts(breath_of(scape.sound))) <= 1.0


def test_breath_that_sounds_alike_both_ways_is_never_sure() -> None:
    dog = draw_dog(np.random.default_rng(13_350))
    even = replace(
        dog, dull=dog.bright, letting=dog.drawing, exhale_level=1.0, drawn_share=0.5, pause=(0.0, 0.0)
    )
    sound, _ = one_dog(even, 13_351)
    answer = breath_of(sound)
    assert not answer.inhales or np.mean([span.sure for span in answer.inhales]) <= 0.9


def test_bouts_hold_their_intakes_their_rate_and_their_share() -> None:
    dog = replace(draw_dog(np.random.default_rng(13_400)), rate_hz=5.0, drawn_share=0.45, unevenness=0.02)
    sound, inhales = one_dog(dog, 13_401)
    answer = breath_of(sound)
    assert len(answer.bouts) == 4
    assert sum(bout.sniffs for bout in answer.bouts) == pytest.approx(len(inhales), abs=2)
    for span in answer.inhales:
        assert any(bout.start_s <= span.start_s and span.end_s <= bout.end_s for bout in answer.bouts)
    for bout in answer.bouts:
        assert bout.rate_hz == pytest.approx(5.0, abs=0.3)
        assert bout.duty == pytest.approx(0.45, abs=0.08)
    pairs = zip(answer.bouts, answer.bouts[1:], strict=False)
    assert all(before.end_s <= after.start_s for before, after in pairs)


def test_intakes_say_how_far_off_their_edges_may_be() -> None:
    scape = draw_session(13_450, length_s=20.0, breath_db=15.0)
    inside = []
    for span in breath_of(scape.sound).inhales:
        start, end = min(scape.inhales, key=lambda true: abs(true[0] - span.start_s))
        if abs(start - span.start_s) < 0.05:
            inside += [abs(span.start_s - start) <= (span.start_within_s or 0)]
            inside += [abs(span.end_s - end) <= (span.end_within_s or 0)]
    assert len(inside) > 40
    assert np.mean(inside) >= 0.85


def test_nothing_and_almost_nothing_is_heard_without_fault() -> None:
    for length in (0, 1, 4_000, 48_000):
        answer = heard(np.zeros(length))
        assert (answer.inhales, answer.bouts) == ((), ())
        assert not answer.breath_measurable or not length
