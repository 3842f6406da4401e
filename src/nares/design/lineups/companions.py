"""Which distractors and controls go along in each run, and where they stand.

Where the targets stand is drawn first and never again. Companions are drawn from a stream of their own, in
`PLANS` whole plans, and the plan that comes nearest to balance is kept. In each plan

- every run takes the same number of companions, blank runs too, so that their being there says nothing about
  a target; where not all go along at once, those that have gone along least often so far, ties by lot;
- each stands at a position drawn evenly from those that hold no target and are not warm.

Nearest to balance is the plan with the least sum, over companions and positions, of (times there)² / d,
plus over companions (times in a blank run)² / b: d is the sum of 1 / (free positions) over the runs in
which the position is free, b the number of blank runs. For even lots, times there are in proportion to d;
so this is the sum of (found - expected)² / expected less what all plans have in common. It is reckoned in
whole numbers: the rounding of decimals would break ties, and always for the same positions. Of equal plans
the first is kept.
"""

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction
from math import lcm
from typing import TypeAlias

from nares.design.chance import Stream

PLANS = 64

Standing: TypeAlias = dict[int, int]
"""Of one run: which companion, by its place in the list, stands at which position."""


def drawn_companions(
    targets: Sequence[tuple[int, ...]],
    free: Sequence[tuple[int, ...]],
    *,
    companions: int,
    together: int,
    stream: Stream,
) -> tuple[Standing, ...]:
    """Draw where companions stand in every run.

    Args:
        targets: Target positions of every run; only whether there are any is looked at.
        free: Positions of every run where a companion may stand, sorted; never fewer than ``together``.
        companions: How many there are in all. [count]
        together: How many go along in a run. [count]
        stream: Where chance comes from.
    """
    if not together:
        return tuple({} for _ in targets)
    plans = [_plan(free, companions, together, stream) for _ in range(PLANS)]
    blank = [place for place, positions in enumerate(targets) if not positions]
    weights, weight_blank = _weights(free, len(blank))
    return min(plans, key=lambda plan: _unbalance(plan, weights, weight_blank, blank))


def _weights(free: Sequence[tuple[int, ...]], blank_runs: int) -> tuple[dict[int, int], int]:
    """Reckon 1 / d of every position and 1 / b, all times one number that makes them whole."""
    due: dict[int, Fraction] = {}
    for positions in free:
        for position in positions:
            due[position] = due.get(position, Fraction(0)) + Fraction(1, len(positions))
    parts = {position: 1 / times for position, times in due.items()}
    blank = Fraction(1, max(1, blank_runs))
    whole = lcm(blank.denominator, *(part.denominator for part in parts.values()))
    return {position: int(part * whole) for position, part in parts.items()}, int(blank * whole)


def _unbalance(
    plan: Sequence[Standing], weights: dict[int, int], weight_blank: int, blank: Sequence[int]
) -> int:
    there = Counter(pair for standing in plan for pair in standing.items())
    in_blank = Counter(companion for place in blank for companion in plan[place])
    return sum(weights[position] * times**2 for (_, position), times in there.items()) + weight_blank * sum(
        times**2 for times in in_blank.values()
    )


def _plan(
    free: Sequence[tuple[int, ...]], companions: int, together: int, stream: Stream
) -> tuple[Standing, ...]:
    gone_along = [0] * companions
    plan: list[Standing] = []
    for positions in free:
        by_lot = stream.shuffled(range(companions))
        chosen = sorted(by_lot, key=lambda companion: gone_along[companion])[:together]
        for companion in chosen:
            gone_along[companion] += 1
        plan.append(dict(zip(sorted(chosen), stream.shuffled(positions), strict=False)))
    return tuple(plan)
