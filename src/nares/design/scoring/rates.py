"""So many of so many, with what is counted said in words and two intervals named.

Conventions
-----------
``confidence`` is two-sided and has no default. Both intervals are always given
under their own names: the exact one (Clopper-Pearson) never covers less than asked for and is the one for a
claim that will be challenged; the score interval (Wilson) is closer to its stated coverage and is the one
to look at. Line-ups are clusters: where they differ more than chance allows, the count is divided by that
excess first (`nares.base.interval`). Nothing counted is ``None``, never 0.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from nares.base.errors import OutOfRange
from nares.base.interval import FEW_SESSIONS, session_spread, wilson_interval

FEW_LINEUPS = FEW_SESSIONS
"""Below so many line-ups, how much they differ cannot be estimated. [count]"""


@dataclass(frozen=True, slots=True)
class Rate:
    """``k`` of ``n``. ``what``: what is counted of what, in words. ``rate`` and ends None: nothing to count.

    ``effective``: independent trials worth the same, fewer where line-ups differ. ``note``: a sentence when
    something keeps that from being known.
    """

    what: str
    k: int
    n: int
    rate: float | None
    exact_low: float | None
    exact_high: float | None
    score_low: float | None
    score_high: float | None
    lineups: int
    effective: float
    note: str = ""


def rate_of(what: str, met: Sequence[bool], lineups: Sequence[str], *, confidence: float) -> Rate:
    """Count and bound a share of trials.

    Args:
        what: What is counted of what, in words.
        met: One value a trial.
        lineups: The line-up of each trial.
        confidence: Two-sided coverage of both intervals. [-]
    """
    n = len(met)
    if not n:
        return Rate(what, 0, 0, None, None, None, None, None, 0, 0.0)
    k, spread, count = sum(met), session_spread(met, lineups), len(set(lineups))
    exact = exact_interval(k / n, spread.effective_reps, confidence=confidence)
    score = wilson_interval(k / n, spread.effective_reps, confidence=confidence)
    return Rate(what, k, n, k / n, *exact, *score, count, spread.effective_reps, few_lineups(count))


def few_lineups(lineups: int) -> str:
    """The sentence that belongs beside an interval from few line-ups; empty from five on."""
    if lineups >= FEW_LINEUPS:
        return ""
    many = "One line-up only" if lineups == 1 else f"{lineups} line-ups"
    return (
        f"{many}: how much line-ups differ cannot be estimated from fewer than {FEW_LINEUPS}; "
        "the interval may be too narrow."
    )


def exact_interval(rate: float, trials: float, *, confidence: float) -> tuple[float, float]:
    """Bound a rate by the exact (Clopper-Pearson) interval; ``trials`` may be an effective count.

    Raises:
        OutOfRange: If the rate, the count or the confidence cannot be.

    Sources:
        clopper-pearson-1934: the construction, through quantiles of the beta distribution.
        fagerland-2017: the same for one small sample.
        korn-graubard-1998: the same with an effective, fractional count.

    Examples:
        >>> low, high = exact_interval(13 / 16, 16, confidence=0.95)
        >>> round(low, 4), round(high, 4)
        (0.5435, 0.9595)
    """
    from scipy.special import betaincinv

    if not (0 <= rate <= 1 and trials > 0 and 0 < confidence < 1):
        raise OutOfRange(
            f"A rate of {rate:g} over {trials:g} trials at confidence {confidence:g} cannot be. "
            "Give a rate from 0 to 1, at least one trial and a confidence between 0 and 1, for example 0.95."
        )
    tail, hits = (1 - confidence) / 2, rate * trials
    low = 0.0 if rate == 0 else float(betaincinv(hits, trials - hits + 1, tail))
    high = 1.0 if rate == 1 else float(betaincinv(hits + 1, trials - hits, 1 - tail))
    return low, high
