"""How the picture has moved: shift, growth and turn, and the motion that most tiles agree on.

Conventions
-----------
Positions and offsets are (row, column) in pixels; offsets are counted from the middle of all tiles. A motion
is always against the first picture, never against the one before, so nothing creeps. Tiles that disagree with
the median shift are left out before the least squares: a dog in front of half the panel moves nothing.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Motion:
    """Shift (row, column), growth and turn about the centre of the tiles."""

    row: float = 0.0
    col: float = 0.0
    grow: float = 0.0
    turn: float = 0.0

    def at(self, offset: Floats) -> Floats:
        """Displacement at offsets (n, 2) from the centre. [px]"""
        rows = self.row + self.grow * offset[:, 0] - self.turn * offset[:, 1]
        cols = self.col + self.turn * offset[:, 0] + self.grow * offset[:, 1]
        return np.stack([rows, cols], axis=1)


def fit_motion(
    offset: Floats, moved: Floats, match: Floats, usable: NDArray[np.bool_], before: Motion
) -> tuple[Motion, NDArray[np.bool_]]:
    """The motion most tiles agree on, and which tiles those are."""
    bent = before.at(offset) - [before.row, before.col]
    rest = moved - bent
    shift = np.median(rest[usable], axis=0)
    miss = np.abs(rest - shift).max(axis=1)
    inliers = usable & (miss <= max(1.0, 3 * float(np.median(miss[usable]))))
    if inliers.sum() < 8:
        row, col = np.average(rest[inliers], axis=0, weights=match[inliers]) if inliers.any() else shift
        return Motion(float(row), float(col), before.grow, before.turn), inliers
    return _similarity(offset[inliers], moved[inliers], match[inliers]), inliers


def _similarity(offset: Floats, moved: Floats, weight: Floats) -> Motion:
    """Least squares for shift, growth and turn; turn and growth are held back when tiles lie close."""
    total = float(weight.sum())
    centre, mean = weight @ offset / total, weight @ moved / total
    arm, rest = offset - centre, moved - mean
    inertia = float(weight @ (arm**2).sum(axis=1)) + 100.0
    grow = float(weight @ (arm * rest).sum(axis=1)) / inertia
    turn = float(weight @ (arm[:, 0] * rest[:, 1] - arm[:, 1] * rest[:, 0])) / inertia
    row = float(mean[0] - grow * centre[0] + turn * centre[1])
    col = float(mean[1] - turn * centre[0] - grow * centre[1])
    return Motion(row, col, grow, turn)
