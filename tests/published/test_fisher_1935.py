"""The lady tasting tea (figures remembered; every one follows from the 70 ways to choose 4 of 8)."""

import pytest

from nares.design.scoring.two_rates import fisher_two_sided


@pytest.mark.published(source="fisher-1935", at="chapter 2, three of four right", seen="memory")
def test_three_of_four_cups_right_is_no_rarer_than_0_485714() -> None:
    assert fisher_two_sided((3, 4), (1, 4)) == pytest.approx(0.485714, abs=0.0000005)


@pytest.mark.published(source="fisher-1935", at="chapter 2, four of four right, one side 1/70", seen="memory")
def test_all_four_cups_right_is_twice_one_in_seventy() -> None:
    assert fisher_two_sided((4, 4), (0, 4)) == pytest.approx(2 / 70, abs=1e-12)
