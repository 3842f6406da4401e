"""Newcombe's hybrid interval of a difference. Inputs and the limits of 7/34 against 1/34 were read in a
package's tests; those of 56/70 against 48/80 are remembered.
"""

import pytest

from nares.base.interval import newcombe_interval
from nares.design.cues.contingency import difference_interval, paid_of


@pytest.mark.published(source="newcombe-1998b", at="Table II, 56/70 against 48/80, method 10", seen="memory")
def test_56_of_70_against_48_of_80_is_0_0524_to_0_3339() -> None:
    found = difference_interval(paid_of(56, 70), paid_of(48, 80))
    assert found == pytest.approx((0.0524, 0.3339), abs=5e-5)


@pytest.mark.published(source="fagerland-2017", at="7/34 against 1/34, Newcombe hybrid score", seen="read")
def test_7_of_34_against_1_of_34_is_0_0189_to_0_3404() -> None:
    found = difference_interval(paid_of(7, 34), paid_of(1, 34))
    assert found == pytest.approx((0.0189, 0.3404), abs=5e-5)


def test_never_tried_has_no_difference() -> None:
    assert difference_interval(paid_of(7, 34), paid_of(0, 0)) == (None, None)


@pytest.mark.published(source="newcombe-1998b", at="Table II, method 10, scores of line-ups", seen="memory")
def test_line_ups_give_0_0524_to_0_3339_too() -> None:
    found = newcombe_interval((56, 70), (48, 80), confidence=0.95)
    assert found == pytest.approx((0.0524, 0.3339), abs=5e-5)
