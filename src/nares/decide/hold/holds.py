"""How long the dog holds, learnt from holds most of which the mark cut short.

Conventions
-----------
Times are seconds, chances run from 0 to 1. Several shapes are fitted (`nares.decide.hold.shapes`) and
averaged, each counting by how well it foretold sessions it was not fitted to
(`nares.decide.hold.foresight`).

A hold below ``REFUSED_S`` that the dog ended is a *decline*: it looked in and left. Declines are counted
apart, as a share of the reps, and the shapes are fitted to the other holds.

What has not been seen is not promised: beyond ``longest_asked_s`` every figure is an extrapolation and
``extrapolates`` says so, and ``ask`` never goes further than ``STRETCH`` times the longest hold seen.
Where the dog never broke, only a lower limit can be had; the middle figure then counts half a break over
the whole time held, so that one rep held does not become certainty.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from nares.base.errors import OutOfRange
from nares.base.interval import wilson_interval
from nares.decide.hold.foresight import as_groups, group_scores, shares_of
from nares.decide.hold.likelihood import nothing_known
from nares.decide.hold.mixture import Mixture
from nares.decide.hold.shapes import BREAKS_FOR_A_SPREAD, Shape, fit_shapes, seen_of
from nares.decide.hold.survival import Floats, Holds, Survived, checked_holds, product_limit

STRETCH = 1.25
"""The ask never exceeds the longest hold seen by more than this factor: a quarter further, no leaps."""

HALF_A_BREAK = 0.5
"""Breaks counted where none was seen (the mean rate under Jeffreys' prior is half a break over the time)."""

REFUSED_S = 0.2
"""A hold shorter than this, ended by the dog, is a decline: it looked in and left."""

SESSIONS_TO_LEAVE_OUT = 5
"""With fewer sessions, leaving one out leaves too little to fit: tenths of the holds are left out then."""

SUREST = 0.97
"""Where a dog declines often, no ask is made shorter than what it holds with this chance once it is in:
shorter asks do not bring a dog in."""


@dataclass(frozen=True, slots=True)
class HoldModel:
    """The chance to hold as a function of time.

    ``shape`` is the name of the shape that counts most, or "none broken"; ``fits`` lists every shape tried,
    that one first, and ``shares`` how much each counts. ``reps``, ``breaks`` and ``cut_short`` count holds;
    ``effective_reps`` is what the weights leave of them. ``observed`` is the Kaplan-Meier estimate at each
    break. ``declined`` is the share of reps left at once. ``notes`` are sentences.

    ``per_foretold``: breaks seen for each break that the same model foretold before them, session by
    session; the rate of breaks is multiplied by it. 1 without a history. ``per_foretold_error`` is the
    standard error of its logarithm. ``borrowed`` counts holds of the dog's other steps that helped,
    ``other_dogs`` the dogs that did, ``from_others`` how much of the place they decide, 0 to 1.
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
    shares: tuple[float, ...] = ()
    declined: float = 0.0
    averaged: bool = False
    per_foretold: float = 1.0
    per_foretold_error: float = 0.0
    borrowed: int = 0
    other_dogs: int = 0
    from_others: float = 0.0

    def chance(self, t_s: float) -> float:
        """Chance that the dog holds at least ``t_s``. [-]

        Raises:
            OutOfRange: If the time is negative or not a number.
        """
        return float(self.chances([t_s])[0])

    def chances(self, times_s: Sequence[float] | Floats) -> Floats:
        """Chance that the dog holds at least each time. [-]

        Raises:
            OutOfRange: If a time is negative or not a number.
        """
        times = _checked_times(times_s)
        if self.fits:
            holding = self._mixture.chances(times)
        elif self.held_s > 1e-9:
            holding = np.exp(-HALF_A_BREAK * times / self.held_s)
        else:
            holding = np.zeros(len(times))
        going = (1 - self.declined) * holding
        return np.where(times > 0, going**self.per_foretold, 1.0)

    def chance_limits(self, t_s: float, *, confidence: float = 0.95) -> tuple[float, float]:
        """Bound the chance of a hold of at least ``t_s``; see `limits`."""
        low, high = self.limits([t_s], confidence=confidence)
        return float(low[0]), float(high[0])

    def limits(self, times_s: Sequence[float] | Floats, *, confidence: float = 0.95) -> tuple[Floats, Floats]:
        """Bound the chance of a hold of at least each time, not knowing the shape included.

        Without a break only the lower limit says anything (one-sided), and the upper one is 1.

        Raises:
            OutOfRange: If a time or the confidence cannot be.
        """
        times = _checked_times(times_s)
        _require_chance(confidence, "confidence")
        if not self.fits:
            rate = -log(1 - confidence) / self.held_s if self.held_s > 1e-9 else float("inf")
            low = np.where(times > 0, (1 - self.declined) * np.exp(-rate * np.maximum(times, 1e-9)), 1.0)
            return low, np.ones(len(times))
        low, high = self._mixture.limits(times, confidence)
        return self._widened(times, low, high, confidence)

    def ask(self, chance: float = 0.85) -> float:
        """The hold to ask for so that the dog makes it with this chance. [s]

        Never above ``ceiling_s``, however sure the model is.

        Raises:
            OutOfRange: If the chance is not strictly between 0 and 1.
        """
        _require_chance(chance, "chance")
        if self.declined >= 1:
            return 0.0
        holding = chance ** (1 / self.per_foretold) / (1 - self.declined)
        holding = min(holding, max(SUREST, chance))
        if not self.fits:
            return min(-log(holding) * self.held_s / HALF_A_BREAK, self.ceiling_s)
        return min(self._mixture.reached_s(holding), self.ceiling_s)

    def ask_limits(self, chance: float = 0.85, *, confidence: float = 0.95) -> tuple[float, float]:
        """Bound the hold reached with this chance, without the ceiling. [s]

        The limits are where the limits of the chance pass it. Without a break the upper one is infinite.

        Raises:
            OutOfRange: If the chance or the confidence cannot be.
        """
        _require_chance(chance, "chance")
        _require_chance(confidence, "confidence")
        times = np.geomspace(1e-3, 1e4, 161)
        low, high = (_crossing(times, edge, chance) for edge in self.limits(times, confidence=confidence))
        return low, high

    def extrapolates(self, t_s: float) -> bool:
        """Whether ``t_s`` lies beyond every hold seen, so that only the shape speaks for it."""
        return t_s > self.longest_asked_s

    @property
    def ceiling_s(self) -> float:
        """The longest hold that may be asked for on these data. [s]"""
        return STRETCH * self.longest_asked_s

    @property
    def _mixture(self) -> Mixture:
        return Mixture(self.fits, self.shares, self.averaged)

    def _widened(self, times: Floats, low: Floats, high: Floats, confidence: float) -> tuple[Floats, Floats]:
        """Limits of holding made limits of going in and holding: three doubts, on the scale of ln(chance)."""
        factor = exp(NormalDist().inv_cdf((1 + confidence) / 2) * self.per_foretold_error)
        middle = np.log(np.maximum(self.chances(times), 1e-300))
        going = log(max(1 - self.declined, 1e-12))
        fewest, most = self._declined_limits(confidence)
        edges = []
        for edge, worn, share, sign in ((low, factor, most, -1), (high, 1 / factor, fewest, 1)):
            of_shape = self.per_foretold * (going + np.log(np.maximum(edge, 1e-300))) - middle
            of_share = self.per_foretold * (log(max(1 - share, 1e-12)) - going)
            reach = np.sqrt(of_shape**2 + (middle * (worn - 1)) ** 2 + of_share**2)
            edges.append(np.exp(np.minimum(middle + sign * reach, 0.0)))
        return np.where(times > 0, edges[0], 1.0), np.where(times > 0, edges[1], 1.0)

    def _declined_limits(self, confidence: float) -> tuple[float, float]:
        """Bound the share of declines; a dog that never declined is taken to go in."""
        if self.declined == 0:
            return 0.0, 0.0
        return wilson_interval(self.declined, self.effective_reps, confidence=confidence)


def hold_model(
    hold_s: Sequence[float],
    ended_by_dog: Sequence[bool | int],
    *,
    weights: Sequence[float] | None = None,
    sessions: Sequence[str] | None = None,
) -> HoldModel:
    """Learn how long the dog holds, from these holds alone.

    Args:
        hold_s: Length of each hold, to the mark or to the dog's leaving. [s]
        ended_by_dog: True or 1 where the dog ended it, False or 0 where the mark cut it short. [bool]
        weights: How much each hold counts; see `recency_weights`. [-]
        sessions: The session of each hold. Without them, stretches of consecutive holds take their place
            where shapes are judged.

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
    if sessions is not None and len(sessions) != len(hold_s):
        raise OutOfRange(
            f"There are {len(hold_s)} holds but {len(sessions)} sessions. Give one for each hold."
        )
    kept = (
        None
        if sessions is None
        else [s for s, w in zip(sessions, weights or [1.0] * len(sessions), strict=True) if w > 0]
    )
    declines = declines_of(holds)
    inside = _some(holds, ~declines)
    fits, shares = _rivals(
        inside, None if kept is None else [s for s, left in zip(kept, declines, strict=True) if not left]
    )
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
        notes=(
            *_notes(holds),
            *shape_notes(fits, shares),
            *decline_notes(int(declines.sum()), len(declines)),
        ),
        shares=shares,
        declined=float(holds.weights[declines].sum() / holds.weights.sum()),
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


def _crossing(times: Floats, falling: Floats, level: float) -> float:
    """Where a falling curve passes a level; 0 if it begins below, endless if it never does."""
    enough = int(np.argmax(falling < level)) if (falling < level).any() else len(times)
    if enough in (0, len(times)):
        return float("inf") if enough else 0.0
    above, below = float(falling[enough - 1]), float(falling[enough])
    part = (above - level) / max(above - below, 1e-12)
    return float(times[enough - 1] * (times[enough] / times[enough - 1]) ** part)


def declines_of(holds: Holds) -> NDArray[np.bool_]:
    """Which holds were left at once by the dog."""
    return np.asarray(holds.broke & (holds.hold_s < REFUSED_S))


def shape_notes(fits: Sequence[Shape], shares: Sequence[float]) -> list[str]:
    """Which shape foretells best, by how much, and what runs beside it."""
    if len(fits) < 2:
        return []
    first, second = shares[0], shares[1]
    name = name_of(fits[0])
    if first >= 0.9:
        return [f"A {name} shape foretold sessions it had not seen best by far ({first:.0%} of the weight)."]
    return [
        f"Shapes are averaged by how well they foretold sessions they had not seen: {name} {first:.0%}, "
        f"{name_of(fits[1])} {second:.0%}, others {1 - first - second:.0%}."
    ]


def name_of(shape: Shape) -> str:
    """The shape in words; a generalised gamma by its tail beside the Weibull's and the log-normal's."""
    if shape.name != "generalised gamma":
        return shape.name
    tail = "long-tailed" if shape.form < 0 else "short-tailed" if shape.form > 1 else "middling"
    return f"{tail} generalised gamma"


def decline_notes(declines: int, holds: int) -> list[str]:
    """Say so where a dog often looked in and left: shorter asks do not mend that."""
    if declines < 2 or declines < 0.05 * holds:
        return []
    return [
        f"It looked in and left at once in {declines} of {holds} reps; these are counted apart, and shorter "
        "asks will not mend them."
    ]


def _rivals(holds: Holds, sessions: Sequence[str] | None) -> tuple[tuple[Shape, ...], tuple[float, ...]]:
    """The shapes these holds can carry and how much each counts, leading one first."""
    if holds.breaks == 0:
        return (), ()
    fits, seen = fit_shapes(holds), seen_of(holds)
    if len(fits) == 1:
        return fits, (1.0,)
    group = as_groups(sessions, len(holds.hold_s))
    if group.max() + 1 < SESSIONS_TO_LEAVE_OUT:
        group = as_groups(None, len(holds.hold_s))
    nothing = nothing_known(2)
    scores = [
        group_scores(
            fit.form,
            seen,
            nothing,
            np.asarray([fit.place, log(fit.spread)]),
            group,
            held=np.asarray([False, fit.numbers == 1]),
        )
        for fit in fits
    ]
    shares = shares_of(np.asarray(scores))
    order = np.argsort(-shares, kind="stable")
    return tuple(fits[n] for n in order), tuple(float(shares[n]) for n in order)


def _some(holds: Holds, which: NDArray[np.bool_]) -> Holds:
    return Holds(holds.hold_s[which], holds.broke[which], holds.weights[which])


def _checked_times(times_s: Sequence[float] | Floats) -> Floats:
    times = np.asarray(times_s, dtype=np.float64)
    wrong = ~((times >= 0) & (times < np.inf))
    if wrong.any():
        raise OutOfRange(f"A hold of {times[wrong][0]:g} s cannot be asked about. Give a time from 0 s up.")
    return times


def _require_chance(value: float, name: str) -> None:
    if not 0 < value < 1:
        raise OutOfRange(f"A {name} of {value:g} cannot be. Give one between 0 and 1, for example 0.85.")
