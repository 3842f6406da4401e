"""Forced choice and max rule against adaptive integration and against plain drawing."""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq, minimize
from scipy.stats import multinomial, norm

from nares.design.scoring.forced_choice import chance_right, dprime_right
from nares.design.scoring.max_rule import Group, chances, fit_max_rule

PRINTED = {
    0.50: "0 .557 .837 1.019 1.153 1.257 1.342 1.475 1.576",
    0.60: ".358 .885 1.153 1.329 1.457 1.558 1.641 1.770 1.869",
    0.70: ".742 1.238 1.493 1.661 1.785 1.882 1.962 2.087 2.183",
    0.75: ".954 1.434 1.682 1.846 1.967 2.063 2.141 2.264 2.358",
    0.80: "1.190 1.652 1.893 2.053 2.171 2.264 2.340 2.461 2.553",
    0.85: "1.466 1.908 2.140 2.294 2.409 2.499 2.574 2.691 2.782",
    0.90: "1.812 2.230 2.452 2.600 2.710 2.797 2.869 2.983 3.071",
    0.95: "2.326 2.710 2.916 3.055 3.159 3.242 3.310 3.418 3.502",
    0.99: "3.290 3.617 3.797 3.920 4.012 4.086 4.147 4.246 4.322",
}
"""d' by share right (rows) and places (columns), worked out apart from this code."""

PLACES = (2, 3, 4, 5, 6, 7, 8, 10, 12)


def right_by_quad(d_prime: float, places: int) -> float:
    value, _ = quad(
        lambda x: norm.pdf(x - d_prime) * norm.cdf(x) ** (places - 1),
        -9,
        d_prime + 9,
        epsabs=1e-11,
        limit=200,
    )
    return float(value)


@pytest.mark.parametrize("places", range(2, 13))
def test_chance_right_is_what_adaptive_integration_gives(places: int) -> None:
    for d_prime in (0.0, 0.3, 1.0, 2.0, 3.5, 5.0):
        assert chance_right(d_prime, places) == pytest.approx(right_by_quad(d_prime, places), abs=5e-5)
    assert chance_right(0.0, places) == pytest.approx(1 / places, abs=1e-10)


@pytest.mark.parametrize("share", PRINTED)
def test_every_row_of_the_table_of_forced_choice(share: float) -> None:
    for places, printed in zip(PLACES, PRINTED[share].split(), strict=True):
        found = dprime_right(share, places)
        assert found == pytest.approx(float(printed), abs=0.0005)
        if found:
            again = brentq(lambda d, m=places: right_by_quad(d, m) - share, 0, 8, xtol=1e-9)
            assert found == pytest.approx(again, abs=5e-5)


@pytest.mark.parametrize(
    ("d_prime", "criterion", "expected"),
    [(3, 2, (0.8310, 0.0243, 0.1447)), (2, 2, (0.4879, 0.0561, 0.4560)), (4, 2, (0.9737, 0.0056, 0.0207))],
)
def test_the_max_rule_of_five_places(
    d_prime: float, criterion: float, expected: tuple[float, float, float]
) -> None:
    assert chances(d_prime, criterion, places=5, targets=1) == pytest.approx(expected, abs=0.00005)
    assert chances(d_prime, criterion, places=5, targets=0)[1] == pytest.approx(0.1087, abs=0.00005)


@pytest.mark.parametrize(("places", "targets"), [(1, 1), (2, 1), (6, 1), (6, 2), (8, 3), (4, 4)])
def test_the_max_rule_is_what_drawing_gives(places: int, targets: int) -> None:
    draws = np.random.default_rng(places * 10 + targets)
    smells = draws.standard_normal((400_000, places))
    smells[:, :targets] += 1.7
    best, largest = smells.argmax(axis=1), smells.max(axis=1)
    right = ((best < targets) & (largest > 1.1)).mean()
    clear = (largest <= 1.1).mean()
    found = chances(1.7, 1.1, places=places, targets=targets)
    assert found == pytest.approx((right, 1 - right - clear, clear), abs=0.003)
    assert sum(found) == pytest.approx(1.0, abs=1e-9)


def test_the_fit_is_where_another_search_finds_it() -> None:
    def unlikely(at: np.ndarray) -> float:
        d_prime, criterion = float(at[0]), float(at[1])
        clear = norm.cdf(criterion - d_prime) * norm.cdf(criterion) ** 5
        right, _ = quad(lambda x: norm.pdf(x - d_prime) * norm.cdf(x) ** 5, criterion, d_prime + 9)
        target = multinomial.logpmf([9, 2, 4], 15, [right, 1 - right - clear, clear])
        false = 1 - norm.cdf(criterion) ** 6
        return -float(target + multinomial.logpmf([1, 4], 5, [false, 1 - false]))

    other = minimize(unlikely, np.array([1.0, 1.0]), method="Nelder-Mead", options={"xatol": 1e-6})
    found = fit_max_rule([Group(6, 1, 9, 2, 4), Group(6, 0, 0, 1, 4)], confidence=0.95)
    assert (found.d_prime, found.criterion_c) == pytest.approx(tuple(other.x), abs=1e-3)
