"""Wald's lines as printed by Wald, by two handbooks and by a package.

Wald's own example (defect rates 0.10 and 0.30) and the handbooks' plans are typed from memory: Montgomery
with high confidence, NIST with some, Wald's own with little. The package's lower line was read.

A sampling plan accepts where few defects are found; here "met" stands for "defect", so that accepting is
easing and rejecting is raising.
"""

from math import log

import pytest

from nares.decide.calling.sprt import Lines, sprt_lines


def plan(good: float, bad: float, producer: float, consumer: float) -> Lines:
    return sprt_lines(ready=bad, not_ready=good, false_raise=producer, missed_raise=consumer)


@pytest.mark.published(source="wald-1947", at="chapter 5, rates 0.1 and 0.3", seen="memory")
def test_wald_gives_2_58_and_2_88_and_0_186() -> None:
    lines = plan(0.10, 0.30, 0.02, 0.03)
    assert lines.ease_intercept == pytest.approx(2.58, abs=0.005)
    assert lines.raise_intercept == pytest.approx(2.88, abs=0.005)
    assert lines.slope == pytest.approx(0.186, abs=0.0005)


@pytest.mark.published(source="montgomery-2009", at="item-by-item sequential sampling example", seen="memory")
def test_montgomery_gives_1_22_and_1_57_and_0_028() -> None:
    lines = plan(0.01, 0.06, 0.05, 0.10)
    assert lines.ease_intercept == pytest.approx(1.22, abs=0.005)
    assert lines.raise_intercept == pytest.approx(1.57, abs=0.005)
    assert lines.slope == pytest.approx(0.028, abs=0.0005)


@pytest.mark.published(source="nist-2012", at="6.2.6, example", seen="memory")
def test_nist_gives_0_939_and_1_205_and_0_0397() -> None:
    lines = plan(0.01, 0.10, 0.05, 0.10)
    assert lines.ease_intercept == pytest.approx(0.939, abs=0.0005)
    assert lines.raise_intercept == pytest.approx(1.205, abs=0.0005)
    assert lines.slope == pytest.approx(0.0397, abs=0.00005)


@pytest.mark.published(source="bottine-2015", at="SPRT-package, lower boundary at 0.05 and 0.20", seen="read")
def test_the_package_gives_a_lower_line_of_minus_1_558() -> None:
    lines = plan(0.60, 0.85, 0.05, 0.20)
    assert lines.ease_at == pytest.approx(-1.558, abs=0.0005)


def test_the_packages_sequence_crosses_at_its_seventh_value() -> None:
    """The sequence was read; that it crosses at seven is arithmetic of our own, so it carries no mark."""
    lines = plan(0.10, 0.30, 0.05, 0.10)
    sequence = [0, 0, 1, 0, 1, 1, 1, 0, 0, 1, 0, 0]
    crossed = [n for n in range(1, 13) if lines.raises(sum(sequence[:n]), n)]
    assert crossed[0] == 7
    assert lines.per_met == pytest.approx(log(3))
    assert lines.evidence(4, 7) == pytest.approx(3.641, abs=0.0005)
