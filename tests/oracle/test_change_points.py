"""Change points by the plainest loop that follows the description, on random records."""

from math import log10

import numpy as np
import pytest
from scipy.stats import binom

from nares.decide.progress.change_points import change_points


def plainly(met: list[int], criterion: float) -> list[tuple[int, int]]:
    found: list[tuple[int, int]] = []
    begun = 0
    while True:
        record, hit = met[begun:], None
        for end in range(1, len(record) + 1):
            total = sum(record[:end])
            off = [abs(end * sum(record[:i]) - i * total) for i in range(1, end + 1)]
            if max(off) == 0:
                continue
            split = off.index(max(off)) + 1
            behind, share = total - sum(record[:split]), (end - split) / end
            fewer, more = binom.cdf(behind, total, share), binom.sf(behind - 1, total, share)
            if fewer == 0 or more == 0 or abs(log10(fewer / more)) > criterion:
                hit = (split, end)
                break
        if hit is None:
            return found
        found.append((begun + hit[0], begun + hit[1]))
        begun += hit[0]


@pytest.mark.parametrize("seed", range(10_500, 10_506))
def test_the_quick_search_finds_what_the_plain_one_finds(seed: int) -> None:
    chance = np.random.default_rng(seed)
    shares = np.repeat(chance.uniform(0.1, 0.95, 3), 30)
    met = [int(one) for one in chance.random(90) < shares]
    for criterion in (1.3, 2.0):
        quick = [(one.after, one.noticed_at) for one in change_points(met, criterion=criterion)]
        assert quick == plainly(met, criterion)
