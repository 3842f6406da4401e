"""Wilson's interval: Newcombe's four examples (inputs read, limits from memory with high confidence) and one
small sample from the tests of a package that implements Fagerland, Lydersen and Laake (read).
"""

import pytest

from nares.base.interval import wilson_interval

ROWS = [
    (81, 263, 0.2553, 0.3662),
    (15, 148, 0.0624, 0.1605),
    (0, 20, 0.0, 0.1611),
    (1, 29, 0.0061, 0.1718),
]


@pytest.mark.published(source="newcombe-1998", at="Table I, method 3", seen="memory")
@pytest.mark.parametrize(("hits", "trials", "low", "high"), ROWS)
def test_newcombes_four_examples(hits: int, trials: int, low: float, high: float) -> None:
    limits = wilson_interval(hits / trials, trials, confidence=0.95)
    assert limits == pytest.approx((low, high), abs=0.00005)


@pytest.mark.published(source="fagerland-2017", at="Wilson score interval, 13 of 16", seen="read")
def test_thirteen_of_sixteen_lie_between_0_5699_and_0_9341() -> None:
    limits = wilson_interval(13 / 16, 16, confidence=0.95)
    assert limits == pytest.approx((0.5699, 0.9341), abs=0.00005)
