"""A whistle as the marker: found among howls, birds, hinges, alarms and talk, at its first sound."""

import numpy as np
import pytest
from tests.generator.sessions import draw_session
from tests.generator.soundcraft import Sound, add, coloured
from tests.generator.whistles import KINDS, WhistleScape, draw_whistle_session, draw_whistler

from nares.base.errors import NotEnoughData, WrongUse
from nares.base.vocab import Mark
from nares.measure.inputs import SoundBlock
from nares.measure.scoring import event_scores
from nares.measure.sound.ear import Ear
from nares.measure.sound.heard import Heard
from nares.measure.sound.whistle import WhistlePrint, learn_whistle


def block(sound: Sound) -> SoundBlock:
    return SoundBlock(sound.astype(np.float32), 0, 48_000)


def heard(sound: Sound, known: WhistlePrint | None = None, *, step: int | None = None) -> Heard:
    ear = Ear(marker="whistle", clicker=known)
    size = step or sound.size
    for first in range(0, sound.size, size):
        ear.hear(SoundBlock(sound[first : first + size].astype(np.float32), first, 48_000))
    return ear.finish()


def whistles(sound: Sound, known: WhistlePrint | None = None) -> tuple[Mark, ...]:
    return heard(sound, known).marks


def whistle(hz: float, length_s: float) -> Sound:
    time_s = np.arange(int(length_s * 48_000)) / 48_000
    pitch = hz * (1 + 0.01 * np.sin(2 * np.pi * 5 * time_s))
    rise = np.minimum(np.minimum(time_s, length_s - time_s) / 0.01, 1.0)
    return np.asarray(rise * np.sin(2 * np.pi * np.cumsum(pitch) / 48_000))


def pooled(scapes: list[WhistleScape], *, told: bool) -> tuple[float, float]:
    """F1 within 20 ms and the median error over sessions taken together."""
    true: list[float] = []
    found: list[float] = []
    for number, scape in enumerate(scapes):
        known = learn_whistle([block(scape.alone)]) if told else None
        true += [at_s + 1000.0 * number for at_s in scape.marks_s]
        found += [mark.at_s + 1000.0 * number for mark in whistles(scape.sound, known)]
    scores = event_scores(true, found, 0.020)
    return scores.f1, abs(scores.bias_s or 0.0)


@pytest.fixture(scope="module")
def scapes() -> list[WhistleScape]:
    kinds = ["pip", "blast", "pea", "trill", "glide", "finger"]
    return [
        draw_whistle_session(14_500 + number, length_s=20.0, kind=kind) for number, kind in enumerate(kinds)
    ]


def test_whistles_of_a_print_are_found_among_other_tones(scapes: list[WhistleScape]) -> None:
    f1, error_s = pooled(scapes, told=True)
    assert f1 >= 0.9
    assert error_s < 0.008


def test_whistles_that_keep_coming_back_are_found_without_a_print(scapes: list[WhistleScape]) -> None:
    f1, error_s = pooled(scapes, told=False)
    assert f1 >= 0.88
    assert error_s < 0.008


@pytest.mark.parametrize("hz", [2200.0, 3100.0, 4600.0])
def test_whistles_are_found_where_they_begin(hz: float) -> None:
    chance, times = np.random.default_rng(4), [1.2, 3.55, 5.0, 7.3]
    sound = 0.01 * coloured(chance, 9 * 48_000, 3.0)
    for at_s in times:
        add(sound, 0.1 * whistle(hz, chance.uniform(0.15, 0.5)), at_s)
    marks = whistles(sound)
    assert [mark.at_s for mark in marks] == pytest.approx(times, abs=0.015)
    assert min(mark.sure for mark in marks) > 0.6


@pytest.mark.parametrize("kind", KINDS)
def test_a_blast_is_one_mark(kind: str) -> None:
    chance = np.random.default_rng(14_600)
    whistler, times = draw_whistler(chance, kind), [1.5, 4.6, 7.7]
    sound = 0.01 * coloured(chance, 11 * 48_000, 3.0)
    for at_s in times:
        add(sound, 0.1 * whistler.blow(chance), at_s)
    assert [mark.at_s for mark in whistles(sound)] == pytest.approx(times, abs=0.020)


def test_two_blasts_four_tenths_apart_both_count() -> None:
    sound = 0.01 * coloured(np.random.default_rng(8), 8 * 48_000, 3.0)
    times = [1.0, 1.4, 3.0, 5.0, 5.4]
    for at_s in times:
        add(sound, 0.1 * whistle(2800.0, 0.16), at_s)
    assert [mark.at_s for mark in whistles(sound)] == pytest.approx(times, abs=0.015)


def test_the_answer_does_not_depend_on_the_blocks(scapes: list[WhistleScape]) -> None:
    assert heard(scapes[0].sound) == heard(scapes[0].sound, step=4_321)


def test_speech_and_clicks_are_no_whistle() -> None:
    scape = draw_session(14_001, length_s=20.0, events=("speech", "key"), events_a_minute=30.0)
    assert whistles(scape.sound) == ()


def test_a_tone_that_never_stops_is_no_mark() -> None:
    sound = 0.01 * coloured(np.random.default_rng(5), 8 * 48_000, 3.0)
    add(sound, 0.1 * whistle(3000.0, 7.0), 0.5)
    assert whistles(sound) == ()


def test_a_session_without_the_whistle_of_the_print_has_hardly_a_mark(scapes: list[WhistleScape]) -> None:
    known = learn_whistle([block(scapes[1].alone)])
    silent = [draw_whistle_session(seed, length_s=20.0, has_marks=False) for seed in (14_701, 14_702, 14_703)]
    assert sum(len(whistles(scape.sound, known)) for scape in silent) <= 1


def test_four_blasts_at_the_start_make_a_print() -> None:
    scape = draw_whistle_session(14_801, length_s=20.0, kind="pip", start_block=True)
    answer = heard(scape.sound)
    assert answer.start_block == pytest.approx(scape.marks_s[:4], abs=0.02)
    assert answer.floor_db is not None
    assert any("four blasts at the start" in note for note in answer.notes)
    assert event_scores(scape.marks_s, [mark.at_s for mark in answer.marks], 0.02).f1 >= 0.9


def test_without_a_print_it_is_said_that_the_marks_are_less_sure(scapes: list[WhistleScape]) -> None:
    assert any("keeps coming back" in note for note in heard(scapes[1].sound).notes)


def test_breath_is_heard_under_whistles() -> None:
    """Nothing is blanked for a whistle: the same intakes are found as without it."""
    scape = draw_session(14_901, length_s=20.0, click_db=None, breath_db=18.0, events=())
    plain = heard(scape.sound)
    blown = scape.sound.copy()
    for at_s in (3.0, 9.0, 15.0):
        add(blown, 0.05 * whistle(3000.0, 0.2), at_s)
    answer = heard(blown)
    assert len(answer.marks) == 3
    assert len(answer.inhales) >= 0.85 * len(plain.inhales) > 10


def test_a_recording_without_whistles_teaches_none() -> None:
    with pytest.raises(NotEnoughData, match="No tone was heard"):
        learn_whistle([])
    with pytest.raises(NotEnoughData, match="Blow it three or four times"):
        learn_whistle([block(0.01 * coloured(np.random.default_rng(9), 200_000, 3.0))])


def test_a_print_of_a_whistle_is_no_clicker(scapes: list[WhistleScape]) -> None:
    known = learn_whistle([block(scapes[0].alone)])
    with pytest.raises(WrongUse, match="not that of a click"):
        Ear(clicker=known)
