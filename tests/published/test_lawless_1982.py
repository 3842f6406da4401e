"""Twenty-three ball bearings run until they failed (millions of turns): the Weibull and the generalised gamma
fit that Lawless prints. Data and figures from memory; both fits agree with lifelines (tests/oracle).
"""

import numpy as np
import pytest

from nares.decide import hold_model
from nares.decide.hold.shapes import fit_any_form, seen_of
from nares.decide.hold.survival import checked_holds

BEARINGS = [
    17.88, 28.92, 33.00, 41.52, 42.12, 45.60, 48.40, 51.84, 51.96, 54.12, 55.56, 67.80,
    68.64, 68.64, 68.88, 84.12, 93.12, 98.64, 105.12, 105.84, 127.92, 128.04, 173.40,
]  # fmt: skip
ALL_FAILED = [1] * len(BEARINGS)


@pytest.mark.published(source="lawless-1982", at="ball bearings, Weibull fit", seen="memory")
def test_weibull_gives_81_87_and_2_10() -> None:
    weibull = next(fit for fit in hold_model(BEARINGS, ALL_FAILED).fits if fit.name == "weibull")
    assert np.exp(weibull.place) == pytest.approx(81.87, abs=0.005)
    assert 1 / weibull.spread == pytest.approx(2.10, abs=0.005)


@pytest.mark.published(source="lawless-1982", at="ball bearings, generalised gamma fit", seen="memory")
def test_generalised_gamma_gives_k_10_6_mu_4_23_and_sigma_0_510() -> None:
    found = fit_any_form(seen_of(checked_holds(BEARINGS, ALL_FAILED, None)))
    assert found.form**-2 == pytest.approx(10.6, abs=0.05)
    assert found.place == pytest.approx(4.23, abs=0.005)
    assert found.spread == pytest.approx(0.510, abs=0.0005)
