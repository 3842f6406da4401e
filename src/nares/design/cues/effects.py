"""What one cue adds to pay with the others held as they were, and how far it can be seen at all.

Conventions
-----------
The estimator: least squares of paid (0, 1) on the cue, the place and all other cues; values of the cue's own
group are left out, so that ``box:3`` is set against the other boxes together. The cue is first cleared of
everything the others say about it; what is left of it carries the effect. Where nothing is left the effect is
None: on this history the cue cannot be told from what the others say.

``vif``: how many times wider the cue's effect is known because it goes along with others; 1 is untangled,
None infinite. Intervals are 95 %, normal, from the variance p(1 - p) of each fitted share after Agresti and
Coull's two more successes and failures, so that a perfect history does not look exact.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from nares.design.cues.contingency import CONFIDENCE
from nares.design.cues.trials import Counted, Numbers
from nares.design.cues.vocabulary import TARGET, group_of

NOTHING_LEFT = 1e-9
"""A cue of which the others leave less than this share of its spread is not seen apart. [-]"""


@dataclass(frozen=True, slots=True)
class Effect:
    """What a cue adds to pay with the others held fixed. None: cannot be told apart on this history.

    ``own_reps``: how many reps' worth of spread is the cue's own. ``error``: standard error.
    """

    effect: float | None
    low: float | None
    high: float | None
    vif: float | None
    own_reps: float
    error: float | None = None

    def surely_above(self, least: float, confidence: float) -> bool:
        """Whether the effect lies above ``least`` with this two-sided confidence. [-]"""
        if self.effect is None or self.error is None:
            return False
        return self.effect - NormalDist().inv_cdf((1 + confidence) / 2) * self.error > least


def effect_of(table: Counted, name: str) -> Effect:
    """The effect of one cue, the others held as they were.

    Sources:
        agresti-coull-1998: two successes and two failures more.
    """
    weight = np.sqrt(table.reps)
    column = table.column(name)
    others = _others(table, name)
    left = _cleared(column * weight, others * weight[:, None])
    mean = (column * table.reps).sum() / table.reps.sum()
    spread = float((table.reps * (column - mean) ** 2).sum())
    own = float(left @ left)
    if own <= NOTHING_LEFT * max(spread, 1.0):
        return Effect(None, None, None, None, 0.0)
    pay = table.paid / weight
    effect = float(left @ pay) / own
    variance = _variance(table, np.column_stack([others, column]), weight)
    error = float(np.sqrt((left**2 * variance).sum())) / own
    z = NormalDist().inv_cdf((1 + CONFIDENCE) / 2)
    low, high = max(-1.0, effect - z * error), min(1.0, effect + z * error)
    return Effect(effect, low, high, spread / own, own, error)


def _others(table: Counted, name: str) -> Numbers:
    """The place and every cue but this one and the other values of its group."""
    group = group_of(name)
    kept = [
        number
        for number, other in enumerate(table.names)
        if other != name and (group is None or group_of(other) != group)
    ]
    return np.column_stack([np.ones(len(table.reps)), table.rows[:, kept]])


def _cleared(column: Numbers, others: Numbers) -> Numbers:
    """What is left of a column after everything the others say of it."""
    basis, sizes, _ = np.linalg.svd(others, full_matrices=False)
    basis = basis[:, sizes > 1e-10 * max(float(sizes.max(initial=0.0)), 1.0)]
    once: Numbers = column - basis @ (basis.T @ column)
    return once - basis @ (basis.T @ once)  # a second time: what rounding left of the first


def _variance(table: Counted, design: Numbers, weight: Numbers) -> Numbers:
    """The variance of pay of one rep of each combination."""
    basis, sizes, _ = np.linalg.svd(design * weight[:, None], full_matrices=False)
    basis = basis[:, sizes > 1e-10 * float(sizes.max())]
    fitted = np.clip(basis @ (basis.T @ (table.paid / weight)) / weight, 0.0, 1.0)
    leverage = np.clip((basis**2).sum(axis=1) / table.reps, 1e-12, 1.0)
    behind = 1 / leverage
    share = (fitted * behind + 2) / (behind + 4)
    variance: Numbers = share * (1 - share)
    return variance


@dataclass(frozen=True, slots=True)
class Together:
    """What the target and another cue do together beyond what each does alone; None: never tested.

    All four of both, either, none must have been tried. ``hidden_in``: cues that go along with exactly this,
    so that they cannot be told from it.
    """

    cue: str
    tested: bool
    difference: float | None
    hidden_in: tuple[str, ...] = ()


def together_with_target(table: Counted, names: Sequence[str]) -> tuple[Together, ...]:
    """For each cue whether target and cue together were tested in all four ways, and what came of it."""
    if TARGET not in table.names:
        return ()
    return tuple(_together(table, name) for name in names if name != TARGET)


def _together(table: Counted, name: str) -> Together:
    target, cue = table.column(TARGET), table.column(name)
    rates = []
    for first, second in ((1, 1), (1, 0), (0, 1), (0, 0)):
        here = (target == first) & (cue == second)
        reps = float(table.reps[here].sum())
        if reps == 0:
            return Together(name, False, None)
        rates.append(float(table.paid[here].sum()) / reps)
    both, alone, other, none = rates
    weight = np.sqrt(table.reps)
    span = np.column_stack([np.ones_like(target), target, cue]) * weight[:, None]
    product = _cleared(target * cue * weight, span)
    hidden = [
        other_name
        for other_name in table.names
        if other_name not in (TARGET, name) and _same_line(table.column(other_name) * weight, span, product)
    ]
    return Together(name, True, both - alone - other + none, tuple(hidden))


def _same_line(column: Numbers, span: Numbers, product: Numbers) -> bool:
    left = _cleared(column, span)
    sizes = float(left @ left), float(product @ product)
    if min(sizes) <= NOTHING_LEFT:
        return False
    return bool(abs(float(left @ product)) >= (1 - 1e-9) * np.sqrt(sizes[0] * sizes[1]))
