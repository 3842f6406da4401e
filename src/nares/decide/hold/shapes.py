"""Shapes of hold times, fitted to holds most of which are cut short by the mark.

Conventions
-----------
Every shape is a law for the logarithm of the hold: ``z = (ln t - place) / spread``, with the chance of
still holding a falling function of z that depends on a shape number, ``form`` (`nares.decide.hold.laws`).
Exponential: form 1, spread 1, breaks come at an even rate. Weibull: form 1, the rate of breaks rises
(spread below 1) or falls (above 1) through the hold; in the common writing its scale is exp(place) and its
shape 1 / spread. Log-normal: form 0, few very early breaks, a long tail. Generalised gamma: any form.
Fits maximise the likelihood of breaks at their time and cut-short holds beyond theirs. ``covariance`` is
that of place, ln(spread) and, where it was fitted, form, from the curvature at the maximum.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import exp, log, sqrt
from typing import Literal

import numpy as np

from nares.base.errors import OutOfRange
from nares.decide.hold.laws import law_at, log_tail, z_beyond
from nares.decide.hold.likelihood import Maximum, Seen, inverse_of, largest, nothing_known, slopes, terms
from nares.decide.hold.survival import Floats, Holds

ShapeName = Literal["exponential", "weibull", "log-normal", "generalised gamma"]

STEP_S = 0.1
"""Holds are recorded to this step; a hold of 0 is taken as half of it, since its logarithm must exist."""

BREAKS_FOR_A_SPREAD = 3
"""Breaks below which a second number cannot be learnt and only the exponential is fitted."""

RIVALS = (1.0, 0.0, 0.5, -1.0, 2.0)
"""Forms that are fitted and compared: Weibull, log-normal, one between them, one of a longer tail than both
and one of a shorter. The data of one dog cannot tell finer ones apart."""

FORMS = (-2.0, -1.0, -0.5, 0.0, 0.5, 1.0, 1.5, 2.0, 3.0)
"""Where the search for the best form begins; it ends between the first and the last."""

FORM_STEP = 0.02

Numbers = tuple[tuple[float, ...], ...]


@dataclass(frozen=True, slots=True)
class Shape:
    """One fitted shape.

    ``place``, ``spread`` and ``form``: see the module. ``covariance``: of (place, ln spread[, form]), by
    rows. ``log_likelihood`` is natural, over times in seconds; ``numbers`` counts what was fitted.
    """

    name: ShapeName
    place: float
    spread: float
    covariance: Numbers
    log_likelihood: float
    numbers: int
    form: float = 1.0

    @property
    def aic(self) -> float:
        """Akaike's criterion; the smaller, the better. [-]"""
        return 2 * self.numbers - 2 * self.log_likelihood

    def chance(self, t_s: float) -> float:
        """Chance of a hold of at least ``t_s``. [-]"""
        return exp(float(log_tail(self.form, self.z(np.asarray([t_s])))[0])) if t_s > 0 else 1.0

    def quantile_s(self, chance: float) -> float:
        """The hold that is reached with this chance. [s]"""
        return exp(self.place + self.spread * float(z_beyond(self.form, np.asarray([chance]))[0]))

    def z(self, times_s: Floats) -> Floats:
        """Where each time lies in the law of the logarithm. [-]"""
        return np.asarray((np.log(np.maximum(times_s, STEP_S / 2)) - self.place) / self.spread)

    def z_error(self, z: Floats) -> Floats:
        """Standard error of z at fixed times, as far as the chance there is concerned. [-]"""
        pulls = [np.full_like(z, -1 / self.spread), -z]
        if len(self.covariance) == 3:
            pulls.append(_pull_of_form(self.form, z))
        pull = np.stack(pulls)
        return np.asarray(np.sqrt(np.maximum(0, np.einsum("in,ij,jn->n", pull, self.covariance, pull))))

    def log_quantile_error(self, chance: float) -> float:
        """Standard error of the logarithm of the hold reached with this chance. [-]"""
        z = z_beyond(self.form, np.asarray([chance]))
        return self.spread * float(self.z_error(z)[0])


def fit_shapes(holds: Holds) -> tuple[Shape, ...]:
    """Fit every shape these holds can carry, simplest first.

    Raises:
        OutOfRange: If there is no break; then no shape can be told.

    Sources:
        therneau-2024: right-censored fits as a law of the logarithm with place and spread.
        prentice-1974: the generalised gamma law.
    """
    if holds.breaks == 0:
        raise OutOfRange("No hold was ended by the dog, so no shape can be fitted. Use the lower limit only.")
    seen = seen_of(holds)
    fits = [fit_exponential(seen)]
    if holds.breaks >= BREAKS_FOR_A_SPREAD:
        fits += [shape_of(_two(form, seen)) for form in RIVALS]
    return tuple(fits)


def seen_of(holds: Holds) -> Seen:
    """Holds as the likelihood takes them, all at one place."""
    log_t = np.log(np.maximum(holds.hold_s, STEP_S / 2))
    return Seen(log_t, holds.broke, holds.weights, np.ones((len(log_t), 1)))


def shape_of(found: Maximum) -> Shape:
    """The shape a maximum stands for: the first effect is its place."""
    names: dict[float, ShapeName] = {1.0: "weibull", 0.0: "log-normal"}
    kept = found.covariance[np.ix_([0, -1], [0, -1])]
    return Shape(
        names.get(found.form, "generalised gamma"),
        float(found.at[0]),
        exp(float(found.at[-1])),
        _rows(kept),
        found.log_likelihood,
        2,
        found.form,
    )


def fit_exponential(seen: Seen) -> Shape:
    """The even rate of breaks: breaks over the whole time held."""
    broken = float(seen.weights[seen.broke].sum())
    place = log(float((seen.weights * np.exp(seen.log_t)).sum()) / broken)
    likelihood = float(seen.weights @ terms(1.0, seen, np.asarray([place, 0.0])))
    return Shape("exponential", place, 1.0, ((1 / broken, 0.0), (0.0, 0.0)), likelihood, 1)


def fit_any_form(seen: Seen) -> Shape:
    """The generalised gamma: the form whose best place and spread are likeliest."""
    found: dict[float, Maximum] = {}

    def at(form: float) -> float:
        if form not in found:
            near = min(found, key=lambda other: abs(other - form), default=None)
            found[form] = _two(form, seen, None if near is None else found[near].at)
        return found[form].log_likelihood

    best = max(FORMS, key=at)
    place = FORMS.index(best)
    low, high = FORMS[max(place - 1, 0)], FORMS[min(place + 1, len(FORMS) - 1)]
    form = _highest_between(at, low, high)
    at(form)
    top = found[form]
    errors = _three_errors(form, seen, top.at, on_limit=form in (FORMS[0], FORMS[-1]))
    spread = exp(float(top.at[1]))
    return Shape("generalised gamma", float(top.at[0]), spread, _rows(errors), top.log_likelihood, 3, form)


def _third_slopes(form: float, seen: Seen, at: Floats) -> tuple[Floats, Floats]:
    """As `slopes`, with the form as a third unknown, by differences."""
    (first, second), step = slopes(form, seen, at), FORM_STEP
    up, _ = slopes(form + step, seen, at)
    down, _ = slopes(form - step, seen, at)
    values = [seen.weights * terms(form + move, seen, at) for move in (-step, 0.0, step)]
    across = (up - down) / (2 * step)
    gradient = np.column_stack([first, (values[2] - values[0]) / (2 * step)])
    curvature = np.zeros((len(first), 3, 3))
    curvature[:, :2, :2] = second
    curvature[:, :2, 2] = curvature[:, 2, :2] = across
    curvature[:, 2, 2] = (values[2] - 2 * values[1] + values[0]) / step**2
    return gradient, curvature


def _two(form: float, seen: Seen, start: Floats | None = None) -> Maximum:
    return largest(form, seen, nothing_known(2), start)


def _highest_between(at: Callable[[float], float], low: float, high: float) -> float:
    """Golden section for the top of a hill, to a thousandth."""
    cut = (sqrt(5) - 1) / 2
    left, right = high - cut * (high - low), low + cut * (high - low)
    while high - low > 1e-3:
        if at(left) >= at(right):
            high, right = right, left
            left = high - cut * (high - low)
        else:
            low, left = left, right
            right = low + cut * (high - low)
    return (low + high) / 2


def _three_errors(form: float, seen: Seen, at: Floats, *, on_limit: bool) -> Floats:
    _, curvature = _third_slopes(form, seen, at)
    free = np.asarray([True, True, not on_limit])
    return inverse_of(-curvature.sum(0), free)


def _pull_of_form(form: float, z: Floats) -> Floats:
    """How far z would have to move to change the chance as much as the form does."""
    change = (log_tail(form + FORM_STEP, z) - log_tail(form - FORM_STEP, z)) / (2 * FORM_STEP)
    return np.asarray(-change / np.maximum(law_at(form, z).hazard, 1e-12))


def _rows(matrix: Floats) -> Numbers:
    return tuple(tuple(float(value) for value in row) for row in matrix)
