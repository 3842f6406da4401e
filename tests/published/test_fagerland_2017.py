"""One multinomial sample, one share, two shares: figures as in the tests of a package that implements
Fagerland, Lydersen and Laake (read).
"""

import pytest

from nares.base.interval import newcombe_interval
from nares.design.scoring.multinomial import fit_test
from nares.design.scoring.rates import exact_interval

SHARES = (0.402, 0.479, 0.119)


@pytest.mark.published(
    source="fagerland-2017", at="chi-square and exact multinomial test, 6, 1, 3", seen="read"
)
def test_six_one_three_give_6_727_and_exactly_0_04792() -> None:
    found = fit_test((6, 1, 3), [SHARES] * 10)
    assert found.ordering == "chi-square"
    assert found.how == "counted out"
    assert found.chi_square == pytest.approx(6.727, abs=0.0005)
    assert (found.p_exact, found.p_mid) == pytest.approx((0.04792, 0.04649), abs=0.000005)


@pytest.mark.published(source="fagerland-2017", at="chi-square test, 276, 380, 118", seen="read")
def test_the_large_sample_gives_11_481_and_0_00321() -> None:
    found = fit_test((276, 380, 118), [SHARES] * 774)
    assert found.chi_square == pytest.approx(11.481, abs=0.0005)
    assert found.p_large == pytest.approx(0.00321, abs=0.000005)
    assert found.error is not None
    assert abs(found.p_exact - 0.00321) < 2 * found.error


@pytest.mark.published(source="fagerland-2017", at="Clopper-Pearson interval, 13 of 16", seen="read")
def test_thirteen_of_sixteen_lie_between_0_5435_and_0_9595() -> None:
    assert exact_interval(13 / 16, 16, confidence=0.95) == pytest.approx((0.5435, 0.9595), abs=0.00005)


@pytest.mark.published(source="fagerland-2017", at="Newcombe hybrid score, 7 of 34 and 1 of 34", seen="read")
def test_seven_and_one_of_34_differ_by_0_0189_to_0_3404() -> None:
    found = newcombe_interval((7, 34), (1, 34), confidence=0.95)
    assert found == pytest.approx((0.0189, 0.3404), abs=0.00005)
