"""Pay with a cue and without it, and the difference between the two.

Conventions
-----------
``delta_p`` is pay with the cue minus pay without it, from -1 to 1, None where one of the two was never tried.
Intervals are 95 %: Wilson's for a share, Newcombe's hybrid of two Wilson intervals for a difference. They
take reps for independent; pay is what people decided, so an interval says how many reps there were rather
than how the dog may vary.
"""

from dataclasses import dataclass

import numpy as np

from nares.base.interval import newcombe_interval, wilson_interval
from nares.design.cues.trials import Counted, Numbers

CONFIDENCE = 0.95


@dataclass(frozen=True, slots=True)
class Paid:
    """How often something paid: ``paid`` of ``reps``. Rate and interval None where it was never tried."""

    reps: int
    paid: int
    rate: float | None
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class Contrast:
    """Pay with a cue set against pay without it. Differences None: never tested."""

    with_it: Paid
    without_it: Paid
    delta_p: float | None
    low: float | None
    high: float | None


def paid_of(paid: float, reps: float) -> Paid:
    """A share with Wilson's interval."""
    if reps == 0:
        return Paid(0, 0, None, None, None)
    rate = paid / reps
    low, high = wilson_interval(rate, reps, confidence=CONFIDENCE)
    return Paid(int(reps), int(paid), rate, low, high)


def contrast(table: Counted, name: str, among: Numbers | None = None) -> Contrast:
    """Pay with and without a cue, among all combinations or those marked 1 in ``among``.

    Sources:
        allan-1980: the difference of the two shares as the measure of contingency.
        newcombe-1998b: method 10, the interval of a difference.
    """
    has = table.column(name)
    counts = [
        (float((table.paid * weight).sum()), float((table.reps * weight).sum()))
        for weight in ((has, 1 - has) if among is None else (has * among, (1 - has) * among))
    ]
    with_it, without_it = (paid_of(*one) for one in counts)
    low, high = difference_interval(with_it, without_it)
    rates = (with_it.rate, without_it.rate)
    difference = None if rates[0] is None or rates[1] is None else rates[0] - rates[1]
    return Contrast(with_it, without_it, difference, low, high)


def difference_interval(first: Paid, second: Paid) -> tuple[float | None, float | None]:
    """Newcombe's hybrid interval of a difference of two shares; None where one was never tried.

    Examples:
        >>> low, high = difference_interval(paid_of(56, 70), paid_of(48, 80))
        >>> round(low, 4), round(high, 4)
        (0.0524, 0.3339)
    """
    if not first.reps or not second.reps:
        return None, None
    return newcombe_interval((first.paid, first.reps), (second.paid, second.reps), confidence=CONFIDENCE)


def power_of(rate_with: float, rate_without: float) -> float | None:
    """How much of the room left for it a cue's pay takes up (Cheng's power); None where there is no room.

    Sources:
        cheng-1997: generative causal power.

    Examples:
        >>> round(power_of(18 / 20, 2 / 20), 3)
        0.889
    """
    return None if rate_without == 1 else (rate_with - rate_without) / (1 - rate_without)


def strata(table: Counted, name: str, by: str) -> tuple[Contrast | None, Contrast | None]:
    """Contrasts of a cue among reps with ``by`` and among reps without it; None for ``by`` itself."""
    if name == by:
        return None, None
    here = table.column(by) if by in table.names else np.zeros(len(table.reps))
    return contrast(table, name, here), contrast(table, name, 1 - here)
