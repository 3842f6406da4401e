"""The best anybody can guess who knows how an order was drawn and sees each outcome.

Conventions
-----------
At every run the best guesser names what comes next in most of the orders that are still possible: one place,
or "clear". Two exact ways: over every order listed one by one, whatever its rules; and over counts alone,
where the rules are about counts and successions only and a run holds one target at most. Both count in whole
numbers.
"""

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction
from functools import cache, lru_cache
from itertools import groupby
from math import comb, lcm

from nares.design.orders.makeup import MakeUp
from nares.design.orders.order import Runs
from nares.design.orders.rules import LONGEST, LONGEST_BLANKS

COUNTED_RULES = frozenset({"balanced", "longest_run_3", "longest_blanks_3"})
"""Rules that the exact way over counts knows."""

MOST_DEEP = 200
"""Runs that are counted through at most."""

MOST_STATES = 60_000
"""Counts that are gone through at most."""


def best_of_listed(orders: Sequence[tuple[Runs, Fraction]]) -> Fraction:
    """Share of runs guessed right at best, where every possible order is given with its chance."""
    whole = lcm(*(weight.denominator for _, weight in orders))
    every = sorted((tuple(order), int(weight * whole)) for order, weight in orders)
    length = len(every[0][0])
    right = 0
    groups = [every]
    for run in range(length):
        further = []
        for group in groups:
            named: Counter[int] = Counter()
            for outcome, same in groupby(group, key=lambda one: one[0][run]):
                part = list(same)
                weight = sum(one[1] for one in part)
                for place in outcome or (0,):
                    named[place] += weight
                further.append(part)
            right += max(named.values())
        groups = further
    return Fraction(right, length * sum(weight for _, weight in every))


@lru_cache(maxsize=64)
def best_of_counts(makeup: MakeUp, rules: frozenset[str]) -> Fraction | None:
    """Share of runs guessed right at best, over counts; None: the rules or the runs are not of that kind.

    What is known of a run's past: blank runs left and how many were running, how often each place held the
    target, which of them last and how often running. Places are alike, so counts are kept in order.
    """
    if makeup.positions == 1 or makeup.most > 1 or not rules <= COUNTED_RULES:
        return None
    each, more = divmod(makeup.paid, makeup.positions)
    even = "balanced" in rules
    runs_count, blanks_count = "longest_run_3" in rules, "longest_blanks_3" in rules
    if _states(makeup, rules) > MOST_STATES or len(makeup.counts) > MOST_DEEP:
        return None

    @cache
    def best(
        paid: int, blanks: int, streak: int, last: int, running: int, others: tuple[int, ...]
    ) -> tuple[int, int]:
        """Ways to go on, and runs guessed right in all of them together. ``last``: -1 before any target."""
        if not paid and not blanks:
            return 1, 0
        nexts: list[tuple[int, tuple[int, int]]] = []
        if blanks and not (blanks_count and streak == LONGEST_BLANKS):
            longer = streak + 1 if blanks_count else 0
            nexts.append((1, best(paid, blanks - 1, longer, last, running, others)))
        if paid:
            if last >= 0 and not (runs_count and running == LONGEST) and fits(last, others):
                again = running + 1 if runs_count else 0
                nexts.append((1, best(paid - 1, blanks, 0, last + even, again, others)))
            for times, places in Counter(others).items():
                rest = list(others)
                rest.remove(times)
                if last >= 0:
                    rest.append(last)
                if fits(times, tuple(rest)):
                    then = best(
                        paid - 1, blanks, 0, times + even, 1 if runs_count else 0, tuple(sorted(rest))
                    )
                    nexts.append((places, then))
        ways = sum(times * then[0] for times, then in nexts)
        right = sum(times * then[1] for times, then in nexts)
        return ways, right + max((then[0] for _, then in nexts), default=0)

    def fits(times: int, others: tuple[int, ...]) -> bool:
        """Whether one more of a place leaves the counts able to end within one of each other."""
        if not even:
            return True
        if times < each:
            return True
        return times == each and sum(other > each for other in others) < more

    ways, right = best(makeup.paid, makeup.blanks, 0, -1, 0, (0,) * makeup.positions)
    return Fraction(right, ways * len(makeup.counts)) if ways else None


def _states(makeup: MakeUp, rules: frozenset[str]) -> int:
    """About how many states the way over counts goes through."""
    each = -(-makeup.paid // makeup.positions) if "balanced" in rules else 1
    counts = comb(each + makeup.positions, each) if "balanced" in rules else makeup.paid + 1
    states = counts * (makeup.blanks + 1)
    if "longest_run_3" in rules:
        states *= LONGEST * each
    return states * (LONGEST_BLANKS if "longest_blanks_3" in rules and makeup.blanks else 1)
