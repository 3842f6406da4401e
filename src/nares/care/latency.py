"""Going in ever later: an early flag, where the time is known at all.

Conventions
-----------
*Latency* runs from being able to start to going in. A recording shows when the nose went in, but not when the
dog could have started; what it shows is the time from coming out to going in again, which holds the trainer's
own pauses too. It is called *return* here and never latency, and its flag says so.

The rule (a design value): the median of the last five is more than twice the median of the first five.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

LAST = 5
"""Reps at the end, and at the start, whose medians are compared. [count]"""
TIMES = 2.0


@dataclass(frozen=True, slots=True)
class Slowing:
    """Medians at the start and at the end of a session, and whether the end is flagged. [s]"""

    first_s: float
    last_s: float
    flagged: bool


def slowing(latencies_s: Sequence[float]) -> Slowing | None:
    """Compare the end of a session with its start; None with fewer than twice five times.

    Examples:
        >>> slowing([1.0] * 5 + [2.5] * 5)
        Slowing(first_s=1.0, last_s=2.5, flagged=True)
        >>> slowing([1.0] * 9) is None
        True
    """
    if len(latencies_s) < 2 * LAST:
        return None
    first_s, last_s = median(latencies_s[:LAST]), median(latencies_s[-LAST:])
    return Slowing(first_s, last_s, last_s > TIMES * first_s)


def returns_s(spans_s: Sequence[tuple[float | None, float | None]]) -> list[float]:
    """From (nose in, nose out) of each rep in order: the times from coming out to going in again. [s]

    A rep with an unknown edge leaves its two neighbouring times out.
    """
    return [
        after - out
        for (_, out), (after, _) in pairwise(spans_s)
        if out is not None and after is not None and after >= out
    ]
