"""The two lines of Wald's sequential test for a share of reps met.

Conventions
-----------
Every rep adds to a running *evidence*: a met rep ``per_met`` (above 0), a missed one ``per_missed``
(below 0). Evidence is the natural logarithm of how much likelier the reps are for a dog at ``ready``
than for a dog at ``not_ready``. At ``raise_at`` the criterion may be raised, at ``ease_at`` the dog is
not ready. Rates run from 0 to 1. The test is for reps that do not depend on each other and a rate that
does not move; what else can be said about it exactly is in `nares.decide.calling.characteristics`.
"""

from dataclasses import dataclass
from math import log

from nares.base.errors import OutOfRange

TOUCH = 1e-9
"""Evidence this close to a line counts as having reached it: sums of logarithms are not exact."""


@dataclass(frozen=True, slots=True)
class Lines:
    """Wald's lines, in evidence and in counts.

    In counts: raise when ``met >= raise_intercept + slope * reps``, ease when
    ``met <= -ease_intercept + slope * reps``.
    """

    per_met: float
    per_missed: float
    raise_at: float
    ease_at: float

    @property
    def slope(self) -> float:
        """Share of reps met at which the evidence stands still. [-]"""
        return -self.per_missed / (self.per_met - self.per_missed)

    @property
    def raise_intercept(self) -> float:
        """Reps met above the slope that it takes to raise. [count]"""
        return self.raise_at / (self.per_met - self.per_missed)

    @property
    def ease_intercept(self) -> float:
        """Reps met below the slope that it takes to ease. [count]"""
        return -self.ease_at / (self.per_met - self.per_missed)

    def evidence(self, met: int, reps: int) -> float:
        """Evidence of ``met`` out of ``reps``, in natural logarithms. [-]"""
        return met * self.per_met + (reps - met) * self.per_missed

    def raises(self, met: int, reps: int) -> bool:
        """Whether this count lies on or above the raise line."""
        return self.evidence(met, reps) >= self.raise_at - TOUCH

    def eases(self, met: int, reps: int) -> bool:
        """Whether this count lies on or below the ease line."""
        return self.evidence(met, reps) <= self.ease_at + TOUCH


def sprt_lines(*, ready: float, not_ready: float, false_raise: float, missed_raise: float) -> Lines:
    """Draw Wald's lines between a dog that is ready and one that is not.

    Args:
        ready: Share of reps met by a dog that should be raised. [-]
        not_ready: Share met by a dog that must not be raised; below ``ready``. [-]
        false_raise: Accepted chance to raise a dog at ``not_ready``. [-]
        missed_raise: Accepted chance to ease a dog at ``ready``. [-]

    Raises:
        OutOfRange: If the rates or the risks cannot be.

    Sources:
        wald-1947: the lines A = (1 - missed) / false and B = missed / (1 - false).
        montgomery-2009: the same lines in counts, as a sampling plan.
        nist-2012: the same.
        bottine-2015: the lower line for risks 0.05 and 0.20.

    Examples:
        >>> lines = sprt_lines(ready=0.85, not_ready=0.60, false_raise=0.05, missed_raise=0.20)
        >>> lines.raises(7, 7), lines.raises(8, 8), lines.eases(0, 2)
        (False, True, True)
    """
    _require_levels(ready, not_ready)
    _require_risks(false_raise, missed_raise)
    return Lines(
        per_met=log(ready / not_ready),
        per_missed=log((1 - ready) / (1 - not_ready)),
        raise_at=log((1 - missed_raise) / false_raise),
        ease_at=log(missed_raise / (1 - false_raise)),
    )


def _require_levels(ready: float, not_ready: float) -> None:
    if not 0 < not_ready < ready < 1:
        raise OutOfRange(
            f"ready {ready:g} and not_ready {not_ready:g} cannot be told apart. "
            "Give rates between 0 and 1 with not_ready below ready, for example 0.85 and 0.60."
        )


def _require_risks(false_raise: float, missed_raise: float) -> None:
    if not (0 < false_raise < 1 and 0 < missed_raise < 1 and false_raise + missed_raise < 1):
        raise OutOfRange(
            f"The risks false_raise {false_raise:g} and missed_raise {missed_raise:g} cannot be. "
            "Give each between 0 and 1 with a sum below 1, for example 0.05 and 0.20."
        )
