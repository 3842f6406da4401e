"""The best lines for a step test, by backward induction.

Conventions
-----------
Two dogs are thought of, one at ``ready``, one at ``not_ready``. A price is set on raising the second and on
easing the first, every rep costs one, and each dog counts half. From the last rep back to the first, each
count gets the cheapest answer: raise, ease, or one more rep. That gives the fewest reps for the risks these
prices lead to, since anything quicker would have been cheaper. The prices are then looked for, over a grid
drawn closer twice, whose exact risks with the cap are within those allowed at the fewest reps.

The induction looks well beyond the cap, so that the lines do not bend towards each other before it: at the
cap a run that has reached neither line is undecided and is not pressed for an answer. What is found is as
good as the grid of prices lets it be, and counts are whole, so a little of the risks stays unused.
"""

from math import ceil, log, sqrt
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Counts = NDArray[np.int64]

PRICES = 30
"""Prices tried of each kind, in each of the rounds. [count]"""

ROUNDS = 3
BEYOND = 40
"""Reps looked at beyond the cap. [count]"""

SLACK = 1e-12
"""Sums of chances are exact to about this."""

LONGEST = 160
"""The longest cap under which lines are looked for this way. [count]"""


def fixed_reps(*, ready: float, not_ready: float, false_raise: float, missed_raise: float) -> int:
    """About how many reps a test of fixed length needs for these risks (normal approximation). [count]"""
    if not (0 < not_ready < ready < 1 and 0 < false_raise < 1 and 0 < missed_raise < 1):
        return 0
    law = NormalDist()
    at_not_ready = law.inv_cdf(1 - false_raise) * sqrt(not_ready * (1 - not_ready))
    at_ready = law.inv_cdf(1 - missed_raise) * sqrt(ready * (1 - ready))
    return ceil(((at_not_ready + at_ready) / (ready - not_ready)) ** 2)


def found_lines(
    *, ready: float, not_ready: float, false_raise: float, missed_raise: float, cap: int
) -> tuple[tuple[int, ...], tuple[int, ...]] | None:
    """Counts that raise and counts that ease at reps 1 to ``cap``; None where no lines were found.

    Where ``cap`` reps are too few for the risks, the lines are those of a cap that is not, cut off.
    """
    wide = cap
    while wide <= LONGEST:
        best = _searched((not_ready, ready), false_raise, missed_raise, wide)
        if best is not None:
            up, down = best
            return tuple(int(n) for n in up[1 : cap + 1]), tuple(int(n) for n in down[1 : cap + 1])
        wide = ceil(wide * 1.3) + 4
    return None


def _searched(
    rates: tuple[float, float], false_raise: float, missed_raise: float, cap: int
) -> tuple[Counts, Counts] | None:
    """The feasible lines of fewest reps over a grid of prices drawn closer and closer."""
    low = np.log([2.0, 2.0])
    high = np.log([400 / false_raise, 400 / missed_raise])
    best: tuple[float, float, Counts, Counts] | None = None
    for _ in range(ROUNDS):
        prices = [np.linspace(low[i], high[i], PRICES) for i in (0, 1)]
        raising, easing = (np.exp(grid.ravel()) for grid in np.meshgrid(*prices, indexing="ij"))
        up, down = _induced(raising, easing, rates, cap + BEYOND)
        raised, reps = _risks(up, down, rates, cap)
        kept = (raised[:, 0] <= false_raise + SLACK) & (raised[:, 1] >= 1 - missed_raise - SLACK)
        if not kept.any():
            return best[2:] if best else None
        costs = np.where(kept, reps.sum(axis=1), np.inf)
        at = int(np.lexsort((raised[:, 0], costs))[0])
        if best is None or (costs[at], raised[at, 0]) < best[:2]:
            best = (float(costs[at]), float(raised[at, 0]), up[at], down[at])
        centre = np.log([raising[at], easing[at]])
        reach = (high - low) / 10
        low, high = centre - reach, centre + reach
    return best[2:] if best else None


def _posterior(reps: int, rates: tuple[float, float]) -> tuple[Floats, Floats]:
    """How likely each count of ``reps`` belongs to the dog not ready, and to the one ready."""
    met = np.arange(reps + 1)
    not_ready, ready = rates
    tilt = met * log(ready / not_ready) + (reps - met) * log((1 - ready) / (1 - not_ready))
    is_ready = 1 / (1 + np.exp(-np.clip(tilt, -700, 700)))
    return 1 - is_ready, is_ready


def _induced(
    raising: Floats, easing: Floats, rates: tuple[float, float], horizon: int
) -> tuple[Counts, Counts]:
    """The least count that raises and the greatest that eases at every rep, for each pair of prices."""
    up = np.full((len(raising), horizon + 1), horizon + 2, dtype=np.int64)
    down = np.full((len(raising), horizon + 1), -1, dtype=np.int64)
    unready, is_ready = _posterior(horizon, rates)
    cost = np.minimum(raising[:, None] * unready, easing[:, None] * is_ready)
    for reps in range(horizon - 1, 0, -1):
        unready, is_ready = _posterior(reps, rates)
        to_met = unready * rates[0] + is_ready * rates[1]
        on = 1.0 + to_met * cost[:, 1 : reps + 2] + (1 - to_met) * cost[:, : reps + 1]
        to_raise, to_ease = raising[:, None] * unready, easing[:, None] * is_ready
        stop = np.minimum(to_raise, to_ease)
        cost = np.minimum(on, stop)
        raises = (stop <= on) & (to_raise <= to_ease)
        eases = (stop <= on) & ~raises
        up[:, reps] = np.where(raises.any(axis=1), raises.argmax(axis=1), reps + 1)
        down[:, reps] = np.where(eases.any(axis=1), reps - eases[:, ::-1].argmax(axis=1), -1)
    return up, down


def _risks(up: Counts, down: Counts, rates: tuple[float, float], cap: int) -> tuple[Floats, Floats]:
    """Chance to raise and expected reps for each of the two dogs, shape (lines, 2)."""
    alive = np.zeros((len(up), 2, cap + 2))
    alive[:, :, 0] = 1.0
    rate = np.asarray(rates)[None, :, None]
    met = np.arange(cap + 2)[None, None, :]
    raised, reps = np.zeros((len(up), 2)), np.zeros((len(up), 2))
    for rep in range(1, cap + 1):
        reps += alive.sum(axis=2)
        after = alive * (1 - rate)
        after[:, :, 1:] += alive[:, :, :-1] * rate
        over = met >= up[:, rep, None, None]
        raised += np.where(over, after, 0).sum(axis=2)
        alive = np.where(over | (met <= down[:, rep, None, None]), 0, after)
    return raised, reps
