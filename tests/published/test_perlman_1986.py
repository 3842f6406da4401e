"""d' and the likelihood ratio from two rates, as a manual prints them (read)."""

from math import exp

import pytest

from nares.design.scoring.yes_no import sensitivity


@pytest.mark.published(source="perlman-1986", at="example, hit rate .7, false alarm rate .4", seen="read")
def test_seven_and_four_tenths_give_0_78_and_0_90() -> None:
    d_prime, criterion = sensitivity(0.7, 0.4)
    assert d_prime == pytest.approx(0.78, abs=0.005)
    assert exp(criterion * d_prime) == pytest.approx(0.90, abs=0.005)
