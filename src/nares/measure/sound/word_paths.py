"""Laying an example of a word over a recording so that it fits best (dynamic time warping).

Conventions
-----------
A path goes through every frame of the example once; in the recording it may wait, go one frame or two. Its
cost is the mean distance of the rows laid on one another. All ends are computed at once, example frame by
example frame, so that an hour costs seconds.
"""

import numpy as np
from numpy.typing import NDArray

from nares.measure.sound.voice_shape import Line, Rows

UNEVEN = 0.25
"""What it costs a path to wait or to skip, in distances. """
FAR = np.float32(1e6)
MOST = np.float32(1.8)
"""Further apart than this is all the same: a knock on the word spoils the frames it hides, not the rest."""


def fits(rows: Rows, example: Rows) -> tuple[Line, NDArray[np.int32]]:
    """For each frame as the end of a path: its mean cost, and the frame where it began.

    Args:
        rows: Shape (n, k).
        example: Shape (m, k), m at least 1.
    """
    apart = _padded(rows, example)
    cost, begun = apart[0].copy(), np.arange(-2, rows.shape[0], dtype=np.int32)
    for here in apart[1:]:
        step, wait, skip = _ways(cost, here)
        best, before = np.minimum(step, wait), np.where(step <= wait, begun[1:-1], begun[2:])
        before = np.where(skip < best, begun[:-2], before)
        cost[2:] = here[2:] + np.minimum(best, skip)
        begun[2:] = before
    return cost[2:] / np.float32(example.shape[0]), begun[2:]


def path_of(rows: Rows, example: Rows) -> tuple[NDArray[np.intp], Line]:
    """The path that costs least: the frame laid on each of the example's, shape (m,), and the distances."""
    apart = _padded(rows, example)
    cost, moves = apart[0].copy(), []
    for here in apart[1:]:
        step, wait, skip = _ways(cost, here)
        best = np.minimum(step, wait)
        moves.append(np.where(skip < best, 2, np.where(step <= wait, 1, 0)))
        cost[2:] = here[2:] + np.minimum(best, skip)
    at = int(np.argmin(cost[2:]))
    on = [at]
    for move in reversed(moves):
        at -= int(move[at])
        on.append(at)
    where = np.clip(np.array(on[::-1], dtype=np.intp), 0, rows.shape[0] - 1)
    return where, apart[np.arange(example.shape[0]), where + 2]


def _padded(rows: Rows, example: Rows) -> Rows:
    """Distances, shape (m, n + 2), with two places in front that no path reaches."""
    table = np.full((example.shape[0], rows.shape[0] + 2), FAR, dtype=np.float32)
    table[:, 2:] = distances(rows, example).T
    return table


def _ways(cost: Line, here: Line) -> tuple[Line, Line, Line]:
    """What it costs to come to each frame by a step, by waiting, and by skipping one."""
    skipped = np.float32(0.5) * here[1:-1] + np.float32(UNEVEN)
    return cost[1:-1], cost[2:] + np.float32(UNEVEN), cost[:-2] + skipped


def distances(rows: Rows, example: Rows) -> Rows:
    """Root mean square difference of rows, shape (n, m), at most 1.8."""
    squares = (rows**2).sum(1)[:, None] + (example**2).sum(1)[None, :] - 2 * rows @ example.T
    return np.asarray(np.minimum(np.sqrt(np.maximum(squares, 0.0) / np.float32(rows.shape[1])), MOST))
