"""The percentile schedule's rank. The equation is from memory; a tutorial that was read drops a bracket of it
and prints 5.3 where 1.8 is meant, though it goes on with rank 2, which is right.
"""

import pytest

from nares.decide import percentile_rank
from nares.decide.hold.schedule import whole_percentile_rank


@pytest.mark.published(source="galbicka-1994", at="equation k = (m + 1)(1 - w)", seen="memory")
def test_the_last_five_with_0_7_paid_give_1_8_and_not_5_3() -> None:
    assert percentile_rank(5, paid=0.7) == pytest.approx(1.8)
    assert whole_percentile_rank(5, paid=0.7)[0] == 2


@pytest.mark.published(source="galbicka-1994", at="equation k = (m + 1)(1 - w), whole ranks", seen="memory")
@pytest.mark.parametrize(
    ("window", "rank", "paid"),
    [(4, 1, 0.80), (9, 1, 0.90), (9, 2, 0.80), (9, 5, 0.50), (19, 2, 0.90), (19, 3, 0.85), (19, 10, 0.50)],
)
def test_ranks_that_pay_exactly_the_share(window: int, rank: int, paid: float) -> None:
    assert percentile_rank(window, paid=paid) == pytest.approx(rank)
    assert whole_percentile_rank(window, paid=paid) == pytest.approx((rank, paid))
