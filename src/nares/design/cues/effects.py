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
    return effects_of(table, (name,))[name]


def effects_of(table: Counted, names: Sequence[str]) -> dict[str, Effect]:
    """The effects of these cues, each with all others held as they were."""
    design = np.column_stack([np.ones(len(table.reps)), table.rows])
    crossed = design.T @ (design * table.reps[:, None])
    variances: dict[tuple[int, ...], Numbers] = {}
    found = {}
    for name in names:
        own, others = table.names.index(name) + 1, _others(table, name)
        used = tuple(sorted((*others, own)))
        if used not in variances:
            variances[used] = _variance(table, design[:, used], crossed[np.ix_(used, used)])
        found[name] = _effect(table, design, crossed, own, others, variances[used])
    return found


def _effect(
    table: Counted,
    design: Numbers,
    crossed: Numbers,
    own: int,
    others: Sequence[int],
    variance: Numbers,
) -> Effect:
    column, rest = design[:, own], design[:, others]
    inverse = _inverse(crossed[np.ix_(others, others)])
    once = column - rest @ (inverse @ crossed[others, own])
    # A second time, for what rounding left of the first.
    left: Numbers = once - rest @ (inverse @ (rest.T @ (table.reps * once)))
    mean = (column * table.reps).sum() / table.reps.sum()
    spread = float((table.reps * (column - mean) ** 2).sum())
    kept = float((table.reps * left**2).sum())
    if kept <= NOTHING_LEFT * max(spread, 1.0):
        return Effect(None, None, None, None, 0.0)
    effect = float(left @ table.paid) / kept
    error = float(np.sqrt((table.reps * left**2 * variance).sum())) / kept
    z = NormalDist().inv_cdf((1 + CONFIDENCE) / 2)
    low, high = max(-1.0, effect - z * error), min(1.0, effect + z * error)
    return Effect(effect, low, high, spread / kept, kept, error)


def _others(table: Counted, name: str) -> list[int]:
    """Columns of the place and of every cue but this one and the other values of its group."""
    group = group_of(name)
    return [0] + [
        number
        for number, other in enumerate(table.names, start=1)
        if other != name and (group is None or group_of(other) != group)
    ]


def _inverse(crossed: Numbers) -> Numbers:
    """The inverse on what is told apart at all. Counts of reps make these sums exact."""
    inverse: Numbers = np.asarray(np.linalg.pinv(crossed, rcond=1e-11, hermitian=True))
    return inverse


def _variance(table: Counted, design: Numbers, crossed: Numbers) -> Numbers:
    """The variance of pay of one rep of each combination."""
    inverse = _inverse(crossed)
    fitted = np.clip(design @ (inverse @ (design.T @ table.paid)), 0.0, 1.0)
    behind = 1 / np.clip(((design @ inverse) * design).sum(axis=1), 1e-12, 1.0)
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
    return Together(name, True, both - alone - other + none, _hidden_in(table, name, target * cue))


def _hidden_in(table: Counted, name: str, product: Numbers) -> tuple[str, ...]:
    """Cues of which nothing but the product is left, once target and cue are taken out."""
    weight = np.sqrt(table.reps)[:, None]
    span = np.column_stack([np.ones(len(product)), table.column(TARGET), table.column(name)]) * weight
    columns = np.column_stack([table.rows, product]) * weight
    left = columns - span @ np.linalg.lstsq(span, columns, rcond=None)[0]
    sizes, along = (left**2).sum(axis=0), left.T @ left[:, -1]
    same = (sizes > NOTHING_LEFT) & (np.abs(along) >= (1 - 1e-9) * np.sqrt(sizes * sizes[-1]))
    return tuple(
        other
        for other, hidden in zip(table.names, same[:-1], strict=True)
        if hidden and sizes[-1] > NOTHING_LEFT and other not in (TARGET, name)
    )
