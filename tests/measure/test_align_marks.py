"""The clocks of two phones are told apart by the marks both heard, through misses, false marks and drift."""

import numpy as np
import pytest
from numpy.typing import NDArray

from nares.measure.align_marks import Alignment, NotAligned, align_marks, chance_of

Times = NDArray[np.float64]


def session(seed: int, count: int = 24, length_s: float = 300.0) -> tuple[np.random.Generator, Times]:
    """Marks of a session, four to twenty seconds apart."""
    chance = np.random.default_rng(seed)
    at = np.cumsum(chance.uniform(4, 2 * length_s / count - 4, count))
    return chance, at


def heard(chance: np.random.Generator, at: Times, *, missed: float, false: int, jitter_s: float) -> Times:
    """What one phone makes of them."""
    kept = at[chance.random(len(at)) >= missed]
    others = chance.uniform(at[0], at[-1], false)
    return np.sort(np.concatenate([kept + chance.normal(0, jitter_s, len(kept)), others]))


@pytest.mark.parametrize("seed", range(21_000, 21_012))
@pytest.mark.parametrize("drift", [0.0, 50e-6, -120e-6])
def test_offset_and_drift_come_back(seed: int, drift: float) -> None:
    chance, at = session(seed)
    offset_s = float(chance.uniform(-90, 90))
    here = heard(chance, at, missed=0.2, false=6, jitter_s=0.001)
    there = heard(chance, (at - offset_s) / (1 + drift), missed=0.25, false=8, jitter_s=0.001)
    found = align_marks(here, there)
    assert isinstance(found, Alignment)
    assert found.drift == pytest.approx(drift, abs=15e-6)
    true = (at - offset_s) / (1 + drift)
    assert max(abs(found.here(float(t)) - float(h)) for t, h in zip(true, at, strict=True)) < 0.003
    assert 8 <= len(found.pairs) <= len(at)
    assert found.spread_s < 0.003


def test_each_mark_is_matched_once_and_in_order() -> None:
    _, at = session(21_100)
    there = np.sort(np.concatenate([at - 12.0, at[:6] - 12.0 + 0.009]))
    found = align_marks(at, there)
    assert isinstance(found, Alignment)
    here, other = zip(*found.pairs, strict=True)
    assert len(set(here)) == len(here) == len(at)
    assert len(set(other)) == len(other)
    assert list(other) == sorted(other)


def test_three_marks_a_second_apart_give_an_offset_and_no_wild_drift() -> None:
    here = np.array([10.0, 11.02, 12.01, 95.0])
    found = align_marks(here, here[:3] - 4.0 + np.array([0.001, -0.001, 0.001]))
    assert isinstance(found, Alignment)
    assert found.here(200.0) == pytest.approx(204.0, abs=0.005)


@pytest.mark.parametrize(
    ("here", "there"),
    [
        ([], []),
        ([1.0], [2.0]),
        ([1.0, 5.0], [3.0, 7.0]),
        ([1.0, 5.0, 20.0], []),
        ([1.0, 5.0, 20.0], [3.0, 9.0, 30.0]),
    ],
)
def test_fewer_than_three_that_agree_align_nothing(here: list[float], there: list[float]) -> None:
    found = align_marks(np.array(here), np.array(there))
    assert isinstance(found, NotAligned)
    assert found.agreeing < 3


def test_two_sessions_that_are_not_the_same_do_not_agree() -> None:
    refused = 0
    for seed in range(21_200, 21_240):
        _, here = session(seed, count=20)
        _, there = session(seed + 1000, count=20)
        refused += isinstance(align_marks(here, there), NotAligned)
    assert refused >= 39


def test_agreement_by_chance_falls_with_agreement_and_rises_with_marks() -> None:
    few, many = np.linspace(0, 300, 10), np.linspace(0, 300, 60)
    assert chance_of(3, few, few) > chance_of(5, few, few) > chance_of(8, few, few)
    assert chance_of(6, many, many) > chance_of(6, few, few)
    assert chance_of(3, many, many) == 1.0
