"""How alike the reps of a session are, and what that costs: intra-session correlation and effective reps.

Conventions
-----------
``alike`` is the intra-session correlation: 0 when a session's reps resemble each other no more than those of
any other, 1 when every session is all met or all missed. Two estimates stand side by side: the beta-binomial
by maximum likelihood, with a likelihood interval, and the analysis of variance. The *design effect* is how
many reps are worth one independent rep. Below five sessions none of this can be estimated.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from nares.base.errors import OutOfRange
from nares.base.interval import FEW_SESSIONS

TOP = 0.999


@dataclass(frozen=True, slots=True)
class BetaBinomial:
    """The beta-binomial by maximum likelihood: mean share, ``alike`` and its interval, log-likelihoods.

    ``log_binomial`` is the log-likelihood with ``alike`` at 0. Both are without binomial coefficients.
    """

    rate: float
    alike: float
    low: float
    high: float
    log_likelihood: float
    log_binomial: float


@dataclass(frozen=True, slots=True)
class Alike:
    """How alike the reps of one session are.

    ``alike``, ``low``, ``high``: beta-binomial estimate and interval; ``by_variance``: that of the analysis
    of variance. ``design_effect`` and ``effective_reps`` follow from ``alike``. All None where they cannot be
    estimated; ``why_none`` says why.
    """

    sessions: int
    reps: int
    met: int
    alike: float | None
    low: float | None
    high: float | None
    by_variance: float | None
    design_effect: float | None
    effective_reps: float | None
    confidence: float
    why_none: str


def sessions_alike(met: Sequence[int], tried: Sequence[int], *, confidence: float = 0.95) -> Alike:
    """Say how alike the reps of a session are, and how many independent reps they are worth.

    Args:
        met: Reps met in each session. [count]
        tried: Reps tried in each session. [count]
        confidence: Two-sided coverage of the interval. [-]

    Raises:
        OutOfRange: If a count or the confidence cannot be.
    """
    _require(met, tried, confidence)
    sessions, reps, hits = len(tried), sum(tried), sum(met)
    why = _why_none(sessions, reps, hits, max(tried, default=0))
    if why:
        return Alike(sessions, reps, hits, None, None, None, None, None, None, confidence, why)
    found = beta_binomial(met, tried, confidence=confidence)
    effective = sum(n / (1 + (n - 1) * found.alike) for n in tried)
    return Alike(
        sessions=sessions,
        reps=reps,
        met=hits,
        alike=found.alike,
        low=found.low,
        high=found.high,
        by_variance=alike_by_variance(met, tried),
        design_effect=reps / effective,
        effective_reps=effective,
        confidence=confidence,
        why_none="",
    )


def beta_binomial(met: Sequence[int], tried: Sequence[int], *, confidence: float = 0.95) -> BetaBinomial:
    """Fit the beta-binomial to reps met in each session, with a likelihood interval of how alike they are.

    Args:
        met: Reps met in each session, some and not all over the sessions. [count]
        tried: Reps tried in each session. [count]
        confidence: Two-sided coverage of the interval. [-]

    Sources:
        weil-1970: litters of rats to check it with.
    """
    from scipy.optimize import brentq, minimize_scalar
    from scipy.special import chdtri

    counted = _counted(met, tried)

    def depth(share: float) -> float:
        return -_best_rate(counted, share)[1]

    peak = minimize_scalar(depth, bounds=(0.0, TOP), method="bounded", options={"xatol": 1e-7})
    alike, best = (float(peak.x), -float(peak.fun))
    at_none = -depth(0.0)
    if at_none >= best - 1e-9:
        alike, best = 0.0, at_none
    fall = float(chdtri(1, 1 - confidence)) / 2

    def over(share: float) -> float:
        return -depth(share) - best + fall

    low = 0.0 if over(0.0) >= 0 else float(brentq(over, 0.0, alike))
    high = TOP if over(TOP) >= 0 else float(brentq(over, max(alike, 1e-12), TOP))
    return BetaBinomial(_best_rate(counted, alike)[0], alike, low, high, best, at_none)


def alike_by_variance(met: Sequence[int], tried: Sequence[int]) -> float:
    """Intra-session correlation by the analysis of variance; may be below 0. [-]

    Args:
        met: Reps met in each session. [count]
        tried: Reps tried in each session; at least two sessions, more reps than sessions. [count]

    Sources:
        weil-1970: litters of rats to check it with.
    """
    y, n = np.asarray(met, float), np.asarray(tried, float)
    sessions, reps = len(n), n.sum()
    shares, rate = y / n, y.sum() / reps
    between = float((n * (shares - rate) ** 2).sum()) / (sessions - 1)
    within = float((n * shares * (1 - shares)).sum()) / (reps - sessions)
    usual = float(reps - (n**2).sum() / reps) / (sessions - 1)
    spread = between + (usual - 1) * within
    return float((between - within) / spread) if spread > 0 else 0.0


Counts = tuple[npt.NDArray[np.float64], npt.NDArray[np.float64], npt.NDArray[np.float64]]


def _counted(met: Sequence[int], tried: Sequence[int]) -> Counts:
    """Met, tried, and how many sessions have these counts: years of sessions are a few dozen rows."""
    rows = Counter(zip(met, tried, strict=True))
    y, n = np.array(list(rows), float).T
    return y, n, np.array(list(rows.values()), float)


def _best_rate(counted: Counts, alike: float) -> tuple[float, float]:
    """The likeliest mean share for this correlation, and the log-likelihood there."""
    from scipy.optimize import minimize_scalar

    y, n, times = counted
    rate = float((times * y).sum() / (times * n).sum())
    if alike < 1e-9:
        return rate, float((times * y).sum() * np.log(rate) + (times * (n - y)).sum() * np.log1p(-rate))

    def depth(share: float) -> float:
        return -_log_likelihood(counted, share, alike)

    found = minimize_scalar(depth, bounds=(1e-6, 1 - 1e-6), method="bounded", options={"xatol": 1e-8})
    return float(found.x), -float(found.fun)


def _log_likelihood(counted: Counts, rate: float, alike: float) -> float:
    from scipy.special import betaln

    y, n, times = counted
    size = (1 - alike) / alike
    a, b = rate * size, (1 - rate) * size
    return float((times * (betaln(y + a, n - y + b) - betaln(a, b))).sum())


def _why_none(sessions: int, reps: int, met: int, longest: int) -> str:
    if sessions < FEW_SESSIONS:
        return (
            f"{sessions} session{'' if sessions == 1 else 's'}: how much sessions differ cannot be "
            "estimated from "
            f"fewer than {FEW_SESSIONS}."
        )
    if met in (0, reps):
        return f"{'No rep' if met else 'Every rep'} was missed: how much sessions differ cannot be seen."
    if longest < 2:
        return "One rep a session: how much sessions differ cannot be told from chance."
    return ""


def _require(met: Sequence[int], tried: Sequence[int], confidence: float) -> None:
    if len(met) != len(tried) or any(n < 1 or not 0 <= y <= n for y, n in zip(met, tried, strict=False)):
        raise OutOfRange(
            "These counts of sessions cannot be. Give reps met and tried for each, met never above tried."
        )
    if not 0 < confidence < 1:
        raise OutOfRange(
            f"A confidence of {confidence:g} cannot be. Give a share between 0 and 1, for example 0.95."
        )
