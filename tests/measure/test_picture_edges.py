"""Odd input to the eye: nothing, one picture, openings at the edge of the picture, pictures out of order."""

from fractions import Fraction

import numpy as np
import pytest
from tests.generator.stage import FRONT, SIDE, Play, performed

from nares.base.errors import OutOfRange
from nares.base.times import MediaTime
from nares.base.vocab import Region
from nares.measure.inputs import Picture
from nares.measure.picture.eye import Eye


def grey(at: int, shape: tuple[int, int] = (90, 160)) -> Picture:
    colour = np.full((shape[0] // 2, shape[1] // 2), 128, np.uint8)
    return Picture(MediaTime(at, Fraction(1, 30)), np.full(shape, 90, np.uint8), colour, colour)


def test_no_picture_gives_nothing_and_says_so() -> None:
    seen = Eye(FRONT, SIDE).finish()
    assert seen.nose_in == seen.hand_in == seen.lost == ()
    assert seen.notes == ("There was no picture to look at.",)


def test_no_region_gives_nothing_and_says_so() -> None:
    eye = Eye(None, None)
    eye.see(grey(0))
    assert "No opening was given" in eye.finish().notes[0]


def test_one_picture_gives_no_visit() -> None:
    eye = Eye(FRONT, SIDE)
    eye.see(next(iter(performed(Play()))))
    seen = eye.finish()
    assert seen.nose_in == seen.hand_in == ()


def test_flat_grey_pictures_give_no_visit() -> None:
    eye = Eye(FRONT, SIDE)
    for at in range(40):
        eye.see(grey(at))
    assert eye.finish().nose_in == ()


@pytest.mark.parametrize(
    "region", [Region(0, 0, 0.1, 0.15), Region(0.9, 0.85, 0.1, 0.15), Region(0, 0, 1, 1)]
)
def test_an_opening_at_the_edge_of_the_picture_is_looked_at(region: Region) -> None:
    eye = Eye(region, None)
    for picture in performed(Play(length_s=1.5, nose=(), hand=())):
        eye.see(picture)
    assert eye.finish().nose_in == ()


def test_a_speck_of_an_opening_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"3 x 4 pixels.*larger"):
        Eye(Region(0.5, 0.5, 0.02, 0.04), None).see(grey(0))


def test_pictures_out_of_order_are_refused() -> None:
    eye = Eye(FRONT, None)
    eye.see(grey(3))
    with pytest.raises(OutOfRange, match=r"0\.1 s\. Give pictures in the order"):
        eye.see(grey(3))


def test_a_picture_that_changes_size_is_refused() -> None:
    eye = Eye(FRONT, None)
    eye.see(grey(0))
    with pytest.raises(OutOfRange, match="two recordings"):
        eye.see(grey(1, (120, 160)))


def test_times_come_from_the_pictures_and_not_from_their_number() -> None:
    play = Play(length_s=5, nose=((1.5, 3.5),), hand=())
    eye = Eye(FRONT, None)
    for index, picture in enumerate(performed(play)):
        if index % 3 != 1:  # an uneven rate: every third picture is missing
            eye.see(picture)
    (visit,) = eye.finish().nose_in
    assert visit.start_s == pytest.approx(1.5, abs=0.07)
    assert visit.end_s == pytest.approx(3.5, abs=0.07)


def test_little_is_kept_of_each_picture() -> None:
    eye = Eye(FRONT, SIDE)
    for picture in performed(Play(length_s=1)):
        eye.see(picture)
    assert (len(eye._cells) + len(eye._match)) / 30 <= 2048
