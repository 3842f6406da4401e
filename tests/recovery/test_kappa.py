"""The interval of kappa holds the truth also from a dozen stretches, and where all of them agreed."""

import numpy as np
import pytest

from nares.measure.agreement.kappa import cohens_kappa

SIZE = 40


def frames(chance: np.random.Generator, stretches: int) -> tuple[np.ndarray, np.ndarray, list[int]]:
    """Stretches that are in or out as a whole; in one of ten the second observer says otherwise."""
    first = np.repeat(chance.random(stretches) < 0.4, SIZE)
    second = np.where(np.repeat(chance.random(stretches) < 0.1, SIZE), ~first, first)
    return first, second, np.repeat(range(stretches), SIZE).tolist()


def test_nineteen_in_twenty_intervals_of_a_dozen_stretches_hold_the_truth() -> None:
    chance = np.random.default_rng(10_300)
    long, again, _ = frames(chance, 50_000)
    truth = cohens_kappa(long, again, kinds=2, confidence=0.95).value
    assert truth is not None
    held = said = 0
    for _ in range(300):
        first, second, clusters = frames(chance, 12)
        found = cohens_kappa(first, second, kinds=2, confidence=0.95, clusters=clusters)
        if found.low is not None and found.high is not None:
            said += 1
            held += found.low <= truth <= found.high
    assert held / said > 0.91


@pytest.mark.parametrize("stretches", [5, 20])
def test_full_agreement_of_few_stretches_is_not_certainty(stretches: int) -> None:
    first = np.repeat(np.arange(stretches) % 2 == 0, SIZE)
    clusters = np.repeat(range(stretches), SIZE).tolist()
    found = cohens_kappa(first, first, kinds=2, confidence=0.95, clusters=clusters)
    assert found.value == 1
    assert found.low is not None
    assert found.low < 1 - 4 / stretches**1.3
    assert found.high == pytest.approx(1)
