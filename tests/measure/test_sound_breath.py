"""Intakes and bouts on invented sessions, and the honest answer where the sound cannot carry them."""

from dataclasses import dataclass

import numpy as np
import pytest
from numpy.typing import NDArray
from tests.generator.breaths import breath, draw_dog
from tests.generator.sessions import draw_session
from tests.generator.soundcraft import add, coloured

from nares.measure.inputs import SoundBlock
from nares.measure.sound.ear import Ear
from nares.measure.sound.heard import Heard

FRAME_S = 0.02
Spans = list[tuple[float, float]]


def heard(sound: NDArray[np.float64]) -> Heard:
    ear = Ear()
    ear.hear(SoundBlock(sound.astype(np.float32), 0, 48_000))
    return ear.finish()


def on(spans: Spans, length_s: float) -> NDArray[np.bool_]:
    middles = (np.arange(int(length_s / FRAME_S)) + 0.5) * FRAME_S
    return np.array([any(a <= t < b for a, b in spans) for t in middles])


@dataclass(slots=True)
class Counts:
    """Frames that were intakes, were said to be, and both."""

    true: int = 0
    found: int = 0
    both: int = 0

    @property
    def f1(self) -> float:
        return 2 * self.both / max(self.true + self.found, 1)


def counts(seeds: range, **session: float) -> Counts:
    total = Counts()
    for seed in seeds:
        scape = draw_session(seed, length_s=20.0, **session)  # type: ignore[arg-type]
        answer = heard(scape.sound)
        was = on(scape.inhales, 20.0)
        said = on([(span.start_s, span.end_s) for span in answer.inhales], 20.0)
        total.true, total.found = total.true + int(was.sum()), total.found + int(said.sum())
        total.both += int((was & said).sum())
    return total


@pytest.mark.parametrize(("level", "least"), [(6.0, 0.88), (18.0, 0.92)])
def test_intakes_are_found_by_level(level: float, least: float) -> None:
    assert counts(range(13_000, 13_004), breath_db=level).f1 >= least


@pytest.mark.parametrize(
    ("level", "said"), [(-6.0, "dB below the background"), (-20.0, "not measurable: breath")]
)
def test_breath_below_the_background_is_not_measured(level: float, said: str) -> None:
    scape = draw_session(13_101, length_s=15.0, breath_db=level, click_db=None, events=())
    answer = heard(scape.sound)
    assert (answer.inhales, answer.bouts) == ((), ())
    assert not answer.breath_measurable
    assert any(note.startswith("not measurable: breath") and said in note for note in answer.notes)


def test_breath_just_above_the_background_is_measured() -> None:
    answer = heard(draw_session(13_101, length_s=15.0, breath_db=3.0, click_db=None, events=()).sound)
    assert answer.breath_measurable
    assert answer.sound_quality.breath_over_floor_db == pytest.approx(3.0, abs=2.5)


def test_panting_is_not_sniffing() -> None:
    chance = np.random.default_rng(13_201)
    sound = 0.02 * coloured(chance, 20 * 48_000, 3.0)
    panted = []
    for number in range(4):
        puffs, _ = breath(chance, draw_dog(chance), 2.5, pant=True)
        add(sound, 0.1 * puffs, 1.0 + 4.5 * number)
        panted.append((1.0 + 4.5 * number, 3.5 + 4.5 * number))
    said = on([(span.start_s, span.end_s) for span in heard(sound).bouts], 20.0)
    assert np.mean(said[on(panted, 20.0)]) <= 0.05


def test_speech_is_not_sniffing() -> None:
    scape = draw_session(
        13_301, length_s=20.0, click_db=None, breath_db=None, events=("speech",), events_a_minute=40.0
    )
    said = sum(span.end_s - span.start_s for span in heard(scape.sound).bouts)
    assert said <= 1.0


def test_bouts_hold_their_intakes() -> None:
    answer = heard(draw_session(13_401, length_s=15.0, breath_db=18.0).sound)
    assert answer.bouts
    for span in answer.inhales:
        assert any(bout.start_s <= span.start_s and span.end_s <= bout.end_s for bout in answer.bouts)
    assert all(
        before.end_s <= after.start_s for before, after in zip(answer.bouts, answer.bouts[1:], strict=False)
    )


def test_the_number_of_intakes_is_about_right() -> None:
    scape = draw_session(13_501, length_s=20.0, breath_db=20.0, events=())
    assert len(heard(scape.sound).inhales) == pytest.approx(len(scape.inhales), rel=0.15)
