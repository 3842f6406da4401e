"""Listening does not depend on how the sound is cut, and bad blocks are refused in words."""

from collections.abc import Iterator

import numpy as np
import pytest
from numpy.typing import NDArray
from tests.generator.sessions import Soundscape, draw_session

from nares.base.errors import OutOfRange, WrongUse
from nares.measure.inputs import SoundBlock
from nares.measure.sound.ear import Ear
from nares.measure.sound.heard import Heard
from nares.measure.sound.stream import Stretches


def blocks(sound: NDArray[np.float64], size: int, rate_hz: int = 48_000) -> Iterator[SoundBlock]:
    for first in range(0, sound.size, size):
        yield SoundBlock(sound[first : first + size].astype(np.float32), first, rate_hz)


def heard(sound: NDArray[np.float64], size: int, rate_hz: int = 48_000) -> Heard:
    ear = Ear(rate_hz=rate_hz)
    for block in blocks(sound, size, rate_hz):
        ear.hear(block)
    return ear.finish()


@pytest.fixture(scope="module")
def short() -> Soundscape:
    return draw_session(12_001, length_s=9.3, events=("speech",))


@pytest.mark.parametrize("size", [1024, 48_000, 77_777, 10**9])
def test_the_size_of_the_blocks_changes_nothing(short: Soundscape, size: int) -> None:
    assert heard(short.sound, size) == heard(short.sound, 4801)


def test_uneven_blocks_change_nothing(short: Soundscape) -> None:
    chance, ear, first = np.random.default_rng(1), Ear(), 0
    while first < short.sound.size:
        size = int(chance.integers(1, 40_000))
        ear.hear(SoundBlock(short.sound[first : first + size].astype(np.float32), first, 48_000))
        first += size
    assert ear.finish() == heard(short.sound, 4801)


def test_what_was_heard_already_is_passed_over(short: Soundscape) -> None:
    ear = Ear()
    for block in blocks(short.sound, 9600):
        ear.hear(block)
        ear.hear(block)
    assert ear.finish() == heard(short.sound, 4801)


@pytest.mark.parametrize("rate_hz", [8000, 11_025, 44_100, 96_000])
def test_other_rates_keep_time(rate_hz: int) -> None:
    """A tone burst stays where it is: the rate change shifts nothing."""
    time_s = np.arange(int(5.5 * rate_hz)) / rate_hz
    sound = np.exp(-0.5 * ((time_s - 3.2) / 0.005) ** 2) * np.sin(2 * np.pi * 900 * time_s)
    stretches = Stretches(rate_hz)
    parts = [*stretches.add(SoundBlock(sound.astype(np.float32), 0, rate_hz)), *stretches.rest()]
    joined = np.concatenate([part.sound[9600:-9600] for part in parts])
    middle = np.sum(np.arange(joined.size) * joined.astype(float) ** 2) / np.sum(joined.astype(float) ** 2)
    assert middle / 48_000 == pytest.approx(3.2, abs=1e-4)
    assert [part.first for part in parts] == [96_000 * k for k in range(len(parts))]


def test_each_stretch_comes_with_the_sound_around_it() -> None:
    sound = np.random.default_rng(2).standard_normal(48_000 * 7) * 0.1
    stretches = Stretches(48_000)
    parts = [part for block in blocks(sound, 30_000) for part in stretches.add(block)] + [*stretches.rest()]
    around = np.pad(sound.astype(np.float32), (9600, 9600 + 96_000))
    for part in parts:
        np.testing.assert_array_equal(part.sound, around[part.first : part.first + part.sound.size])


def test_a_hole_is_silence_and_is_told(short: Soundscape) -> None:
    ear, half = Ear(), 144_000
    ear.hear(SoundBlock(short.sound[:half].astype(np.float32), 0, 48_000))
    ear.hear(SoundBlock(short.sound[half + 24_000 :].astype(np.float32), half + 24_000, 48_000))
    answer = ear.finish()
    assert "sound is missing in 1 places." in answer.notes
    assert all(not 2.97 < mark.at_s < 3.53 for mark in answer.marks)


def test_samples_before_the_start_are_left_out() -> None:
    stretches = Stretches(48_000)
    list(stretches.add(SoundBlock(np.ones(1500, dtype=np.float32), -1000, 48_000)))
    assert stretches.samples == 500
    assert stretches.heard_s == pytest.approx(500 / 48_000)


def test_no_sound_at_all_says_so() -> None:
    answer = Ear().finish()
    assert (answer.marks, answer.inhales, answer.bouts) == ((), (), ())
    assert answer.notes == ("not measurable: there is no sound.",)


def test_silence_holds_nothing() -> None:
    answer = heard(np.zeros(48_000 * 5), 48_000)
    assert (answer.marks, answer.inhales) == ((), ())
    assert not answer.breath_measurable


def test_not_a_number_is_heard_as_silence() -> None:
    answer = heard(np.full(96_000, np.nan), 48_000)
    assert answer.marks == ()


def test_a_block_of_another_rate_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"44100 Hz came into a recording of 48000 Hz"):
        Ear().hear(SoundBlock(np.zeros(10, dtype=np.float32), 0, 44_100))


def test_two_channels_are_refused() -> None:
    with pytest.raises(OutOfRange, match="Give one channel"):
        Ear().hear(SoundBlock(np.zeros((10, 2), dtype=np.float32), 0, 48_000))


def test_an_absurd_time_stamp_is_refused() -> None:
    with pytest.raises(OutOfRange, match="Check the time stamps"):
        Ear().hear(SoundBlock(np.zeros(10, dtype=np.float32), 10**12, 48_000))


@pytest.mark.parametrize("rate_hz", [4000, 10**6])
def test_an_impossible_rate_is_refused(rate_hz: int) -> None:
    with pytest.raises(OutOfRange, match="8000 to 384000"):
        Ear(rate_hz=rate_hz)


def test_a_marker_word_needs_examples() -> None:
    ear = Ear(marker="word")
    ear.hear(SoundBlock(np.full(48_000, 0.01, dtype=np.float32), 0, 48_000))
    with pytest.raises(WrongUse, match="found from examples"):
        ear.finish()


def test_an_unknown_marker_is_named() -> None:
    with pytest.raises(WrongUse, match="'bell' is not known"):
        Ear(marker="bell")  # type: ignore[arg-type]


def test_a_narrow_recording_is_told_so(short: Soundscape) -> None:
    from scipy.signal import resample_poly

    answer = heard(np.asarray(resample_poly(short.sound, 1, 3)), 8000, 16_000)
    assert any("reaches only 8.0 kHz" in note for note in answer.notes)
