"""The peak flow example: the data and the printed figures are quoted alike in the tests of several
statistics packages (read); the paper's opening was read, its tables were not. The printed limits are taken
from the rounded mean and standard deviation. The printed intervals of the limits (-114.3 to -45.1) come from
an approximation that is not ours: `tests/recovery/test_limits.py` holds ours to its coverage instead.
"""

import pytest

from nares.measure.agreement.limits import limits_of_agreement

LARGE = [494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427]
MINI = [512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451]


@pytest.mark.published(source="bland-altman-1986", at="limits of agreement, mean and SD", seen="read")
def test_peak_flow_meters_differ_by_minus_2_1_with_a_standard_deviation_of_38_8() -> None:
    found = limits_of_agreement(MINI, LARGE, confidence=0.95, z=2)
    assert found.bias.value == pytest.approx(-2.1, abs=0.05)
    assert found.sd == pytest.approx(38.8, abs=0.05)


@pytest.mark.published(source="bland-altman-1986", at="limits of agreement", seen="read")
def test_peak_flow_limits_are_minus_79_7_and_75_5() -> None:
    found = limits_of_agreement(MINI, LARGE, confidence=0.95, z=2)
    bias, sd = round(found.bias.value, 1), round(found.sd, 1)
    assert (bias - 2 * sd, bias + 2 * sd) == pytest.approx((-79.7, 75.5), abs=1e-9)
    assert (found.lower.value, found.upper.value) == pytest.approx((-79.7, 75.5), abs=0.1)


@pytest.mark.published(
    source="bland-altman-1986", at="precision of the estimated limits, bias", seen="memory"
)
def test_the_interval_of_the_bias_is_minus_22_0_to_17_8() -> None:
    bias = limits_of_agreement(MINI, LARGE, confidence=0.95, z=2).bias
    assert (bias.low, bias.high) == pytest.approx((-22.0, 17.8), abs=0.05)
