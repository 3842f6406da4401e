"""Eight angles, Zar's examples 26.4, 26.6 (section) and 27.1: data and printed figures were read in the
tests of a circular statistics package that cites edition and page; the book itself was not seen. The same
file prints 99 degrees for the mean.
"""

import pytest

from nares.measure.marking.circular import mean_direction

EIGHT = [degrees / 360 for degrees in (45, 55, 81, 96, 110, 117, 132, 154)]


@pytest.mark.published(source="zar-2010", at="Example 26.4", seen="read")
def test_eight_angles_have_a_mean_of_99_degrees_and_a_length_of_0_82522() -> None:
    found = mean_direction(EIGHT, confidence=0.95)
    assert found.phase is not None
    assert 360 * found.phase == pytest.approx(99, abs=0.5)
    assert found.length == pytest.approx(0.82522, abs=0.000005)


@pytest.mark.published(source="zar-2010", at="Example 27.1", seen="read")
def test_rayleighs_z_is_5_448_and_its_chance_between_0_001_and_0_002() -> None:
    found = mean_direction(EIGHT, confidence=0.95)
    assert found.rayleigh_z == pytest.approx(5.448, abs=0.0005)
    assert 0.001 < found.by_chance < 0.002


@pytest.mark.published(source="zar-2010", at="section 26.7, interval of the mean", seen="read")
def test_the_mean_of_eight_angles_lies_between_68_and_130_degrees() -> None:
    found = mean_direction(EIGHT, confidence=0.95)
    assert found.low is not None
    assert found.high is not None
    assert (360 * found.low, 360 * found.high) == pytest.approx((68, 130), abs=0.5)
