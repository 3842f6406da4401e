"""How far a share of reps met can be trusted, also when sessions differ.

Conventions
-----------
Rates run from 0 to 1; ``confidence`` is two-sided. The interval is Wilson's score interval: for display,
close to its stated coverage at small counts, never outside 0 to 1. Reps of one session resemble each
other; where sessions differ more than chance allows, the count of reps is divided by that excess before the
interval is drawn. The excess is Pearson's dispersion, times the square of how much wider Student's t is than
the normal law with so many sessions, because the dispersion of a few sessions is itself uncertain
(`docs/decisions/0052-drift-and-relapse.md`).
"""

from collections import Counter
from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from itertools import compress
from math import sqrt
from statistics import NormalDist

from nares.base.errors import OutOfRange

FEW_SESSIONS = 5
"""Below this many sessions the spread between sessions cannot be estimated, and the interval is a floor."""

USUAL_CONFIDENCE = 0.95
"""Coverage for which few sessions are made up for. [-]"""


@dataclass(frozen=True, slots=True)
class Spread:
    """How much sessions differ: ``dispersion`` is 1 when they differ no more than chance.

    ``effective_reps`` is the count of independent reps worth the same, made smaller for few sessions.
    ``note`` is a sentence when something keeps the spread from being known, else empty.
    """

    sessions: int
    dispersion: float
    effective_reps: float
    note: str


def wilson_interval(rate: float, reps: float, *, confidence: float) -> tuple[float, float]:
    """Bound a rate by Wilson's score interval; ``reps`` may be an effective, fractional count.

    Raises:
        OutOfRange: If the rate, the count or the confidence cannot be.

    Sources:
        newcombe-1998: method 3, the score interval without continuity correction.
        fagerland-2017: the same for one small sample.

    Examples:
        >>> low, high = wilson_interval(13 / 16, 16, confidence=0.95)
        >>> round(low, 4), round(high, 4)
        (0.5699, 0.9341)
    """
    if not (0 <= rate <= 1 and reps > 0 and 0 < confidence < 1):
        raise OutOfRange(
            f"A rate of {rate:g} over {reps:g} reps at confidence {confidence:g} cannot be. "
            "Give a rate from 0 to 1, at least one rep and a confidence between 0 and 1, for example 0.95."
        )
    z = NormalDist().inv_cdf((1 + confidence) / 2)
    middle = rate + z * z / (2 * reps)
    half = z * sqrt(rate * (1 - rate) / reps + z * z / (4 * reps * reps))
    whole = 1 + z * z / reps
    low = 0.0 if rate == 0 else max(0.0, (middle - half) / whole)
    high = 1.0 if rate == 1 else min(1.0, (middle + half) / whole)
    return low, high


def newcombe_interval(
    first: tuple[int, int], second: tuple[int, int], *, confidence: float
) -> tuple[float, float]:
    """Bound the difference of two shares, first minus second, each given as hits and trials.

    Raises:
        OutOfRange: If a count cannot be.

    Sources:
        newcombe-1998b: method 10, the hybrid of two score intervals.
        fagerland-2017: the same for 7 of 34 against 1 of 34.

    Examples:
        >>> low, high = newcombe_interval((7, 34), (1, 34), confidence=0.95)
        >>> round(low, 4), round(high, 4)
        (0.0189, 0.3404)
    """
    for k, n in (first, second):
        if n < 1 or not 0 <= k <= n:
            raise OutOfRange(f"{k} of {n} cannot be. Count each trial once, and hits only among them.")
    one, two = first[0] / first[1], second[0] / second[1]
    low_one, high_one = wilson_interval(one, first[1], confidence=confidence)
    low_two, high_two = wilson_interval(two, second[1], confidence=confidence)
    low = one - two - sqrt((one - low_one) ** 2 + (high_two - two) ** 2)
    high = one - two + sqrt((high_one - one) ** 2 + (two - low_two) ** 2)
    return max(-1.0, low), min(1.0, high)


def session_spread(met: Sequence[bool | int], sessions: Sequence[Hashable] | None) -> Spread:
    """Say how much sessions differ beyond chance, and how many independent reps that leaves.

    Args:
        met: One value a rep. [bool]
        sessions: The session of each rep, or None when not known.

    The dispersion is Pearson's chi-square over its degrees of freedom.
    """
    reps = len(met)
    if sessions is None:
        return Spread(0, 1.0, reps, "Sessions are not given, so the spread between them is not counted.")
    sizes = Counter(sessions)
    count = len(sizes)
    if count < 2:
        return Spread(count, 1.0, reps, "One session only: how much sessions differ cannot be seen yet.")
    rate = sum(met) / reps
    if rate in (0.0, 1.0) or max(sizes.values()) == 1:
        return Spread(count, 1.0, reps, "How much sessions differ cannot be estimated from these reps.")
    dispersion = _dispersion(met, sessions, sizes, rate)
    most = reps / count
    excess = min(max(1.0, dispersion * few_sessions_factor(count)), most)
    note = (
        f"{count} sessions: how much sessions differ cannot be estimated from fewer than {FEW_SESSIONS}; the "
        "interval may be too narrow."
        if count < FEW_SESSIONS
        else ""
    )
    return Spread(count, min(max(1.0, dispersion), most), reps / excess, note)


def few_sessions_factor(sessions: int) -> float:
    """By how much the dispersion of so many sessions is raised, because it is uncertain itself. [-]

    The square of Student's t over the normal quantile; fewer than five sessions count as five.

    Sources:
        korn-graubard-1998: effective sample size of a clustered share, adjusted for its degrees of freedom.

    Examples:
        >>> round(few_sessions_factor(5), 2), round(few_sessions_factor(21), 2)
        (2.0, 1.13)
    """
    z = NormalDist().inv_cdf((1 + USUAL_CONFIDENCE) / 2)
    freedom = max(sessions, FEW_SESSIONS) - 1
    t = z * (
        1
        + (z**2 + 1) / (4 * freedom)
        + (5 * z**4 + 16 * z**2 + 3) / (96 * freedom**2)
        + (3 * z**6 + 19 * z**4 + 17 * z**2 - 15) / (384 * freedom**3)
    )
    return (t / z) ** 2


def _dispersion(
    met: Sequence[bool | int], sessions: Sequence[Hashable], sizes: Counter[Hashable], rate: float
) -> float:
    """Pearson's chi-square over its degrees of freedom."""
    hits = Counter(compress(sessions, met))
    square = sum((hits[s] - size * rate) ** 2 / (size * rate * (1 - rate)) for s, size in sizes.items())
    return square / (len(sizes) - 1)
