"""How long the dog holds, learnt from holds most of which the mark cut short.

Conventions
-----------
Times are seconds, chances run from 0 to 1. The shape is the one of smallest AIC among exponential,
Weibull and log-normal (`nares.decide.shapes`). Limits are approximate (normal on the scale of the
logarithm of the hold).

What has not been seen is not promised: beyond ``longest_asked_s`` every figure is an extrapolation and
``extrapolates`` says so, and ``ask`` never goes further than ``STRETCH`` times the longest hold seen.
Where the dog never broke, only a lower limit can be had; the middle figure then counts half a break over
the whole time held, so that one rep held does not become certainty.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log
from statistics import NormalDist

from nares.base.errors import OutOfRange
from nares.decide.shapes import BREAKS_FOR_A_SPREAD, Shape, fit_shapes
from nares.decide.survival import Holds, Survived, checked_holds, product_limit

STRETCH = 1.25
"""The ask never exceeds the longest hold seen by more than this factor: a quarter further, no leaps."""

HALF_A_BREAK = 0.5
"""Breaks counted where none was seen (the mean rate under Jeffreys' prior is half a break over the time)."""


@dataclass(frozen=True, slots=True)
class HoldModel:
    """The chance to hold as a function of time.

    ``shape`` is "exponential", "weibull", "log-normal" or "none broken"; ``fits`` lists every shape tried,
    best first. ``reps``, ``breaks`` and ``cut_short`` count holds; ``effective_reps`` is what the weights
    leave of them. ``observed`` is the Kaplan-Meier estimate at each break. ``notes`` are sentences.
    """

    shape: str
    reps: int
    breaks: int
    cut_short: int
    effective_reps: float
    longest_asked_s: float
    held_s: float
    observed: tuple[Survived, ...]
    fits: tuple[Shape, ...]
    notes: tuple[str, ...]

    def chance(self, t_s: float) -> float:
        """Chance that the dog holds at least ``t_s``. [-]

        Raises:
            OutOfRange: If the time is negative or not a number.
        """
        _require_time(t_s)
        if not self.fits:
            return exp(-HALF_A_BREAK * t_s / self.held_s) if self.held_s else float(t_s == 0)
        return self.fits[0].chance(t_s)

    def chance_limits(self, t_s: float, *, confidence: float = 0.95) -> tuple[float, float]:
        """Bound the chance of a hold of at least ``t_s``.

        Without a break only the lower limit says anything (one-sided), and the upper one is 1.

        Raises:
            OutOfRange: If the time or the confidence cannot be.
        """
        _require_time(t_s)
        _require_chance(confidence, "confidence")
        if t_s == 0:
            return 1.0, 1.0
        if not self.fits:
            return (exp(-self._worst_rate(confidence) * t_s) if self.held_s else 0.0), 1.0
        shape, z = self.fits[0], _two_sided(confidence)
        middle = shape.z(t_s)
        reach = z * shape.z_error(middle)
        return shape.survival_at(middle + reach), shape.survival_at(middle - reach)

    def ask(self, chance: float = 0.85) -> float:
        """The hold to ask for so that the dog makes it with this chance. [s]

        Never above ``ceiling_s``, however sure the model is.

        Raises:
            OutOfRange: If the chance is not strictly between 0 and 1.
        """
        _require_chance(chance, "chance")
        if not self.fits:
            return min(-log(chance) * self.held_s / HALF_A_BREAK, self.ceiling_s)
        return min(self.fits[0].quantile_s(chance), self.ceiling_s)

    def ask_limits(self, chance: float = 0.85, *, confidence: float = 0.95) -> tuple[float, float]:
        """Bound the hold reached with this chance, without the ceiling. [s]

        Without a break the upper limit is infinite.

        Raises:
            OutOfRange: If the chance or the confidence cannot be.
        """
        _require_chance(chance, "chance")
        _require_chance(confidence, "confidence")
        if not self.fits:
            low = -log(chance) / self._worst_rate(confidence) if self.held_s else 0.0
            return low, float("inf")
        shape = self.fits[0]
        middle, reach = shape.quantile_s(chance), _two_sided(confidence) * shape.log_quantile_error(chance)
        return middle * exp(-reach), middle * exp(min(reach, 50.0))

    def extrapolates(self, t_s: float) -> bool:
        """Whether ``t_s`` lies beyond every hold seen, so that only the shape speaks for it."""
        return t_s > self.longest_asked_s

    @property
    def ceiling_s(self) -> float:
        """The longest hold that may be asked for on these data. [s]"""
        return STRETCH * self.longest_asked_s

    def _worst_rate(self, confidence: float) -> float:
        """The highest rate of breaks that leaves this much room for having seen none. [1/s]"""
        return -log(1 - confidence) / self.held_s


def hold_model(
    hold_s: Sequence[float],
    ended_by_dog: Sequence[bool | int],
    *,
    weights: Sequence[float] | None = None,
) -> HoldModel:
    """Learn how long the dog holds.

    Args:
        hold_s: Length of each hold, to the mark or to the dog's leaving. [s]
        ended_by_dog: True or 1 where the dog ended it, False or 0 where the mark cut it short. [bool]
        weights: How much each hold counts; see `recency_weights`. [-]

    Raises:
        NotEnoughData: If there is no hold.
        OutOfRange: If lengths differ, or a hold, an ending or a weight cannot be.

    Sources:
        therneau-2024: the fits.
        kleinbaum-klein-2012: ``observed``.

    Examples:
        >>> model = hold_model([5, 5, 3.2, 5, 5, 4.1, 5, 5, 2, 5], [0, 0, 1, 0, 0, 1, 0, 0, 1, 0])
        >>> model.breaks, model.cut_short, model.extrapolates(7.0)
        (3, 7, True)
        >>> model.chance(2.0) > model.chance(5.0)
        True
    """
    holds = checked_holds(hold_s, ended_by_dog, weights)
    fits = fit_shapes(holds) if holds.breaks else ()
    return HoldModel(
        shape=fits[0].name if fits else "none broken",
        reps=len(holds.hold_s),
        breaks=holds.breaks,
        cut_short=len(holds.hold_s) - holds.breaks,
        effective_reps=float(holds.weights.sum()),
        longest_asked_s=holds.longest_s,
        held_s=float((holds.weights * holds.hold_s).sum()),
        observed=product_limit(holds, 0.95),
        fits=fits,
        notes=tuple(_notes(holds)),
    )


def recency_weights(reps: int, *, half_life_reps: float) -> list[float]:
    """Weights for holds oldest first: a hold ``half_life_reps`` older counts half as much.

    Raises:
        OutOfRange: If the count or the half-life cannot be.

    Examples:
        >>> recency_weights(3, half_life_reps=1)
        [0.25, 0.5, 1.0]
    """
    if reps < 0 or not half_life_reps > 0:
        raise OutOfRange(
            f"{reps} reps with a half-life of {half_life_reps:g} reps cannot be weighted. "
            "Give a count from 0 and a half-life above 0."
        )
    return [float(0.5 ** (age / half_life_reps)) for age in range(reps - 1, -1, -1)]


def _notes(holds: Holds) -> list[str]:
    longest = f"{holds.longest_s:.1f} s"
    notes = []
    if holds.breaks == 0:
        notes.append(f"The dog never broke, so only a lower limit is known; the longest hold was {longest}.")
    elif holds.breaks < BREAKS_FOR_A_SPREAD:
        notes.append(f"Only {holds.breaks} of the holds ended by the dog: an even rate of breaks is assumed.")
    if len(holds.hold_s) == 1:
        notes.append("This is a single hold: take every figure as a guess.")
    notes.append(f"Beyond {longest} nothing was seen; figures there are extrapolated.")
    return notes


def _two_sided(confidence: float) -> float:
    return NormalDist().inv_cdf((1 + confidence) / 2)


def _require_time(t_s: float) -> None:
    if not 0 <= t_s < float("inf"):
        raise OutOfRange(f"A hold of {t_s:g} s cannot be asked about. Give a time from 0 s up.")


def _require_chance(value: float, name: str) -> None:
    if not 0 < value < 1:
        raise OutOfRange(f"A {name} of {value:g} cannot be. Give one between 0 and 1, for example 0.85.")
