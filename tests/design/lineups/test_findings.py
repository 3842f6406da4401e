"""What an opposing expert would raise about a design: each point where it is so, and only there."""

from dataclasses import replace
from typing import Any

import pytest
from tests.design.lineups.briefs import GLOVE, TAPE, brief

from nares.base.lineups import Smell
from nares.design.lineups import Brief, design_findings

BEST = brief(8, 20, controls=("packaging", "gloves", "placer"), fresh=True)


def rules(asked: Brief) -> set[str]:
    return {finding.rule for finding in design_findings(asked)}


def test_a_design_without_a_weak_point_known_here() -> None:
    assert rules(BEST) == set()


@pytest.mark.parametrize(
    ("other", "rule"),
    [
        ({"blank_runs": 0.0}, "no-blank-run"),
        ({"targets_low": 1, "targets_high": 2, "blank_runs": None}, "no-blank-run"),
        ({"blank_runs": 0.05}, "few-blank-runs"),
        ({"distractors": ()}, "no-distractor"),
        ({"distractors": (TAPE, GLOVE)}, "no-novel-distractor"),
        ({"distractors": (Smell("soap"),)}, "no-novel-distractor"),
        ({"controls": ("gloves", "placer")}, "no-packaging-control"),
        ({"controls": ("packaging", "placer")}, "no-gloves-control"),
        ({"controls": ("packaging", "gloves")}, "no-placer-control"),
        ({"blank_runs": 0.0}, "same-number-of-targets"),
        ({"aids": ("birch",)}, "same-aid"),
        ({"targets_high": 3, "blank_runs": None}, "aid-in-several-places"),
        ({"fresh": False}, "container-comes-back"),
        ({"set_time_min": None}, "set-time-unsaid"),
        ({"blinding": "known"}, "known"),
        ({"warm": (2,)}, "warm-from-earlier"),
    ],
)
def test_each_weak_point_is_raised_where_it_is(other: dict[str, Any], rule: str) -> None:
    assert rule in rules(replace(BEST, **other))


def test_a_number_that_varies_is_not_the_same_number() -> None:
    varied = brief(8, 20, targets_high=2, blank_runs=0.0)
    assert "no-blank-run" in rules(varied)
    assert "same-number-of-targets" not in rules(varied)


def test_places_are_looked_at() -> None:
    assert "few-positions" in rules(brief(4))
    assert "no-blank-position" in rules(brief(4))
    assert "no-blank-position" not in rules(brief(5))
    assert {"place-keeps-odour"} <= rules(brief(12, 4, shape="vehicles"))
    assert "container-comes-back" not in rules(brief(12, 4, shape="vehicles"))


def test_every_finding_says_what_and_what_to_do() -> None:
    for asked in (BEST, brief(4, blank_runs=0.0, distractors=(), controls=(), aids=("birch",))):
        for finding in design_findings(asked):
            assert finding.where == "design"
            assert finding.text.count(". ") >= 1 or finding.text.count(": ") >= 1
            assert finding.text.endswith(".")
