"""Plots of scores say in words what they show, and stand the ends of what can be seen."""

import pytest

from nares.report.score_plots import FallBar, ShareBar, dprime_svg, falls_svg, shares_svg


def test_shares_are_said_with_count_and_interval() -> None:
    svg = shares_svg(
        [ShareBar("1", 3, 4, 0.75, 0.3, 0.95), ShareBar("2", 0, 2, 0.0, 0.0, 0.66)],
        title="Targets found by position",
        along="position",
        up="targets found",
    )
    assert "1: 3 of 4, 75% (30% to 95%); 2: 0 of 2, 0% (0% to 66%)" in svg
    assert "style=" not in svg


def test_choices_are_said_beside_what_chance_expects() -> None:
    svg = falls_svg([FallBar("1", 4, 1.5), FallBar("2", 0, 2.5)], title="False alerts", up="false alerts")
    assert "position 1: 4, expected 1.5; position 2: 0, expected 2.5" in svg


@pytest.mark.parametrize(
    ("d_prime", "low", "high", "said"),
    [
        (2.1, 1.0, 3.2, "2.10, from 1.00 to 3.20"),
        (None, 2.2, None, "no best value, from 2.20, no upper bound"),
        (None, None, 0.4, "no best value, no lower bound to 0.40"),
    ],
)
def test_a_missing_end_is_said(
    d_prime: float | None, low: float | None, high: float | None, said: str
) -> None:
    assert said in dprime_svg("the dog's alert", d_prime, low, high)


def test_many_positions_are_not_all_named() -> None:
    bars = [FallBar(str(k), 1, 1.0) for k in range(1, 61)]
    svg = falls_svg(bars, title="False alerts", up="false alerts")
    assert 8 <= sum(f">{k}</text>" in svg for k in range(1, 61)) <= 14
