"""The step test against slower versions that share nothing with it: every path written out, likelihoods as
exact fractions, a recursion that asks `step_call` itself, and dogs that are simulated rep by rep.
"""

from fractions import Fraction
from itertools import product

import numpy as np
import pytest

from nares.decide import operating_characteristics, step_call

READY, NOT_READY = Fraction(85, 100), Fraction(60, 100)
RAISE_AT, EASE_AT = Fraction(80, 5), Fraction(20, 95)

# Exact tables of an independent recursion: true rate, chance to raise, expected reps; then with a cap of 40.
TABLE = [
    (0.50, 0.0075, 6.02),
    (0.60, 0.0484, 9.35),
    (0.70, 0.2465, 14.77),
    (0.80, 0.6857, 16.81),
    (0.85, 0.8596, 14.85),
    (0.90, 0.9531, 12.22),
    (0.95, 0.9910, 9.85),
]
CAPPED = [
    (0.50, 0.0075, 0.9921, 0.0004, 6.0),
    (0.60, 0.0475, 0.9428, 0.0097, 9.3),
    (0.70, 0.2276, 0.7209, 0.0515, 14.1),
    (0.85, 0.8409, 0.1391, 0.0200, 14.7),
    (0.95, 0.9910, 0.0090, 0.0, 9.8),
]


def first_answer(path: tuple[int, ...]) -> tuple[str, int]:
    """The likelihood ratio as a fraction, rep by rep, until it leaves the lines."""
    ratio = Fraction(1)
    for number, met in enumerate(path, start=1):
        ratio *= READY / NOT_READY if met else (1 - READY) / (1 - NOT_READY)
        if ratio >= RAISE_AT:
            return "raise", number
        if ratio <= EASE_AT:
            return "ease", number
    return "stay", len(path)


def fed_one_at_a_time(path: tuple[int, ...]) -> tuple[str, int]:
    for number in range(1, len(path) + 1):
        call = step_call(path[:number]).call
        if call != "stay":
            return call, number
    return "stay", len(path)


def test_every_path_of_eleven_reps_gets_the_answer_of_the_exact_fractions() -> None:
    for path in product((0, 1), repeat=11):
        assert fed_one_at_a_time(path) == first_answer(path), path


def test_the_recursion_adds_up_what_every_path_does() -> None:
    rate, cap = 0.7, 12
    chances, used = {"raise": 0.0, "ease": 0.0, "stay": 0.0}, 0.0
    for path in product((0, 1), repeat=cap):
        weight = float(np.prod([rate if met else 1 - rate for met in path]))
        call, number = first_answer(path)
        chances[call] += weight
        used += weight * number
    (found,) = operating_characteristics([rate], cap=cap)
    assert (found.to_raise, found.to_ease, found.undecided) == pytest.approx(tuple(chances.values()))
    assert found.reps == pytest.approx(used)


@pytest.mark.parametrize(("rate", "to_raise", "reps"), TABLE)
def test_without_a_cap_chances_and_reps_are_those_of_the_table(
    rate: float, to_raise: float, reps: float
) -> None:
    (found,) = operating_characteristics([rate])
    assert found.to_raise == pytest.approx(to_raise, abs=0.00005)
    assert found.reps == pytest.approx(reps, abs=0.005)
    assert found.undecided < 1e-9


@pytest.mark.parametrize(("rate", "to_raise", "to_ease", "undecided", "reps"), CAPPED)
def test_capped_at_forty_chances_and_reps_are_those_of_the_table(
    rate: float, to_raise: float, to_ease: float, undecided: float, reps: float
) -> None:
    (found,) = operating_characteristics([rate], cap=40)
    assert (found.to_raise, found.to_ease, found.undecided) == pytest.approx(
        (to_raise, to_ease, undecided), abs=0.00005
    )
    assert found.reps == pytest.approx(reps, abs=0.05)


def test_fed_one_rep_at_a_time_the_stated_risks_hold_exactly() -> None:
    """A recursion over counts that asks `step_call` itself what to do at every count, to its very end.

    At an undecided count the order of reps cannot matter for the next answer, so any order stands for all.
    """
    for rate, least, most in ((0.60, 0.0, 0.05), (0.85, 0.80, 1.0)):
        to_raise, reps = chances_of_step_call(rate)
        assert least <= to_raise <= most
        assert reps <= 15


def chances_of_step_call(rate: float) -> tuple[float, float]:
    paths: dict[int, tuple[float, tuple[int, ...]]] = {0: (1.0, ())}
    to_raise = expected = 0.0
    for _ in range(250):
        following: dict[int, tuple[float, tuple[int, ...]]] = {}
        for met, (chance, path) in paths.items():
            expected += chance
            for value, weight in ((1, rate), (0, 1 - rate)):
                longer = (*path, value)
                call = step_call(longer).call
                if call == "raise":
                    to_raise += chance * weight
                elif call == "stay":
                    before = following.get(met + value, (0.0, longer))
                    following[met + value] = (before[0] + chance * weight, longer)
        paths = following
    assert sum(chance for chance, _ in paths.values()) < 1e-6
    return to_raise, expected


def test_simulated_dogs_meet_the_exact_chances() -> None:
    draws = np.random.default_rng(20)
    dogs = 1500
    for rate in (0.60, 0.85):
        (exact,) = operating_characteristics([rate])
        ends = [fed_one_at_a_time(tuple((draws.random(200) < rate).astype(int))) for _ in range(dogs)]
        raised = sum(call == "raise" for call, _ in ends) / dogs
        error = (exact.to_raise * (1 - exact.to_raise) / dogs) ** 0.5
        assert abs(raised - exact.to_raise) < 4 * error
        assert np.mean([n for _, n in ends]) == pytest.approx(exact.reps, abs=1.2)
