"""How the picture has moved: shift, growth and turn, and the motion that most tiles agree on.

Conventions
-----------
Positions and offsets are (row, column) in pixels; offsets are counted from the middle of all tiles. A motion
is always against the first picture, never against the one before, so nothing creeps. Tiles that disagree with
the median shift are left out before the least squares: a dog in front of half the panel moves nothing.
"""

from dataclasses import dataclass
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
Real = TypeVar("Real", bound=np.floating[Any])


@dataclass(frozen=True, slots=True)
class Motion:
    """Shift (row, column), growth and turn about the centre of the tiles."""

    row: float = 0.0
    col: float = 0.0
    grow: float = 0.0
    turn: float = 0.0

    def at(self, offset: Floats) -> Floats:
        """Displacement at offsets (n, 2) from the centre. [px]"""
        rows, cols = offset[:, 0], offset[:, 1]
        moved = np.empty_like(offset)
        moved[:, 0] = self.row + self.grow * rows - self.turn * cols
        moved[:, 1] = self.col + self.turn * rows + self.grow * cols
        return moved


def fit_motion(
    offset: Floats,
    moved: Floats,
    match: Floats,
    usable: NDArray[np.bool_],
    before: Motion,
    guessed: Floats,
) -> tuple[Motion, NDArray[np.bool_]]:
    """The motion most tiles agree on, and which tiles those are.

    Args:
        offset: (n, 2) the tiles, from the middle of all. [px]
        moved: (n, 2) where each was seen to go. [px]
        match: (n,) how well each matched.
        usable: (n,) which may be asked.
        before: The motion from which they were looked for.
        guessed: (n, 2) where that would have put them: ``before.at(offset)``. [px]
    """
    rest = moved - (guessed - np.array((before.row, before.col)))
    agreeing = rest[usable]
    shift = middle(agreeing)
    miss = farther(rest - shift)
    inliers = usable & (miss <= max(1.0, 3 * float(middle(miss[usable]))))
    count = np.count_nonzero(inliers)
    if count < 8:
        row, col = np.average(rest[inliers], axis=0, weights=match[inliers]) if count else shift
        return Motion(float(row), float(col), before.grow, before.turn), inliers
    return _similarity(offset[inliers], moved[inliers], match[inliers]), inliers


def middle(values: NDArray[Real]) -> NDArray[Real]:
    """The median along the first axis, which must not be empty; `numpy.median` costs five times as much."""
    ordered = np.sort(values, axis=0)
    half = len(ordered) // 2
    return np.asarray(ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2)


def farther(steps: NDArray[Real]) -> NDArray[Real]:
    """The larger of the distances along rows and along columns of steps (n, 2); (n,)."""
    size = np.abs(steps)
    return np.asarray(np.maximum(size[:, 0], size[:, 1]))


def _similarity(offset: Floats, moved: Floats, weight: Floats) -> Motion:
    """Least squares for shift, growth and turn; turn and growth are held back when tiles lie close."""
    total = float(weight.sum())
    centre, mean = weight @ offset / total, weight @ moved / total
    arm, rest = offset - centre, moved - mean
    down, across, low, right = arm[:, 0], arm[:, 1], rest[:, 0], rest[:, 1]
    inertia = float(weight @ (down**2 + across**2)) + 100.0
    grow = float(weight @ (down * low + across * right)) / inertia
    turn = float(weight @ (down * right - across * low)) / inertia
    row = float(mean[0] - grow * centre[0] + turn * centre[1])
    col = float(mean[1] - turn * centre[0] - grow * centre[1])
    return Motion(row, col, grow, turn)
