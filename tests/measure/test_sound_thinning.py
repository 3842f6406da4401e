"""Thinning the sound by a matrix product is the filter of a general-purpose library, only quicker."""

import numpy as np
import pytest
from scipy.signal import resample_poly

from nares.measure.sound.bands import thinned


@pytest.mark.parametrize("samples", [8, 160, 99_200])
def test_thinning_agrees_with_scipy(samples: int) -> None:
    sound = np.random.default_rng(samples).normal(size=samples).astype(np.float32)
    low = thinned(sound)
    assert low.dtype == np.float32
    assert low == pytest.approx(resample_poly(sound, 1, 8), abs=3e-6)


def test_what_lies_above_three_kilohertz_is_gone() -> None:
    at_s = np.arange(48_000) / 48_000
    high, speech = (np.sin(2 * np.pi * hz * at_s).astype(np.float32) for hz in (5_000.0, 300.0))
    assert np.abs(thinned(high)[100:-100]).max() < 0.01
    assert np.abs(thinned(speech)[100:-100]).max() == pytest.approx(1.0, abs=0.02)
