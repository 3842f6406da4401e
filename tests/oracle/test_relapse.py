"""Average reps to an alarm, another way: a chart in whole numbers solved as exact linear equations.

Where a missed rep weighs a whole number of met ones, the chart lives on whole numbers and its average run is
the solution of a few equations in fractions (the way of Reynolds and Stoumbos, remembered). Levels are chosen
so that the weights stand in that ratio.
"""

from fractions import Fraction
from math import log

import numpy as np
import pytest

from nares.decide.progress.relapse import relapse_watch, reps_to_alarm, run_sum
from nares.decide.progress.uneven import uneven_reps_to_alarm


def in_fractions(rate: Fraction, ratio: int, line: int) -> float:
    """Solve run(s) = 1 + rate run(max(0, s - 1)) + (1 - rate) run(s + ratio) over s = 0 .. line - 1."""
    rows = []
    for s in range(line):
        row = [Fraction(0)] * (line + 1)
        row[s] += 1
        row[max(0, s - 1)] -= rate
        if s + ratio < line:
            row[s + ratio] -= 1 - rate
        row[line] = Fraction(1)
        rows.append(row)
    for k in range(line):
        pivot = next(i for i in range(k, line) if rows[i][k])
        rows[k], rows[pivot] = rows[pivot], rows[k]
        rows[k] = [value / rows[k][k] for value in rows[k]]
        for i in range(line):
            if i != k and rows[i][k]:
                rows[i] = [a - rows[i][k] * b for a, b in zip(rows[i], rows[k], strict=True)]
    return float(rows[0][line])


def bad_for(good: float, ratio: int) -> float:
    """The bad share for which a missed rep weighs ``ratio`` met ones, by halving."""
    low, high = 1e-6, good - 1e-9
    for _ in range(200):
        middle = (low + high) / 2
        weighs = log((1 - middle) / (1 - good)) / log(good / middle)
        low, high = (middle, high) if weighs < ratio else (low, middle)
    return (low + high) / 2


@pytest.mark.parametrize("ratio", [3, 4, 5])
@pytest.mark.parametrize("line", [7, 12, 17])
@pytest.mark.parametrize("rate", ["0.9", "0.8", "0.6"])
def test_the_average_run_is_that_of_the_whole_number_chart(ratio: int, line: int, rate: str) -> None:
    good = 0.9
    bad = bad_for(good, ratio)
    unit = log(good / bad)
    found = reps_to_alarm(float(rate), good=good, bad=bad, line=line * unit)
    assert found == pytest.approx(in_fractions(Fraction(rate), ratio, line), rel=1e-6)


TABLE = [(2.0, 73.7, 20.1, 10.5), (2.5, 141, 28.7, 13.7), (3.0, 239, 37.7, 16.6)]


@pytest.mark.parametrize(("line", "at_90", "at_80", "at_70"), TABLE)
def test_the_average_run_is_that_of_a_second_implementation(
    line: float, at_90: float, at_80: float, at_70: float
) -> None:
    """Computed once by separate code on a grid of states: close, not exact."""
    found = [reps_to_alarm(rate, good=0.9, bad=0.7, line=line) for rate in (0.9, 0.8, 0.7)]
    assert found == pytest.approx([at_90, at_80, at_70], rel=0.007)


def test_the_average_run_is_what_running_it_gives() -> None:
    """At line 4 that grid was too coarse (772 at 0.90); running the chart decides."""
    watch = relapse_watch(good=0.9, bad=0.7)
    chance = np.random.default_rng(10_411)
    runs = []
    for _ in range(1500):
        met = (chance.random(400) < 0.7).tolist()
        alarm = run_sum(met, watch).alarm
        assert alarm is not None
        runs.append(alarm.at)
    assert np.mean(runs) == pytest.approx(watch.notice_reps, abs=4 * np.std(runs) / 1500**0.5)
    assert reps_to_alarm(0.9, good=0.9, bad=0.7, line=4) == pytest.approx(758, abs=1)


def test_sessions_that_are_alike_give_the_usual_average() -> None:
    watch = relapse_watch(good=0.85, bad=0.6)
    for rate in (0.85, 0.75, 0.6):
        exact = reps_to_alarm(rate, good=0.85, bad=0.6, line=watch.line)
        found = uneven_reps_to_alarm(rate, good=0.85, bad=0.6, line=watch.line, alike=0.0, session_reps=10)
        assert found == pytest.approx(exact, rel=0.06)


@pytest.mark.parametrize(("alike", "reps"), [(0.05, 10), (0.2, 10), (0.1, 25)])
def test_false_alarms_come_as_often_as_running_sessions_that_differ_gives(alike: float, reps: int) -> None:
    watch = relapse_watch(good=0.85, bad=0.6)
    expected = uneven_reps_to_alarm(0.85, good=0.85, bad=0.6, line=watch.line, alike=alike, session_reps=reps)
    assert expected < 0.75 * watch.false_alarm_reps
    chance = np.random.default_rng(10_420)
    size, runs = (1 - alike) / alike, []
    for _ in range(800):
        rates = np.repeat(chance.beta(0.85 * size, 0.15 * size, 2500 // reps), reps)
        alarm = run_sum((chance.random(len(rates)) < rates).tolist(), watch).alarm
        runs.append(alarm.at if alarm else len(rates))
    assert np.mean(runs) == pytest.approx(expected, abs=3 * float(np.std(runs)) / 800**0.5 + 0.03 * expected)
