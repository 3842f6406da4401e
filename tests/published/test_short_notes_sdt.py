"""d' and the likelihood ratio for three observers, as lecture notes print them (read)."""

from math import exp

import pytest

from nares.design.scoring.yes_no import sensitivity

ROWS = [(0.7, 0.1, 1.806, 1.981), (0.5, 0.4, 0.253, 1.033), (0.85, 0.05, 2.681, 2.261)]


@pytest.mark.published(source="short-notes-sdt", at="table of three observers", seen="read")
@pytest.mark.parametrize(("hit_rate", "false_rate", "d_printed", "ratio_printed"), ROWS)
def test_three_observers(hit_rate: float, false_rate: float, d_printed: float, ratio_printed: float) -> None:
    d_prime, criterion = sensitivity(hit_rate, false_rate)
    assert d_prime == pytest.approx(d_printed, abs=0.0005)
    assert exp(criterion * d_prime) == pytest.approx(ratio_printed, abs=0.0005)
