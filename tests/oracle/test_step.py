"""The step test against slower versions that share nothing with it.

Every path written out; likelihoods as exact fractions for Wald's lines; a recursion that asks `step_call`
itself; dogs simulated rep by rep; and the fewest reps that any test whatever can do with, by linear
programming.
"""

from fractions import Fraction
from itertools import product
from math import comb

import numpy as np
import pytest
from scipy.optimize import linprog
from scipy.sparse import lil_matrix

from nares.decide import (
    StepLines,
    characteristics_of,
    operating_characteristics,
    step_call,
    step_lines,
    uneven_characteristics,
    wald_lines,
)


def walds(cap: int = 40) -> StepLines:
    return wald_lines(ready=0.85, not_ready=0.60, false_raise=0.05, missed_raise=0.20, cap=cap)


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


def answer_of(lines: StepLines, path: tuple[int, ...]) -> tuple[str, int]:
    for number in range(1, len(path) + 1):
        met = sum(path[:number])
        if lines.raises(met, number):
            return "raise", number
        if lines.eases(met, number):
            return "ease", number
    return "stay", len(path)


def fed_one_at_a_time(path: tuple[int, ...]) -> tuple[str, int]:
    for number in range(1, len(path) + 1):
        found = step_call(path[:number])
        if found.call != "stay" or found.undecided:
            return found.call, number
    return "stay", len(path)


def test_every_path_of_eleven_reps_gets_the_answer_of_the_exact_fractions_on_walds_lines() -> None:
    lines = walds()
    for path in product((0, 1), repeat=11):
        assert answer_of(lines, path) == first_answer(path), path


def test_every_path_of_eleven_reps_gets_the_answer_of_the_lines() -> None:
    lines = step_lines()
    for path in product((0, 1), repeat=11):
        assert fed_one_at_a_time(path) == answer_of(lines, path), path


def test_the_recursion_adds_up_what_every_path_does() -> None:
    rate, cap = 0.7, 12
    chances, used = {"raise": 0.0, "ease": 0.0, "stay": 0.0}, 0.0
    for path in product((0, 1), repeat=cap):
        weight = float(np.prod([rate if met else 1 - rate for met in path]))
        call, number = first_answer(path)
        chances[call] += weight
        used += weight * number
    (found,) = characteristics_of(walds(cap), [rate])
    assert (found.to_raise, found.to_ease, found.undecided) == pytest.approx(tuple(chances.values()))
    assert found.reps == pytest.approx(used)


@pytest.mark.parametrize(("rate", "to_raise", "reps"), TABLE)
def test_without_a_cap_chances_and_reps_are_those_of_the_table(
    rate: float, to_raise: float, reps: float
) -> None:
    (found,) = characteristics_of(walds(500), [rate])
    assert found.to_raise == pytest.approx(to_raise, abs=0.00005)
    assert found.reps == pytest.approx(reps, abs=0.005)
    assert found.undecided < 1e-9


@pytest.mark.parametrize(("rate", "to_raise", "to_ease", "undecided", "reps"), CAPPED)
def test_capped_at_forty_chances_and_reps_are_those_of_the_table(
    rate: float, to_raise: float, to_ease: float, undecided: float, reps: float
) -> None:
    (found,) = characteristics_of(walds(), [rate])
    assert (found.to_raise, found.to_ease, found.undecided) == pytest.approx(
        (to_raise, to_ease, undecided), abs=0.00005
    )
    assert found.reps == pytest.approx(reps, abs=0.05)


def test_fed_one_rep_at_a_time_the_stated_risks_hold_exactly() -> None:
    """A recursion over counts that asks `step_call` itself what to do at every count, to its very end.

    At an undecided count the order of reps cannot matter for the next answer, so any order stands for all.
    """
    for rate, least, most, longest in ((0.60, 0.0, 0.05, 8.5), (0.85, 0.80, 1.0, 14.0)):
        to_raise, reps = chances_of_step_call(rate)
        (stated,) = operating_characteristics([rate])
        assert least <= to_raise <= most
        assert reps <= longest
        assert (to_raise, reps) == pytest.approx((stated.to_raise, stated.reps))


def chances_of_step_call(rate: float) -> tuple[float, float]:
    paths: dict[int, tuple[float, tuple[int, ...]]] = {0: (1.0, ())}
    to_raise = expected = 0.0
    for _ in range(40):
        following: dict[int, tuple[float, tuple[int, ...]]] = {}
        for met, (chance, path) in paths.items():
            expected += chance
            for value, weight in ((1, rate), (0, 1 - rate)):
                longer = (*path, value)
                found = step_call(longer)
                if found.call == "raise":
                    to_raise += chance * weight
                elif found.call == "stay" and not found.undecided:
                    before = following.get(met + value, (0.0, longer))
                    following[met + value] = (before[0] + chance * weight, longer)
        paths = following
    assert not paths  # the cap ends every run
    return to_raise, expected


def test_simulated_dogs_meet_the_exact_chances() -> None:
    draws = np.random.default_rng(20)
    dogs = 1500
    for rate in (0.60, 0.85):
        (exact,) = operating_characteristics([rate])
        ends = [fed_one_at_a_time(tuple((draws.random(40) < rate).astype(int))) for _ in range(dogs)]
        raised = sum(call == "raise" for call, _ in ends) / dogs
        error = (exact.to_raise * (1 - exact.to_raise) / dogs) ** 0.5
        assert abs(raised - exact.to_raise) < 4 * error
        assert np.mean([n for _, n in ends]) == pytest.approx(exact.reps, abs=1.2)


def fewest_reps(rates: tuple[float, float], risks: tuple[float, float], cap: int) -> float:
    """The least sum of both dogs' expected reps that any test can do with, drawing lots allowed.

    A linear program over what becomes of every count: how much of what reaches it goes on, raises, or eases.
    It knows nothing of prices or of going backward; amounts are those of a dog half way between the two.
    """
    counts = [(reps, met) for reps in range(cap + 1) for met in range(reps + 1)]
    place = {count: i for i, count in enumerate(counts)}
    (ready, not_ready), (false_raise, missed_raise) = rates, risks
    middle = (ready + not_ready) / 2
    size = len(counts)
    balance, come_in = lil_matrix((size, 3 * size)), np.zeros(size)
    cost, false, right = np.zeros((3, 3 * size))
    come_in[0] = 1
    for (reps, met), i in place.items():
        balance[i, [i, size + i, 2 * size + i]] = 1
        if met:
            balance[i, place[reps - 1, met - 1]] = -middle
        if met < reps:
            balance[i, place[reps - 1, met]] = middle - 1
        tilt = [(p / middle) ** met * ((1 - p) / (1 - middle)) ** (reps - met) for p in (not_ready, ready)]
        cost[i] = sum(tilt) if reps < cap else 0
        false[size + i], right[size + i] = tilt
    found = linprog(  # type: ignore[call-overload]
        cost,
        A_ub=np.stack([false, -right]),
        b_ub=np.array([false_raise, missed_raise - 1]),
        A_eq=balance.tocsr(),
        b_eq=come_in,
        method="highs",
    )
    assert found.status == 0
    return float(found.fun)


@pytest.mark.parametrize(
    ("ready", "not_ready", "false_raise", "missed_raise", "cap", "above"),
    [
        (0.85, 0.60, 0.05, 0.20, 40, 1.03),
        (0.90, 0.70, 0.05, 0.20, 40, 1.07),  # more than one run in thirty is left undecided at this cap,
        (0.80, 0.50, 0.10, 0.10, 30, 1.07),  # where the floor draws lots and presses for an answer
    ],
)
def test_hardly_any_test_whatever_does_with_fewer_reps(
    ready: float, not_ready: float, false_raise: float, missed_raise: float, cap: int, above: float
) -> None:
    unready, is_ready = operating_characteristics(
        [not_ready, ready],
        ready=ready,
        not_ready=not_ready,
        false_raise=false_raise,
        missed_raise=missed_raise,
        cap=cap,
    )
    floor = fewest_reps((ready, not_ready), (false_raise, missed_raise), cap)
    assert floor <= unready.reps + is_ready.reps <= above * floor
    assert unready.to_raise <= false_raise
    assert is_ready.to_raise >= 1 - missed_raise


def test_with_no_spread_between_sessions_the_risk_is_the_even_one_and_grows_with_it() -> None:
    lines = step_lines()
    (even,) = operating_characteristics([0.6])
    raised = [
        uneven_characteristics(0.6, lines=lines, correlation=rho, reps_per_session=12).to_raise
        for rho in (1e-7, 0.05, 0.10, 0.20)
    ]
    assert raised[0] == pytest.approx(even.to_raise, abs=1e-4)
    assert raised == sorted(raised)


def test_dogs_of_uneven_sessions_meet_the_stated_risk() -> None:
    """Drawn session by session from the beta law itself, against its slices in the recursion."""
    draws, dogs, lines = np.random.default_rng(31), 3000, step_lines()
    stated = uneven_characteristics(0.6, lines=lines, correlation=0.10, reps_per_session=12)
    raised = 0
    for _ in range(dogs):
        rates = np.repeat(draws.beta(0.6 * 9, 0.4 * 9, size=4), 12)[:40]
        raised += answer_of(lines, tuple((draws.random(40) < rates).astype(int)))[0] == "raise"
    error = (stated.to_raise * (1 - stated.to_raise) / dogs) ** 0.5
    assert abs(raised / dogs - stated.to_raise) < 4 * error


def test_one_fixed_count_at_the_cap_is_the_binomial_tail() -> None:
    """Lines that only speak at their last rep are a test of fixed length: its chances are a textbook sum."""
    only_last = StepLines(0.85, 0.6, 0.05, 0.2, 21, (*range(2, 22), 17), (-1,) * 20 + (16,), "by hand")
    (found,) = characteristics_of(only_last, [0.6])
    tail = sum(comb(21, k) * 0.6**k * 0.4 ** (21 - k) for k in range(17, 22))
    assert (found.to_raise, found.reps) == pytest.approx((tail, 21))
