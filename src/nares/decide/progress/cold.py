"""What is lost between sessions: first reps, cold, against later ones and the end of the last session.

Conventions
-----------
The first ``COLD_REPS`` reps of a session are *cold*, the rest *later*; the last ``COLD_REPS`` are its *end*.
Each session gives one difference, so that reps of one session are never counted as independent of each other.
The mean difference has a t interval over sessions, never narrower than chance within sessions alone would
make it. Below 0 means that cold reps go worse.
"""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from nares.base.errors import OutOfRange

COLD_REPS = 3
"""So many reps at the start of a session are cold. [count]"""

FEWEST_SESSIONS = 5
"""With fewer sessions nothing is said. [count]"""


@dataclass(frozen=True, slots=True)
class Loss:
    """Cold reps against others: shares met, mean difference by session, interval; None if too little known.

    ``sessions``: sessions that gave a difference. ``cold``, ``others``: mean shares over these sessions.
    """

    sessions: int
    cold: float | None
    others: float | None
    difference: float | None
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class ColdStart:
    """Cold reps against the later ones of the session, and against the end of the session before.

    ``begun_cold``: sessions in which nothing was asked of the dog before its first counted rep.
    """

    cold_reps: int
    confidence: float
    begun_cold: int
    within: Loss
    since_last: Loss


def cold_start(
    sessions: Sequence[Sequence[bool | int]],
    begun_cold: Sequence[bool] | None = None,
    *,
    confidence: float = 0.95,
) -> ColdStart:
    """Say what a session's first reps lose.

    Args:
        sessions: For each session, oldest first, its reps in order, True where met.
        begun_cold: Whether nothing was asked of the dog before the first of these reps; None when that is so
            of all.
        confidence: Two-sided coverage of the intervals. [-]

    Raises:
        OutOfRange: If ``confidence`` cannot be, or ``begun_cold`` does not fit the sessions.
    """
    if not 0 < confidence < 1:
        raise OutOfRange(
            f"A confidence of {confidence:g} cannot be. Give a share between 0 and 1, for example 0.95."
        )
    begun = [True] * len(sessions) if begun_cold is None else list(begun_cold)
    if len(begun) != len(sessions):
        raise OutOfRange(
            f"There are {len(sessions)} sessions but {len(begun)} beginnings. Give one beginning for "
            "each session."
        )
    cold = COLD_REPS
    rows = list(zip(sessions, begun, strict=True))
    within = [(one[:cold], one[cold:]) for one, fresh in rows if fresh and len(one) >= 2 * cold]
    since = [
        (now[:cold], last[-cold:])
        for (last, _), (now, fresh) in itertools.pairwise(rows)
        if fresh and len(now) >= cold and len(last) >= 2 * cold
    ]
    return ColdStart(cold, confidence, sum(begun), _loss(within, confidence), _loss(since, confidence))


def _loss(pairs: Sequence[tuple[Sequence[bool | int], Sequence[bool | int]]], confidence: float) -> Loss:
    """The mean difference of paired shares with its interval."""
    count = len(pairs)
    if count < FEWEST_SESSIONS:
        return Loss(count, None, None, None, None, None)
    cold = [sum(first) / len(first) for first, _ in pairs]
    others = [sum(other) / len(other) for _, other in pairs]
    gaps = [a - b for a, b in zip(cold, others, strict=True)]
    mean = sum(gaps) / count
    between = sum((gap - mean) ** 2 for gap in gaps) / (count - 1)
    half = _reach(count - 1, confidence) * sqrt(max(between, _by_chance(pairs)) / count)
    return Loss(
        count, sum(cold) / count, sum(others) / count, mean, max(-1.0, mean - half), min(1.0, mean + half)
    )


def _by_chance(pairs: Sequence[tuple[Sequence[bool | int], Sequence[bool | int]]]) -> float:
    """The variance of one difference that chance within sessions makes: shares drawn a little to a half."""
    shares = []
    for side in (0, 1):
        met, reps = sum(sum(pair[side]) for pair in pairs), sum(len(pair[side]) for pair in pairs)
        shares.append((met + 1) / (reps + 2))
    sums = [
        shares[0] * (1 - shares[0]) / len(first) + shares[1] * (1 - shares[1]) / len(other)
        for first, other in pairs
    ]
    return sum(sums) / len(sums)


def _reach(freedom: int, confidence: float) -> float:
    from scipy.special import stdtrit

    return float(stdtrit(freedom, (1 + confidence) / 2))
