"""How well a shape foretells holds it was not fitted to: what shapes and pools are judged by.

Conventions
-----------
Holds come in groups (sessions). A group's score is the log likelihood of its holds under the fit to all
the others, each hold at its weight; scores add up over groups. Larger is better. The fits without each
group are made together, from the fit to everything, by a few Newton steps.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from nares.decide.hold.laws import law_at
from nares.decide.hold.likelihood import NARROWEST, WIDEST, Prior, Seen
from nares.decide.hold.survival import Floats

Groups = NDArray[np.int_]

STEPS = 3
"""Newton steps from the whole fit to a fit without one group; the third changes nothing that shows."""

LONGEST_STEP = 1.0

BLOCKS = 10
"""Stretches of consecutive holds that stand for sessions where sessions are not known."""


def group_scores(
    form: float, seen: Seen, prior: Prior, at: Floats, group: Groups, *, held: NDArray[np.bool_] | None = None
) -> Floats:
    """The score of each group under the fits without it (groups,).

    Args:
        form: The shape number of the law.
        seen: All holds.
        prior: What the fit took as known.
        at: The fit to all holds: effects and ln spread.
        group: The group of each hold, counted from 0; -1 for holds that are never left out nor judged.
        held: Unknowns that were not fitted, and stay.
    """
    left = group[None, :] != np.arange(int(group.max()) + 1)[:, None]
    weights = left * seen.weights
    moved = np.repeat(at[None], len(left), axis=0)
    for _ in range(STEPS):
        moved = _nearer(form, seen, prior, moved, weights, held)
    judged = np.flatnonzero(group >= 0)
    each = _terms(form, seen, moved)[group[judged], judged]
    return np.asarray(np.bincount(group[judged], seen.weights[judged] * each, minlength=len(left)))


def as_groups(sessions: Sequence[str] | None, holds: int) -> Groups:
    """Number the sessions of holds; without sessions, stretches of consecutive holds."""
    if sessions is None:
        return np.arange(holds) * min(BLOCKS, holds) // holds
    numbers = {name: number for number, name in enumerate(dict.fromkeys(sessions))}
    return np.asarray([numbers[name] for name in sessions])


def shares_of(by_group: Floats) -> Floats:
    """How much each rival counts, from its scores (rivals, groups): in proportion to exp(total)."""
    total = by_group.sum(axis=1)
    share = np.exp(total - total.max())
    return np.asarray(share / share.sum())


def standard_error(differences: Floats) -> float:
    """Standard error of a total over groups; endless with fewer than two."""
    groups = len(differences)
    return float(np.sqrt(groups) * differences.std(ddof=1)) if groups > 1 else float("inf")


def _nearer(
    form: float,
    seen: Seen,
    prior: Prior,
    at: Floats,
    weights: Floats,
    held: NDArray[np.bool_] | None,
) -> Floats:
    """One bounded Newton step of every fit (groups, unknowns)."""
    spread = np.exp(at[:, -1])[:, None]
    z = (seen.log_t[None] - at[:, :-1] @ seen.columns.T) / spread
    law = law_at(form, z)
    hazard = law.hazard
    first = weights * np.where(seen.broke, law.slope, -hazard)
    second = weights * np.where(seen.broke, law.curve, -hazard * (law.slope + hazard))
    columns = np.broadcast_to(-seen.columns[None] / spread[:, :, None], (*z.shape, seen.columns.shape[1]))
    pulls = np.concatenate([columns, -z[:, :, None]], axis=2)
    gradient = np.einsum("gn,gni->gi", first, pulls)
    gradient[:, -1] -= weights @ seen.broke
    curvature = np.einsum("gn,gni,gnj->gij", second, pulls, pulls)
    bend = np.einsum("gn,gni->gi", first, pulls)
    curvature[:, -1, :-1] -= bend[:, :-1]
    curvature[:, :-1, -1] -= bend[:, :-1]
    curvature[:, -1, -1] -= bend[:, -1]
    gradient -= prior.precision * (at - prior.mean)
    curvature -= np.diag(prior.precision)
    if held is not None:
        gradient[:, held] = 0
        curvature[:, held, :] = curvature[:, :, held] = 0
        curvature[:, held, held] = -1
    values, vectors = np.linalg.eigh(-curvature)
    steep = np.maximum(np.abs(values), 1e-6 * np.maximum(np.abs(values).max(axis=1, keepdims=True), 1e-9))
    along = np.einsum("gji,gj->gi", vectors, gradient) / steep
    there = at + np.clip(np.einsum("gij,gj->gi", vectors, along), -LONGEST_STEP, LONGEST_STEP)
    there[:, -1] = np.clip(there[:, -1], np.log(NARROWEST), np.log(WIDEST))
    return np.asarray(there)


def _terms(form: float, seen: Seen, at: Floats) -> Floats:
    """Log likelihood of every hold under every fit (groups, n)."""
    z = (seen.log_t[None] - at[:, :-1] @ seen.columns.T) / np.exp(at[:, -1])[:, None]
    law = law_at(form, z)
    return np.asarray(np.where(seen.broke, law.density - at[:, -1:] - seen.log_t[None], law.tail))
