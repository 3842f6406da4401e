"""A spoken word as the marker: found by its examples, not by the talk around it."""

import numpy as np
import pytest
from tests.generator.soundcraft import Sound, add, coloured
from tests.generator.talkers import draw_talker, running_speech, said
from tests.generator.words import WordScape, draw_examples, draw_word_session

from nares.base.errors import NotEnoughData, WrongUse
from nares.measure.inputs import SoundBlock
from nares.measure.scoring import event_scores
from nares.measure.sound.ear import Ear
from nares.measure.sound.heard import Heard
from nares.measure.sound.word_paths import distances, fits, path_of
from nares.measure.sound.word_print import WordPrint, learn_word


def block(sound: Sound) -> SoundBlock:
    return SoundBlock(sound.astype(np.float32), 0, 48_000)


def heard(sound: Sound, known: WordPrint | None, *, step: int | None = None) -> Heard:
    ear = Ear(marker="word", clicker=known)
    size = step or sound.size
    for first in range(0, sound.size, size):
        ear.hear(SoundBlock(sound[first : first + size].astype(np.float32), first, 48_000))
    return ear.finish()


def examples_of(words: list[str], *, seed: int = 14_000, pause_s: float = 0.8) -> Sound:
    """One talker says these words one after another."""
    chance = np.random.default_rng(seed)
    talker = draw_talker(chance)
    parts = [np.zeros(40_000)]
    for word in words:
        one = said(chance, talker, word, care=0.6)
        parts += [one, np.zeros(int(pause_s * 48_000))]
    sound = np.concatenate(parts)
    return 0.05 * (sound + 0.02 * coloured(chance, sound.size, 3.0))


@pytest.fixture(scope="module")
def scapes() -> list[WordScape]:
    return [draw_word_session(seed, length_s=25.0, word_db=25.0) for seed in range(14_100, 14_106)]


def test_a_word_is_found_among_speech_barks_and_knocks(scapes: list[WordScape]) -> None:
    true: list[float] = []
    found: list[float] = []
    for number, scape in enumerate(scapes):
        answer = heard(scape.sound, learn_word([block(scape.examples)]))
        true += [at_s + 1000.0 * number for at_s in scape.marks_s]
        found += [mark.at_s + 1000.0 * number for mark in answer.marks]
    scores = event_scores(true, found, 0.050)
    assert len(true) > 25
    assert scores.f1 >= 0.85
    assert abs(scores.bias_s or 0.0) < 0.015


def test_the_answer_does_not_depend_on_the_blocks(scapes: list[WordScape]) -> None:
    known = learn_word([block(scapes[0].examples)])
    assert heard(scapes[0].sound, known) == heard(scapes[0].sound, known, step=4_321)


def test_a_word_is_as_near_as_it_says(scapes: list[WordScape]) -> None:
    answer = heard(scapes[1].sound, learn_word([block(scapes[1].examples)]))
    assert all(mark.within_s is not None and 0.02 <= mark.within_s <= 0.06 for mark in answer.marks)
    assert all(0.65 <= mark.sure <= 1.0 for mark in answer.marks)
    assert all(0.1 <= mark.sure < 0.65 for mark in answer.doubtful_marks)


def test_talk_without_the_word_has_hardly_a_mark() -> None:
    chance = np.random.default_rng(14_200)
    talker = draw_talker(chance)
    known = learn_word([block(draw_examples(chance, talker, "b ih ng g ow", count=5, over_db=30.0))])
    other = draw_talker(chance)
    talk = np.concatenate([running_speech(chance, one, 25.0) for one in (talker, other)])
    answer = heard(0.05 * (talk + 0.05 * coloured(chance, talk.size, 3.0)), known)
    assert len(answer.marks) <= 1
    assert len(answer.doubtful_marks) <= 20


def test_four_words_at_the_start_stand_for_examples() -> None:
    scape = draw_word_session(14_301, length_s=25.0, word="j eh s", word_db=28.0, start_block=True)
    answer = heard(scape.sound, None)
    assert answer.start_block == pytest.approx(scape.marks_s[:4], abs=0.05)
    assert answer.floor_db is not None
    assert any("four at the start" in note for note in answer.notes)
    assert event_scores(scape.marks_s, [mark.at_s for mark in answer.marks], 0.05).f1 >= 0.85


def test_without_examples_the_session_is_refused_early() -> None:
    ear = Ear(marker="word")
    talk = 0.05 * running_speech(np.random.default_rng(1), draw_talker(np.random.default_rng(1)), 16.0)
    with pytest.raises(WrongUse, match=r"found from examples, and none were given.*three to ten times"):
        ear.hear(block(talk))


def test_a_recording_without_sound_is_no_misuse() -> None:
    assert Ear(marker="word").finish().marks == ()


def test_a_print_of_something_else_is_refused() -> None:
    known = learn_word([block(examples_of(["j eh s"] * 4))])
    with pytest.raises(WrongUse, match="not that of a whistle"):
        Ear(marker="whistle", clicker=known)


def test_an_empty_recording_teaches_no_word() -> None:
    with pytest.raises(NotEnoughData, match=r"empty.*three to ten times"):
        learn_word([])
    with pytest.raises(NotEnoughData, match="No voice was heard"):
        learn_word([block(0.001 * coloured(np.random.default_rng(2), 200_000, 3.0))])


def test_two_examples_are_too_few() -> None:
    with pytest.raises(NotEnoughData, match="Only 2 examples of the word were heard"):
        learn_word([block(examples_of(["j eh s"] * 2))])


def test_examples_longer_than_two_seconds_are_refused() -> None:
    sentence = "g uh d d ao g b r aa v m ae n s uw p er d ah n w eh l d ah n n ay s w er k"
    with pytest.raises(NotEnoughData, match="3 of 3 examples of the word last longer than 2 s"):
        learn_word([block(examples_of([sentence] * 3))])


def test_examples_unlike_each_other_are_named() -> None:
    with pytest.raises(NotEnoughData, match=r"unlike the other examples"):
        learn_word([block(examples_of(["j eh s", "ow k ey", "b r aa v"]))])


def test_one_odd_example_is_left_out_and_named() -> None:
    known = learn_word([block(examples_of(["j eh s", "j eh s", "b ih ng g ow", "j eh s", "j eh s"]))])
    assert known.left_out == (3,)
    assert len(known.examples) == 4


def test_another_rate_keeps_the_words_in_place(scapes: list[WordScape]) -> None:
    from scipy.signal import resample_poly

    scape = scapes[2]
    known = learn_word([block(scape.examples)])
    ear = Ear(rate_hz=16_000, marker="word", clicker=known)
    ear.hear(SoundBlock(np.asarray(resample_poly(scape.sound, 1, 3), dtype=np.float32), 0, 16_000))
    here = [mark.at_s for mark in heard(scape.sound, known).marks]
    assert event_scores(here, [mark.at_s for mark in ear.finish().marks], 0.02).f1 >= 0.8


def test_digital_silence_before_the_talk_invents_nothing(scapes: list[WordScape]) -> None:
    scape = scapes[0]
    known = learn_word([block(scape.examples)])
    later = heard(np.concatenate([np.zeros(5 * 48_000), scape.sound]), known)
    here = heard(scape.sound, known)
    moved = [mark.at_s - 5.0 for mark in later.marks]
    assert min(moved, default=0.0) >= 0.0
    assert event_scores([mark.at_s for mark in here.marks], moved, 0.02).f1 >= 0.7


def test_paths_agree_with_a_plain_table() -> None:
    """The same recurrence, cell by cell in plain Python."""
    chance = np.random.default_rng(3)
    rows, example = (chance.standard_normal((n, 4)).astype(np.float32) for n in (30, 7))
    apart = distances(rows, example).astype(float)
    table = np.full((30, 7), np.inf)
    for i in range(30):
        table[i, 0] = apart[i, 0]
        for j in range(1, 7):
            ways = [table[i, j - 1] + 0.25]
            ways += [table[i - 1, j - 1]] if i >= 1 else []
            ways += [table[i - 2, j - 1] + 0.25 + 0.5 * apart[i - 1, j]] if i >= 2 else []
            table[i, j] = apart[i, j] + min(ways)
    cost, begun = fits(rows, example)
    assert cost == pytest.approx(table[:, -1] / 7, rel=1e-4)
    end = int(np.argmin(cost))
    where, _ = path_of(rows[: end + 1], example)
    assert where[0] == begun[end]
    assert where[-1] == end


def test_an_utterance_lies_on_itself_at_no_cost() -> None:
    rows = np.random.default_rng(4).standard_normal((12, 5)).astype(np.float32)
    cost, begun = fits(np.concatenate([rows + 9, rows, rows - 9]), rows)
    assert int(np.argmin(cost)) == 23
    assert cost.min() == pytest.approx(0.0, abs=1e-3)
    assert begun[23] == 12


def test_a_session_said_by_nobody_has_no_mark() -> None:
    known = learn_word([block(examples_of(["j eh s"] * 4))])
    still = 0.01 * coloured(np.random.default_rng(6), 8 * 48_000, 3.0)
    assert heard(still, known).marks == ()
    knocks = still.copy()
    for at_s in (1.0, 2.2, 4.0, 5.5):
        add(knocks, np.exp(-np.arange(4800) / 400.0) * np.random.default_rng(7).standard_normal(4800), at_s)
    assert heard(knocks, known).marks == ()
