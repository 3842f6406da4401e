"""Which reps to run next so that cues can be told apart: the most determinant for the fewest reps.

Conventions
-----------
The model has the place and one column a cue in question. `logged` is X'X of the reps run so far, one row of X
a rep. Chosen are the reps that make det(X'X) of logged and planned together largest (D-optimal: the effects
together are known as exactly as so many reps allow). While X'X is singular the determinant is 0 whatever is
added; so `RIDGE` of a rep is put on the diagonal, small enough that raising the rank always comes first and
the determinant second.

Exchange: from a start, each planned rep in turn is swapped for the cell that helps most, until none helps.
Several starts, the first greedy, the others drawn from the stream handed in. No start proves the best choice;
small cases are held against listing every choice (tests/oracle/test_choosing.py).
"""

from collections.abc import Sequence
from typing import Protocol

import numpy as np

from nares.base.errors import OutOfRange
from nares.design.cues.cells import Cell
from nares.design.cues.trials import Counted, Numbers

RIDGE = 1e-4
"""What stands for "next to nothing is known": reps' worth put on the diagonal. [count]"""

STARTS = 12
MOST_ROUNDS = 60
MOST_REPS = 200


class Draws(Protocol):
    """As much of `nares.design.chance.Stream` as is used here."""

    def below(self, bound: int) -> int:
        """A whole number from 0 to below ``bound``."""


def columns_of(cells: Sequence[Cell], names: Sequence[str]) -> Numbers:
    """Cells as rows: the place, then one column a cue."""
    return np.array([[1.0, *(float(name in cell) for name in names)] for cell in cells])


def logged_of(table: Counted, names: Sequence[str]) -> Numbers:
    """X'X of what was run so far, by these cues."""
    design = np.column_stack([np.ones(len(table.reps)), *(table.column(name) for name in names)])
    crossed: Numbers = design.T @ (design * table.reps[:, None])
    return crossed


def choose_reps(candidates: Numbers, logged: Numbers, reps: int, draws: Draws) -> tuple[int, ...]:
    """Choose reps from candidate rows so that the determinant with what is logged becomes largest.

    Args:
        candidates: One row a cell.
        logged: X'X so far; zeros where nothing was run.
        reps: How many to choose; the same cell may be chosen more than once.
        draws: Where starts are drawn from.

    Returns:
        Row numbers, in order, repeated as often as chosen.

    Raises:
        OutOfRange: If the number of reps cannot be.

    Sources:
        nist-dopt-2012: D-optimal designs; an algorithm for them gives no guarantee.

    Examples:
        The best four of eight runs of three factors at -1 and 1 have |X'X| = 256:

        >>> from itertools import product
        >>> class Zero:
        ...     def below(self, bound): return 0
        >>> runs = np.array([[1, *one] for one in product((-1.0, 1.0), repeat=3)])
        >>> chosen = runs[list(choose_reps(runs, np.zeros((4, 4)), 4, Zero()))]
        >>> round(float(np.linalg.det(chosen.T @ chosen)))
        256
    """
    if not 1 <= reps <= MOST_REPS:
        raise OutOfRange(f"{reps} reps cannot be planned. Give 1 to {MOST_REPS}.")
    base = logged + RIDGE * np.eye(len(logged))
    starts = [_greedy(candidates, base, reps)]
    starts += [[draws.below(len(candidates)) for _ in range(reps)] for _ in range(STARTS - 1)]
    best, value = starts[0], -np.inf
    for start in starts:
        found = _exchanged(candidates, base, start)
        worth = log_determinant(candidates[found], base)
        if worth > value + 1e-9:
            best, value = found, worth
    return tuple(sorted(best))


def log_determinant(rows: Numbers, base: Numbers) -> float:
    """Natural logarithm of det(base + X'X)."""
    return float(np.linalg.slogdet(base + rows.T @ rows)[1])


def efficiency(rows: Numbers) -> float:
    """|X'X|^(1/p) / n: 1 for an orthogonal plan of -1 and 1. [-]"""
    n, p = rows.shape
    size: float = float(np.linalg.det(rows.T @ rows)) ** (1 / p) / n
    return size


def _greedy(candidates: Numbers, base: Numbers, reps: int) -> list[int]:
    inverse: Numbers = np.linalg.inv(base).astype(float)
    chosen = []
    for _ in range(reps):
        best = best_row(candidates, inverse)
        inverse = with_row(inverse, candidates[best])
        chosen.append(best)
    return chosen


def _exchanged(candidates: Numbers, base: Numbers, start: Sequence[int]) -> list[int]:
    chosen = list(start)
    for _ in range(MOST_ROUNDS):
        swapped = False
        for place, number in enumerate(chosen):
            rest = candidates[[*chosen[:place], *chosen[place + 1 :]]]
            inverse = np.linalg.inv(base + rest.T @ rest)
            gains = np.einsum("ij,jk,ik->i", candidates, inverse, candidates)
            best = int(np.argmax(gains))
            if gains[best] > gains[number] * (1 + 1e-9) + 1e-12:
                chosen[place], swapped = best, True
        if not swapped:
            break
    return chosen


def best_row(candidates: Numbers, inverse: Numbers) -> int:
    """The candidate that makes the determinant largest; ``inverse``: of X'X so far."""
    return int(np.argmax(np.einsum("ij,jk,ik->i", candidates, inverse, candidates)))


def with_row(inverse: Numbers, row: Numbers) -> Numbers:
    """The inverse of X'X once a row is added."""
    moved = inverse @ row
    updated: Numbers = inverse - np.outer(moved, moved) / (1.0 + float(row @ moved))
    return updated


def in_drawn_order(chosen: Sequence[int], draws: Draws) -> tuple[int, ...]:
    """The chosen reps in an order of which every one is equally likely."""
    order = list(chosen)
    for last in range(len(order) - 1, 0, -1):
        other = draws.below(last + 1)
        order[last], order[other] = order[other], order[last]
    return tuple(order)
