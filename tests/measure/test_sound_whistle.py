"""A whistle as the marker: steady tones, not voices, not clicks."""

import numpy as np
import pytest
from tests.generator.sessions import draw_session
from tests.generator.soundcraft import Sound, add, coloured

from nares.base.vocab import Mark
from nares.measure.inputs import SoundBlock
from nares.measure.sound.ear import Ear


def whistles(sound: Sound) -> tuple[Mark, ...]:
    ear = Ear(marker="whistle")
    ear.hear(SoundBlock(sound.astype(np.float32), 0, 48_000))
    return ear.finish().marks


def whistle(hz: float, length_s: float) -> Sound:
    time_s = np.arange(int(length_s * 48_000)) / 48_000
    pitch = hz * (1 + 0.01 * np.sin(2 * np.pi * 5 * time_s))
    rise = np.minimum(np.minimum(time_s, length_s - time_s) / 0.01, 1.0)
    return np.asarray(rise * np.sin(2 * np.pi * np.cumsum(pitch) / 48_000))


@pytest.mark.parametrize("hz", [2200.0, 3100.0, 4600.0])
def test_whistles_are_found_where_they_begin(hz: float) -> None:
    chance, times = np.random.default_rng(4), [1.2, 3.55, 5.0, 7.3]
    sound = 0.01 * coloured(chance, 9 * 48_000, 3.0)
    for at_s in times:
        add(sound, 0.1 * whistle(hz, chance.uniform(0.15, 0.5)), at_s)
    marks = whistles(sound)
    assert [mark.at_s for mark in marks] == pytest.approx(times, abs=0.015)
    assert min(mark.sure for mark in marks) > 0.6


def test_speech_and_clicks_are_no_whistle() -> None:
    scape = draw_session(14_001, length_s=20.0, events=("speech", "key"), events_a_minute=30.0)
    assert whistles(scape.sound) == ()


def test_a_tone_that_never_stops_is_no_mark() -> None:
    sound = 0.01 * coloured(np.random.default_rng(5), 8 * 48_000, 3.0)
    add(sound, 0.1 * whistle(3000.0, 7.0), 0.5)
    assert whistles(sound) == ()
