"""Dogs with a side and dogs cued by their handler are found as often as docs/scoring.md says; others are not.

The power stated there is of 200 dogs and more; here of 80, within four standard errors of chance.
"""

from math import sqrt

import numpy as np
import pytest
from tests.design.scored_runs import run, walked
from tests.recovery.lineup_dogs import dog_runs

from nares.design.scoring.answers import answers_of
from nares.design.scoring.knowing import knowing_of
from nares.design.scoring.places import places_of

DOGS = 80


def slack(power: float) -> float:
    return 4 * sqrt(power * (1 - power) / DOGS) + 0.01


@pytest.mark.parametrize(("lean", "power"), [(0.0, 0.04), (1.0, 0.81)])
def test_a_dog_with_a_side_is_found(lean: float, power: float) -> None:
    found = 0
    for dog in range(DOGS):
        runs = dog_runs(
            np.random.default_rng([17, dog]),
            runs=60,
            places=6,
            d_prime=2.0,
            criterion=1.8,
            lean=[lean, 0, 0, 0, 0, 0],
        )
        test = places_of(answers_of(runs, "call"), confidence=0.95).false_alerts.test
        found += test is not None and test.p_exact < 0.05
    assert found / DOGS == pytest.approx(power, abs=slack(power))


@pytest.mark.parametrize(("cue", "power"), [(0.0, 0.03), (1.0, 0.50), (2.0, 0.94)])
def test_a_dog_cued_by_its_handler_is_found(cue: float, power: float) -> None:
    found = 0
    for dog in range(DOGS):
        runs = dog_runs(
            np.random.default_rng([18, dog]),
            runs=40,
            places=6,
            d_prime=1.5,
            criterion=1.8,
            blank=0.2,
            cue=cue,
            known=20,
        )
        pair = knowing_of(answers_of(runs, "call"), confidence=0.95).known_found
        assert pair is not None
        assert pair.p_fisher is not None
        found += pair.p_fisher < 0.05
    assert found / DOGS == pytest.approx(power, abs=slack(power))


def test_a_dog_that_walks_from_one_end_is_not_taken_for_one_with_a_side() -> None:
    """It stops at its alert, so most false alerts fall near where it is sent in; that is no liking."""
    found = 0
    for dog in range(DOGS):
        draws = np.random.default_rng([19, dog])
        runs = []
        for number in range(1, 41):
            target = int(draws.integers(1, 7))
            order = ""
            alert = None
            for place in range(1, 7):
                order += str(place)
                if draws.random() < (0.85 if place == target else 0.12):
                    alert = place
                    break
            letters = "".join("T" if place == target else "b" for place in range(1, 7))
            runs.append(run(number, letters, alert, observed=walked(number, order, alert)))
        test = places_of(answers_of(runs, "alert"), confidence=0.95).false_alerts.test
        found += test is not None and test.p_exact < 0.05
    assert found / DOGS <= 0.05 + slack(0.05)
