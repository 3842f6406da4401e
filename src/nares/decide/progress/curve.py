"""The learning curve of a dog at one step, with its band and the rep from which it had learned.

Conventions
-----------
``level`` is the share the dog has to be above: on the page the step's ``not_ready``. The *learning rep* is
the first rep from which on, to the last one, we are more than ``sure`` certain that the dog is above the
level, looking back from all reps. The band runs from the 5 % to the 95 % limit, each in closed form, because
a quantile of the log-odds is the log-odds of the quantile. Counts of bins and reps run from 1.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, sqrt
from statistics import NormalDist

from nares.base.errors import OutOfRange
from nares.decide.progress.fits import Ability, Start, open_ability, published_ability
from nares.decide.progress.state_space import Path, offset_of

SURE = 0.95
"""How sure we are that the dog is above the level when we say it has learned. [-]"""


@dataclass(frozen=True, slots=True)
class Band:
    """The share of reps met, bin by bin: middle, 5 % and 95 % limit, and how sure it is above the level."""

    low: tuple[float, ...]
    middle: tuple[float, ...]
    high: tuple[float, ...]
    above: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class LearningCurve:
    """A dog's success at a step as it came on.

    ``live`` uses the reps so far and is for decisions; ``looking_back`` uses later reps too and is for the
    picture. ``learned_at``: the bin from which on the dog is above ``level`` with more than ``sure``; None
    while it is not. ``wander``: how much ability moves (variance of log-odds); ``settled``: whether the fit
    came to rest.
    """

    level: float
    start: Start
    sure: float
    live: Band
    looking_back: Band
    learned_at: int | None
    wander: float
    settled: bool


def learning_curve(
    met: Sequence[int],
    tried: Sequence[int] | None = None,
    *,
    level: float,
    start: Start = "open",
    sure: float = SURE,
) -> LearningCurve:
    """Draw the learning curve of reps met and missed.

    Args:
        met: Reps met in each bin, oldest first; 0 or 1 where a bin is one rep. [count]
        tried: Reps tried in each bin, or None when every bin is one rep. [count]
        level: The share the dog has to be above. [-]
        start: Where ability begins (`nares.decide.progress.fits`).
        sure: How sure it has to be. [-]

    Raises:
        OutOfRange: If counts, level or ``sure`` cannot be.
        NotEnoughData: If a published start is asked of reps that do not carry it.

    Sources:
        smith-2004: the model; Eq. B.3 for the band.

    Examples:
        >>> seen = [0, 0, 0, 0, 1, 0, 1, 1, 1, 1, 1, 1, 1, 1, 0, 1, 0, 1, 1, 0, 1] + [1] * 20
        >>> learning_curve(seen, level=0.5, start="at_level").learned_at
        10
        >>> learning_curve(seen, level=0.5, start="at_first").learned_at
        21
    """
    if not 0.5 < sure < 1:
        raise OutOfRange(
            f"Being {sure:g} sure cannot be asked. Give a share between 0.5 and 1, for example 0.95."
        )
    met = [int(hits) for hits in met]
    counts = [1] * len(met) if tried is None else [int(n) for n in tried]
    ability = _ability(met, counts, level, start)
    offset = offset_of(level)
    back = band_of(ability.looking_back, offset=offset)
    return LearningCurve(
        level=level,
        start=start,
        sure=sure,
        live=band_of(ability.live, offset=offset),
        looking_back=back,
        learned_at=_learned_at(back.above, sure),
        wander=ability.wander,
        settled=ability.settled,
    )


def _ability(met: Sequence[int], tried: Sequence[int], level: float, start: Start) -> Ability:
    if start == "open":
        return open_ability(met, tried, level=level)
    return published_ability(met, tried, level=level, start=start)


def band_of(path: Path, *, offset: float) -> Band:
    """The shares that belong to a path of ability, with their limits.

    Args:
        path: Mean and variance of ability, bin by bin.
        offset: Log-odds of the level. [-]

    Sources:
        smith-2004: Eq. B.3; the limits are its quantiles.
    """
    normal = NormalDist()
    reach = normal.inv_cdf(0.95)
    rows = [(x, sqrt(v)) for x, v in zip(path.mean, path.variance, strict=True)]
    return Band(
        low=tuple(_share(offset + x - reach * sd) for x, sd in rows),
        middle=tuple(_share(offset + x) for x, _ in rows),
        high=tuple(_share(offset + x + reach * sd) for x, sd in rows),
        above=tuple(normal.cdf(x / sd) for x, sd in rows),
    )


def _share(log_odds: float) -> float:
    return 1 / (1 + exp(-log_odds)) if log_odds > -700 else 0.0


def _learned_at(above: Sequence[float], sure: float) -> int | None:
    """The bin after the last one that was not sure enough; None when that is the last of all."""
    doubtful = next((bin_ for bin_ in range(len(above), 0, -1) if not above[bin_ - 1] > sure), 0)
    return doubtful + 1 if doubtful < len(above) else None
