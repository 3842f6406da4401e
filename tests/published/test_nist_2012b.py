"""Four of twenty at 90 per cent, two-sided: the setting was read, the limits are remembered."""

import pytest

from nares.design.scoring.rates import exact_interval


@pytest.mark.published(source="nist-2012b", at="section 7.2.4.1, 4 of 20, 90 %", seen="memory")
def test_four_of_twenty_lie_between_0_071354_and_0_401029() -> None:
    found = exact_interval(0.2, 20, confidence=0.90)
    assert found == pytest.approx((0.071354, 0.401029), abs=0.0000015)
