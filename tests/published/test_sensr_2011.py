"""Ten of fifteen right in a forced choice of three, as the vignette of a package prints it (read)."""

import pytest

from nares.design.scoring.forced_choice import forced_choice

FOUND = forced_choice(10, 15, 3, confidence=0.95)


@pytest.mark.published(
    source="sensr-2011", at="discrim(10, 15, threeAFC): d-prime and its error", seen="read"
)
def test_ten_of_fifteen_give_1_1159_with_error_0_4359() -> None:
    assert (FOUND.d_prime, FOUND.d_error) == pytest.approx((1.1159, 0.4359), abs=0.00005)


@pytest.mark.published(source="sensr-2011", at="discrim(10, 15, threeAFC): likelihood root", seen="read")
def test_the_likelihood_root_gives_0_2803_to_1_9967() -> None:
    assert (FOUND.d_low, FOUND.d_high) == pytest.approx((0.2803, 1.9967), abs=0.00005)


@pytest.mark.published(source="sensr-2011", at="discrim(10, 15, threeAFC, statistic = exact)", seen="read")
def test_the_exact_interval_gives_0_1744201_to_2_1015496() -> None:
    # Printed to seven places from a root found to about five: 2.1015395 here.
    assert (FOUND.exact_low, FOUND.exact_high) == pytest.approx((0.1744201, 2.1015496), abs=0.00002)
