"""Marks on invented sessions: which snaps are marks, where they begin, how sure."""

import numpy as np
import pytest
from numpy.typing import NDArray
from tests.generator.clickers import draw_clicker
from tests.generator.phones import through_phone
from tests.generator.rooms import draw_room
from tests.generator.sessions import Soundscape, calibration, draw_session
from tests.generator.soundcraft import add, coloured
from tests.generator.voices import speech

from nares.base.errors import NotEnoughData
from nares.measure.inputs import SoundBlock
from nares.measure.scoring import event_scores
from nares.measure.sound.clicker import learn_clicker
from nares.measure.sound.ear import Ear
from nares.measure.sound.heard import Heard
from nares.measure.sound.marks import ClickerPrint
from nares.measure.sound.presses import Rhythm, learn_rhythm, read_presses


def heard(sound: NDArray[np.float64], clicker: ClickerPrint | None = None) -> Heard:
    ear = Ear(clicker=clicker)
    ear.hear(SoundBlock(sound.astype(np.float32), 0, 48_000))
    return ear.finish()


def print_of(scape: Soundscape, seed: int = 5) -> ClickerPrint:
    return learn_clicker([SoundBlock(calibration(seed, scape).astype(np.float32), 0, 48_000)])


def found(answer: Heard) -> list[float]:
    return [mark.at_s for mark in answer.marks]


def pooled(scapes: list[Soundscape], *, told: bool) -> tuple[float, float]:
    """F1 within 20 ms and the median error over sessions taken together."""
    true, heard_s, shift = [], [], 0.0
    for scape in scapes:
        answer = heard(scape.sound, print_of(scape) if told else None)
        true += [at_s + shift for at_s in scape.marks_s]
        heard_s += [at_s + shift for at_s in found(answer)]
        shift += 1000.0
    scores = event_scores(true, heard_s, 0.020)
    return scores.f1, abs(scores.bias_s or 0.0)


@pytest.fixture(scope="module")
def ordinary() -> list[Soundscape]:
    return [draw_session(seed, length_s=25.0, click_db=30.0) for seed in range(12_100, 12_106)]


def test_marks_are_found_without_a_print(ordinary: list[Soundscape]) -> None:
    f1, error_s = pooled(ordinary, told=False)
    assert f1 >= 0.90
    assert error_s < 0.001


def test_marks_are_found_with_a_print(ordinary: list[Soundscape]) -> None:
    f1, error_s = pooled(ordinary, told=True)
    assert f1 >= 0.92
    assert error_s < 0.001


def scripted(presses: list[float], spacing_s: float, seed: int = 12_200) -> NDArray[np.float64]:
    """A clean row of presses, each with its release, in an ordinary room."""
    chance = np.random.default_rng(seed)
    clicker, room = draw_clicker(chance), draw_room(chance)
    sound = np.zeros(int((max(presses) + 2) * 48_000))
    for at_s in presses:
        add(sound, clicker.snap(chance), at_s)
        add(sound, 0.8 * clicker.snap(chance, release=True), at_s + spacing_s)
    wet = np.convolve(sound, room[:9600])[: sound.size]
    return np.asarray(wet + 0.004 * coloured(chance, sound.size, 3.0)) * 0.3


@pytest.mark.parametrize("spacing_s", [0.07, 0.15, 0.30])
def test_the_release_is_no_second_mark(spacing_s: float) -> None:
    presses = [1.0, 2.7, 4.1, 6.0, 7.2]
    assert found(heard(scripted(presses, spacing_s))) == pytest.approx(presses, abs=0.003)


def test_two_marks_four_tenths_apart_both_count() -> None:
    presses = [1.0, 1.42, 3.0, 4.5, 4.93, 6.5]
    assert found(heard(scripted(presses, 0.09))) == pytest.approx(presses, abs=0.003)


def test_rain_does_not_hide_the_marks() -> None:
    scape = draw_session(12_301, length_s=25.0, click_db=34.0, bed="rain", bed_db=4.0, events=())
    assert event_scores(scape.marks_s, found(heard(scape.sound, print_of(scape))), 0.02).f1 >= 0.9


def test_without_a_clicker_there_are_few_marks_and_none_sure() -> None:
    marks = [
        mark
        for seed in range(12_400, 12_404)
        for mark in heard(draw_session(seed, length_s=25.0, click_db=None).sound).marks
    ]
    assert len(marks) <= 6
    assert sum(mark.sure > 0.9 for mark in marks) <= 2


def test_another_rate_keeps_the_marks_in_place() -> None:
    from scipy.signal import resample_poly

    scape = draw_session(12_801, length_s=12.0, click_db=34.0, events=())
    ear = Ear(rate_hz=44_100)
    ear.hear(SoundBlock(np.asarray(resample_poly(scape.sound, 147, 160), dtype=np.float32), 0, 44_100))
    scores = event_scores(scape.marks_s, found(ear.finish()), 0.005)
    assert scores.f1 >= 0.9
    assert abs(scores.bias_s or 1.0) < 0.001


def test_clipping_keeps_most_marks() -> None:
    scape = draw_session(12_501, length_s=25.0, click_db=36.0, events=("speech",))
    clipped = through_phone(np.random.default_rng(1), scape.sound, "clipped")
    answer = heard(clipped)
    assert event_scores(scape.marks_s, found(answer), 0.02).f1 >= 0.8
    assert any("clipped" in note for note in answer.notes)


def test_four_marks_at_the_start_make_a_print() -> None:
    scapes = [draw_session(seed, length_s=20.0, click_db=32.0, start_block=True) for seed in (12_701, 12_702)]
    answers = [heard(scape.sound) for scape in scapes]
    assert all(any("four marks at the start" in note for note in answer.notes) for answer in answers)
    for scape, answer in zip(scapes, answers, strict=True):
        assert event_scores(scape.marks_s, found(answer), 0.02).f1 >= 0.9
        assert answer.start_block == pytest.approx(scape.marks_s[:4], abs=0.003)
        assert -90 < (answer.floor_db or 0.0) < -20


UNEVEN = [2.1, 2.9, 4.05, 5.05]


@pytest.mark.parametrize("late_s", [0.0, 4.0])
def test_a_start_block_may_be_uneven_and_late(late_s: float) -> None:
    presses = [at_s + late_s for at_s in UNEVEN]
    answer = heard(scripted([*presses, 14.0, 17.1, 19.8], 0.12))
    assert answer.start_block == pytest.approx(presses, abs=0.003)


def test_talking_in_the_quiet_does_not_hide_the_start_block() -> None:
    sound = scripted([*UNEVEN, 11.0, 14.3], 0.12)
    said = speech(np.random.default_rng(12_706), 1.0)
    add(sound, 0.1 * said / np.abs(said).max(), 0.2)
    assert heard(sound).start_block == pytest.approx(UNEVEN, abs=0.003)


@pytest.mark.parametrize(
    "presses",
    [
        [1.5, 3.9, 7.0, 9.2, 12.5],
        [1.5, 2.5, 3.5, 9.0, 13.0],
        [2.0, 2.42, 4.1, 4.52, 8.0],
        [0.3, 1.3, 2.3, 3.3],
    ],
    ids=["reps", "three only", "double marks", "no quiet"],
)
def test_other_marks_are_no_start_block(presses: list[float]) -> None:
    answer = heard(scripted(presses, 0.12))
    assert (answer.start_block, answer.floor_db) == ((), None)
    assert not any("four marks at the start" in note for note in answer.notes)


def test_without_a_start_block_precision_is_said_to_be_unproven() -> None:
    assert any("unproven" in note for note in heard(scripted([1.0, 3.7, 6.1, 9.0], 0.12)).notes)


def test_doubtful_marks_are_kept_for_a_person() -> None:
    answers = [
        heard(draw_session(seed, length_s=20.0, click_db=14.0).sound) for seed in (12_711, 12_712, 12_713)
    ]
    doubtful = [mark for answer in answers for mark in answer.doubtful_marks]
    assert doubtful
    assert all(0.15 <= mark.sure < 0.4 for mark in doubtful)
    assert not {mark.at_s for mark in doubtful} & {mark.at_s for answer in answers for mark in answer.marks}


@pytest.mark.parametrize("phone", ["aac", "quiet", "clipped"])
def test_phones_keep_the_marks(phone: str) -> None:
    scape = draw_session(12_721, length_s=25.0, click_db=28.0, start_block=True)
    answer = heard(through_phone(np.random.default_rng(1), scape.sound, phone))
    scores = event_scores(scape.marks_s, found(answer), 0.02)
    assert scores.f1 >= 0.9
    assert abs(scores.bias_s or 1.0) < 0.002


def test_a_long_session_is_judged_like_a_short_one() -> None:
    scape = draw_session(12_901, length_s=120.0, click_db=34.0, breath_db=18.0, events_a_minute=4.0)
    answer = heard(scape.sound)
    assert event_scores(scape.marks_s, found(answer), 0.02).f1 >= 0.95
    assert len(answer.inhales) == pytest.approx(len(scape.inhales), rel=0.15)


def test_certainties_are_chances() -> None:
    answer = heard(draw_session(12_601, length_s=12.0).sound)
    assert all(0.4 <= mark.sure <= 1.0 for mark in answer.marks)
    assert found(answer) == sorted(found(answer))


def test_a_print_of_nothing_is_refused() -> None:
    with pytest.raises(NotEnoughData, match="Record four clicks"):
        learn_clicker([SoundBlock(np.zeros(96_000, dtype=np.float32), 0, 48_000)])
    with pytest.raises(NotEnoughData, match="No short sound"):
        learn_clicker([])


@pytest.mark.parametrize("seed", [12_731, 12_732, 12_733])
def test_talking_is_no_clicker(seed: int) -> None:
    said = speech(np.random.default_rng(seed), 8.0)
    with pytest.raises(NotEnoughData, match="like a clicker"):
        learn_clicker([SoundBlock((0.3 * said / np.abs(said).max()).astype(np.float32), 0, 48_000)])


def test_one_click_is_not_enough_for_a_print() -> None:
    with pytest.raises(NotEnoughData, match="fewer than two"):
        learn_clicker([SoundBlock(scripted([1.0], 0.1).astype(np.float32), 0, 48_000)])


def test_the_rhythm_of_press_and_release_is_learned() -> None:
    times = np.array([1.0, 1.11, 2.5, 2.6, 4.0, 4.12, 6.0, 6.1])
    rhythm = learn_rhythm(times, np.full(8, 0.95))
    assert rhythm.spacing_s == pytest.approx(0.107, abs=0.01)
    assert rhythm.heard > 0.7


def test_a_faint_press_before_a_clear_release_is_read_as_the_press() -> None:
    times, odds = np.array([1.0, 1.1]), np.array([-0.9, 4.0])
    read = read_presses(times, odds, Rhythm(0.1, 0.9))
    assert [(one.press, one.release) for one in read] == [(0, 1)]
