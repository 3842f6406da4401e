"""The progression of twelve with mean 30, read in a vignette that prints it to three places."""

import pytest

from nares.decide import fleshler_hoffman

PRINTED = [
    1.286, 4.017, 7.022, 10.363, 14.122, 18.423, 23.446, 29.487, 37.067, 47.261, 62.958, 104.547,
]  # fmt: skip


@pytest.mark.published(source="fleshler-hoffman-1962", at="vignette, N = 12, mean 30", seen="read")
def test_twelve_around_thirty_are_as_printed() -> None:
    assert fleshler_hoffman(12, mean_s=30) == pytest.approx(PRINTED, abs=0.0005)
