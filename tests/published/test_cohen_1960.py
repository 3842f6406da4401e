"""Kappa: Cohen's own example (from memory) and the error as a listing quoted in the tests of statsmodels
prints it (read).
"""

import pytest

from nares.measure.agreement.kappa import cohens_kappa


def laid_out(table: list[list[int]]) -> tuple[list[int], list[int]]:
    """One pair of kinds for every item of a table of counts."""
    pairs = [(i, j) for i, row in enumerate(table) for j, count in enumerate(row) for _ in range(count)]
    return [i for i, _ in pairs], [j for _, j in pairs]


@pytest.mark.published(source="cohen-1960", at="Table 1, two judges, 200 people", seen="memory")
def test_cohens_two_judges_agree_by_0_492() -> None:
    first, second = laid_out([[88, 14, 18], [10, 40, 10], [2, 6, 12]])
    found = cohens_kappa(first, second, kinds=3, confidence=0.95)
    assert found.value == pytest.approx(0.492, abs=0.0005)
    assert found.agreement == pytest.approx(0.70)


@pytest.mark.published(
    source="fleiss-cohen-everitt-1969", at="error of kappa, as a listing prints it", seen="read"
)
def test_the_listings_kappa_is_0_4842_with_an_error_of_0_1380() -> None:
    first, second = laid_out([[0, 4, 1], [0, 8, 0], [0, 1, 5]])
    found = cohens_kappa(first, second, kinds=3, confidence=0.95)
    assert (found.value, found.se) == pytest.approx((0.4842, 0.1380), abs=0.00005)
    assert (found.low, found.high) == pytest.approx((0.2137, 0.7547), abs=0.00005)
