"""The lung data and the Weibull fit that R's survival package keeps in its saved test output (read)."""

import pytest
from lifelines.datasets import load_lung

from nares.decide import hold_model


@pytest.mark.published(source="therneau-2024", at="tests/r_lung.Rout.save, survreg of ~1", seen="read")
def test_weibull_gives_6_034904_and_0_7593936_and_minus_1153_9() -> None:
    lung = load_lung()
    assert len(lung) == 228
    fits = hold_model(lung["time"].tolist(), lung["status"].tolist()).fits
    weibull = next(fit for fit in fits if fit.name == "weibull")
    assert weibull.place == pytest.approx(6.034904, abs=5e-7)
    assert weibull.spread == pytest.approx(0.7593936, abs=5e-8)
    assert weibull.log_likelihood == pytest.approx(-1153.9, abs=0.05)
