"""Sound against picture from four clicks with the hand in view: an invented hand on an invented wall."""

from fractions import Fraction

import numpy as np
import pytest

from nares.base.times import MediaTime
from nares.measure.inputs import Picture
from nares.measure.picture.stir import FOR_S, Stir, Stirred
from nares.measure.skew import skew_of

PRESSES_S = (2.02, 3.05, 3.98, 5.01)


def watched(
    skew_s: float,
    *,
    seed: int = 1,
    rate: int = 30,
    hand: bool = True,
    walker: bool = False,
    shake_px: float = 0.0,
    length_s: float = 8.0,
    strokes_s: tuple[float, ...] = PRESSES_S,
) -> Stirred:
    """A hand that dips by a few pixels at each press, ``skew_s`` late in the picture."""
    chance = np.random.default_rng(seed)
    wall = chance.uniform(60, 180, (90, 160))
    stir = Stir()
    for index in range(int(length_s * rate)):
        at_s = index / rate
        dip = sum(5 * np.exp(-0.5 * ((at_s - skew_s - press - 0.05) / 0.04) ** 2) for press in strokes_s)
        luma = np.roll(wall, round(shake_px * float(np.sin(3 * at_s))), axis=1)
        if hand:
            top = 40 + round(float(dip))
            luma[top : top + 14, 100:120] = 210
        if walker:
            left = int(10 + 12 * at_s)
            luma[5:60, left : left + 8] = 30
        luma = luma + chance.normal(0, 2, luma.shape)
        grey = np.full((45, 80), 128, np.uint8)
        stir.see(
            Picture(MediaTime(index, Fraction(1, rate)), np.clip(luma, 0, 255).astype(np.uint8), grey, grey)
        )
    return stir.finish()


@pytest.mark.parametrize("skew_s", [-0.12, 0.0, 0.04, 0.15])
@pytest.mark.parametrize("rate", [25, 30, 60])
def test_the_skew_is_found_within_its_own_interval(skew_s: float, rate: int) -> None:
    found = skew_of(watched(skew_s, rate=rate), PRESSES_S)
    assert found is not None
    assert found.skew_s == pytest.approx(skew_s, abs=found.within_s)
    assert found.within_s < 0.06


def test_somebody_walking_through_and_a_shaking_phone_change_little() -> None:
    found = skew_of(watched(0.15, walker=True, shake_px=2), PRESSES_S)
    assert found is not None
    assert found.skew_s == pytest.approx(0.15, abs=found.within_s)
    assert found.is_plain


@pytest.mark.parametrize("seed", range(12))
def test_without_a_hand_in_view_nothing_is_said(seed: int) -> None:
    assert skew_of(watched(0.1, seed=seed, hand=False, walker=seed % 2 == 0), PRESSES_S) is None


def test_a_hand_that_moves_at_other_times_says_nothing() -> None:
    restless = watched(0.0, strokes_s=(1.7, 2.6, 4.4, 5.6))
    assert skew_of(restless, PRESSES_S) is None


def test_nothing_is_said_of_a_picture_that_ends_before_the_marks() -> None:
    assert skew_of(watched(0.0, length_s=4.0), PRESSES_S) is None
    assert skew_of(Stir().finish(), PRESSES_S) is None
    assert skew_of(watched(0.0), ()) is None


def test_only_the_start_is_kept() -> None:
    stirred = watched(0.0, length_s=FOR_S + 3, rate=10)
    assert stirred.at_s[-1] <= FOR_S
