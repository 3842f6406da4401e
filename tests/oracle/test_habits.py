"""Every rule of training orders once more, in other words, and drawn orders held against it.

Nothing here is taken from the rules: series are strings, stretches come from groupby, habits are dogs walked
through the order with exact fractions.
"""

from collections import Counter
from collections.abc import Callable
from fractions import Fraction
from itertools import groupby, pairwise, product

import pytest

from nares.design.chance import Stream, subseed
from nares.design.orders import RULES, USUAL_RULES, constrained_runs

Runs = tuple[tuple[int, ...], ...]
SEED = bytes(range(32))


def paying(order: Runs, positions: int) -> tuple[list[set[int]], int]:
    if positions == 1:
        return [{1} if run else {2} for run in order], 2
    return [set(run) for run in order if run], positions


def longest_block(marks: str, mark: str) -> int:
    return max([len(list(block)) for found, block in groupby(marks) if found == mark], default=0)


def near(right: Fraction, expected: Fraction, judged: int) -> bool:
    away = abs(right - expected)
    return away * 10 <= judged or away < 1


def balanced(order: Runs, positions: int) -> bool:
    runs, places = paying(order, positions)
    times = Counter(dict.fromkeys(range(1, places + 1), 0))
    for run in runs:
        times.update(run)
    return sorted(times.values())[-1] - sorted(times.values())[0] < 2


def longest_run_3(order: Runs, positions: int) -> bool:
    runs, places = paying(order, positions)
    return all(
        longest_block("".join("x" if place in run else "." for run in runs), "x") < 4
        for place in range(1, places + 1)
    )


def halves(order: Runs, positions: int) -> bool:
    runs, places = paying(order, positions)
    targets = sum(len(run) for run in runs)
    least = targets // 5 if places == 2 else targets // places // 4
    first, last = runs[: len(runs) // 2], runs[(len(runs) + 1) // 2 :]
    return all(
        sum(1 for run in half if place in run) >= least
        for half in (first, last)
        for place in range(1, places + 1)
    )


def stretches(order: Runs, positions: int) -> tuple[int, int]:
    runs, places = paying(order, positions)
    return len(list(groupby(runs))) - 1, int(Fraction(len(runs) * (places - 1), places))


def reversals_half(order: Runs, positions: int) -> bool:
    changed, usual = stretches(order, positions)
    return changed == usual


def reversals_at_most_half(order: Runs, positions: int) -> bool:
    changed, usual = stretches(order, positions)
    return changed <= usual


def rounds(pattern: Callable[[int], int]) -> Callable[[Runs, int], bool]:
    def rule(order: Runs, positions: int) -> bool:
        runs, places = paying(order, positions)
        expected = Fraction(sum(len(run) for run in runs), places)
        for start, way in product(range(places), (1, -1)):
            right = sum(1 for at, run in enumerate(runs) if (start + way * pattern(at)) % places + 1 in run)
            if places == 2 and not near(Fraction(right), expected, len(runs)):
                return False
            if places > 2 and 5 * (right - expected) > len(runs):
                return False
        return True

    return rule


def last_target(order: Runs, positions: int) -> bool:
    runs, places = paying(order, positions)
    right = Fraction(0)
    for before, now in pairwise(runs):
        right += Fraction(len(before & now), len(before))
    return near(right, Fraction(sum(len(run) for run in runs[1:]), places), len(runs) - 1)


def walked(stays_when: bool) -> Callable[[Runs, int], bool]:
    """A dog that stays where it is when its last choice was right (or wrong), and else goes elsewhere."""

    def rule(order: Runs, positions: int) -> bool:
        runs, places = paying(order, positions)
        at = {place: Fraction(1, places) for place in range(1, places + 1)}
        right = Fraction(0)
        for number, run in enumerate(runs):
            if number:
                right += sum((chance for place, chance in at.items() if place in run), Fraction(0))
            then = {place: Fraction(0) for place in at}
            for place, chance in at.items():
                if (place in run) == stays_when:
                    then[place] += chance
                else:
                    for other in at:
                        if other != place:
                            then[other] += chance / (places - 1)
            at = then
        return near(right, Fraction(sum(len(run) for run in runs[1:]), places), len(runs) - 1)

    return rule


def side_of_previous(order: Runs, positions: int) -> bool:
    runs, places = paying(order, positions)
    middle = Fraction(places + 1, 2)
    sides = ["L" if min(run) < middle else "R" if min(run) > middle else "-" for run in runs]
    pairs = ["".join(pair) for pair in pairwise(sides) if "-" not in pair]
    return near(Fraction(sum(pair in ("LL", "RR") for pair in pairs)), Fraction(len(pairs), 2), len(pairs))


def longest_blanks_3(order: Runs, positions: int) -> bool:
    return longest_block("".join("x" if run else "." for run in order), ".") < 4


def blanks_in_halves(order: Runs, positions: int) -> bool:
    marks = "".join("x" if run else "." for run in order)
    least = 2 * marks.count(".") // 5
    half = len(marks) // 2
    return marks[:half].count(".") >= least and marks[len(marks) - half :].count(".") >= least


ORACLES: dict[str, Callable[[Runs, int], bool]] = {
    "balanced": balanced,
    "longest_run_3": longest_run_3,
    "halves": halves,
    "reversals_half": reversals_half,
    "reversals_at_most_half": reversals_at_most_half,
    "single_alternation": rounds(lambda at: at),
    "double_alternation": rounds(lambda at: at // 2),
    "double_alternation_late": rounds(lambda at: (at + 1) // 2),
    "last_target": last_target,
    "win_stay_lose_shift": walked(True),
    "win_shift_lose_stay": walked(False),
    "side_of_previous": side_of_previous,
    "longest_blanks_3": longest_blanks_3,
    "blanks_in_halves": blanks_in_halves,
}

REQUESTS = [
    (10, 2, 1, 1, None),
    (20, 2, 1, 1, None),
    (20, 5, 1, 1, None),
    (20, 6, 0, 1, 0.25),
    (16, 8, 1, 1, None),
    (33, 3, 0, 1, 0.2),
    (20, 6, 1, 2, None),
    (24, 4, 0, 2, 0.1),
    (12, 1, 0, 1, 0.5),
]


def test_every_rule_has_its_oracle() -> None:
    assert ORACLES.keys() == RULES.keys()


@pytest.mark.parametrize("request_", REQUESTS, ids=str)
def test_every_drawn_training_order_keeps_its_rules(
    request_: tuple[int, int, int, int, float | None],
) -> None:
    runs, positions, low, high, blank_runs = request_
    stream = Stream(subseed(SEED, f"training {request_}"))
    for _ in range(60):
        order = constrained_runs(
            runs=runs,
            positions=positions,
            targets_low=low,
            targets_high=high,
            blank_runs=blank_runs,
            rules=None,
            stream=stream,
        )
        assert len(order.runs) == runs
        assert all(low <= len(run) <= high for run in order.runs if run or blank_runs is None)
        assert [rule for rule in order.rules if not ORACLES[rule](order.runs, positions)] == []
        assert set(order.rules) <= set(USUAL_RULES)


@pytest.mark.parametrize("rule", RULES)
def test_rule_and_oracle_agree_on_orders_of_every_kind(rule: str) -> None:
    """Orders drawn without any rule: some keep it, some do not."""
    stream = Stream(subseed(SEED, f"any {rule}"))
    verdicts = set()
    for draw in range(300):
        positions = 1 + draw % 6
        several = RULES[rule].several and positions > 2 and draw % 4 == 0
        order = constrained_runs(
            runs=8 + draw % 15,
            positions=positions,
            targets_low=0,
            targets_high=2 if several else 1,
            blank_runs=(0.5, 0.2, 0.1)[draw % 3] if positions > 1 else 0.5,
            rules=[],
            stream=stream,
        ).runs
        verdict = RULES[rule].holds(order, positions)
        assert verdict == ORACLES[rule](order, positions), (order, positions)
        verdicts.add(verdict)
    assert verdicts == {True, False}
