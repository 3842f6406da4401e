"""Equilibria of the rule. The data (Spellman 1996) were read in a package that carries them for Danks's
paper; the paper's own result was not, so the solution is worked out here by hand and carries no mark.
That strength comes to the difference of the two shares, with the place at pay without the cue, is remembered.
"""

import pytest

from nares.design.cues.contingency import contrast, power_of
from nares.design.cues.strength import PLACE, Parameters, course, equilibrium
from nares.design.cues.trials import Counted, Trial, counted

AT = "2026-03-01T08:00:00Z"
SPELLMAN = [("red blue", 5, 0), ("red", 10, 5), ("blue", 5, 10), ("", 0, 5)]


def table(rows: list[tuple[str, int, int]]) -> Counted:
    trials = [
        Trial("s", AT, frozenset(cues.split()), paid)
        for cues, yes, no in rows
        for paid in [True] * yes + [False] * no
    ]
    return counted(trials)


def test_spellmans_flowers_settle_at_0_two_thirds_and_one_third() -> None:
    found = equilibrium(table(SPELLMAN))
    assert found["red"] == pytest.approx(2 / 3)
    assert found["blue"] == pytest.approx(1 / 3)
    assert found[PLACE] == pytest.approx(0, abs=1e-12)


def test_the_difference_of_shares_alone_would_say_otherwise() -> None:
    flowers = table(SPELLMAN)
    assert [contrast(flowers, name).delta_p for name in ("red", "blue")] == pytest.approx([0.5, 0.0])


@pytest.mark.published(
    source="chapman-robbins-1990", at="asymptote with a constant context, pay .8 and .2", seen="memory"
)
def test_a_cue_settles_at_its_difference_0_6_and_the_place_at_0_2() -> None:
    found = equilibrium(table([("A", 16, 4), ("", 4, 16)]))
    assert (found["A"], found[PLACE]) == pytest.approx((0.6, 0.2))


def test_small_steps_come_to_the_equilibrium() -> None:
    rows = [("red blue", 5, 0), ("red", 10, 5), ("blue", 5, 10), ("", 0, 5)]
    once = [
        Trial("s", AT, frozenset(cues.split()), paid)
        for cues, yes, no in rows
        for paid in [True] * yes + [False] * no
    ]
    ran = course(once * 1500, ("red", "blue"), Parameters(0.02, place=0.02, rate=0.03, rate_unpaid=0.03))
    assert [ran.last(name) for name in ("red", "blue")] == pytest.approx([2 / 3, 1 / 3], abs=0.02)


def test_power_of_18_of_20_against_2_of_20_is_0_889() -> None:
    flowers = table([("A", 18, 2), ("", 2, 18)])
    assert contrast(flowers, "A").delta_p == pytest.approx(0.8)
    assert power_of(0.9, 0.1) == pytest.approx(0.889, abs=5e-4)
    assert power_of(1.0, 1.0) is None
