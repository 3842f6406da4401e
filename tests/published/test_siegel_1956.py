"""Siegel's queue: 30 men and 20 women before a box office, in 35 stretches, give z = 2.98. From memory.

The figures agree with the formula; the book was not opened. The order itself is not remembered: any order of
30 and 20 in 35 stretches gives the same.
"""

import pytest

from nares.design.orders.stretches import stretches_test


@pytest.mark.published(source="siegel-1956", at="chapter 4, queue of 50: r = 35, z = 2.98", seen="memory")
def test_the_queue_gives_z_2_98() -> None:
    queue = "MW" * 16 + "M" * 13 + "W" * 4 + "M"
    tested = stretches_test(queue)
    assert (queue.count("M"), queue.count("W"), tested.stretches) == (30, 20, 35)
    assert tested.expected == 25
    assert tested.z == pytest.approx(2.98, abs=0.005)
