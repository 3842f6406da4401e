"""Visits that do not look like the others: a dog at the hand's opening, a leg, a toy.

Conventions
-----------
A visit's colour is the mean brightness and colour differences of the cells that changed, shape (3,), of 255.
It is held against the middle of all visits of the session; fewer than four have no middle to speak of.
"""

import numpy as np
from numpy.typing import NDArray

from nares.measure.picture.cover import Looks
from nares.measure.picture.patch import Cells
from nares.measure.picture.track import Track, values

Floats = NDArray[np.float32]
Bools = NDArray[np.bool_]

UNLIKE, UNLIKE_LEAST = 5.0, 20.0
"""A visit whose colour is this many usual deviations (and levels of 255) from the usual is something else."""


def unlike_the_rest(track: Track, looks: Looks, where: Cells, runs: list[tuple[int, int]]) -> Bools:
    """Which visits show another colour than the others: a dog at the hand's opening, a leg, a toy."""
    if len(runs) < 4:
        return np.zeros(len(runs), bool)
    colours = np.array([_colour_in(track, looks, where, a, b) for a, b in runs])
    middle = np.median(colours, axis=0)
    apart = np.abs(colours - middle).max(axis=1)
    return np.asarray(apart > max(UNLIKE * float(np.median(apart)), UNLIKE_LEAST), np.bool_)


def _colour_in(track: Track, looks: Looks, where: Cells, a: int, b: int) -> Floats:
    """Mean brightness and colour of the cells that changed during a visit, (3,)."""
    which = np.unique(np.linspace(a, b, 12).astype(np.intp))
    inside = np.flatnonzero(where.inside)
    seen, empty = values(track, which, inside), looks.value[:, inside]
    changed = (np.abs(seen - empty) / looks.spread[:, inside]).max(axis=1) > 8
    if not changed.any():
        return np.asarray(np.median(seen, axis=(0, 2)), np.float32)
    return np.array([seen[:, plane][changed].mean() for plane in range(3)], np.float32)
