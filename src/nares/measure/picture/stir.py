"""Where and how much the picture stirs in the first seconds, coarsely: a thumb on a clicker, a nod.

Conventions
-----------
A picture is averaged into square cells, `CELLS_ACROSS` to its longer side. Stir is how much a cell changed
from one picture to the next, of 255, with the change of the whole picture's brightness taken out; it belongs
to the middle of the two pictures' times. Only the first `FOR_S` of a recording are kept, under 2 MB.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nares.measure.inputs import Picture

FOR_S = 8.0
CELLS_ACROSS = 40

Floats = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Stirred:
    """``at_s``: (n,) middles between pictures. ``cells``: (n, cells) how much each changed, of 255."""

    at_s: NDArray[np.float64]
    cells: Floats


class Stir:
    """Watches the start of a recording. Feed pictures in order; those after `FOR_S` are passed over."""

    def __init__(self) -> None:
        self._at_s: list[float] = []
        self._means: list[Floats] = []
        self._over = False

    @property
    def looking(self) -> bool:
        """Whether the next picture is still wanted, and then all of it."""
        return not self._over

    def see(self, picture: Picture) -> None:
        """Take in one picture."""
        at_s = picture.at.seconds
        if self._over or at_s > FOR_S:
            self._over = True
            return
        means = _cell_means(picture.luma)
        if self._means and means.shape != self._means[0].shape:
            self._over = True
            return
        self._at_s.append(at_s)
        self._means.append(means)

    def finish(self) -> Stirred:
        """How much each cell changed from picture to picture."""
        if len(self._means) < 2:
            return Stirred(np.zeros(0), np.zeros((0, 0), np.float32))
        at_s = np.array(self._at_s)
        steps = np.diff(np.stack(self._means), axis=0)
        steps -= np.median(steps, axis=1, keepdims=True)  # the phone's own exposure
        return Stirred((at_s[1:] + at_s[:-1]) / 2, np.abs(steps))


def _cell_means(luma: NDArray[np.uint8]) -> Floats:
    side = max(1, max(luma.shape) // CELLS_ACROSS)
    rows, cols = luma.shape[0] // side, luma.shape[1] // side
    # Whole numbers first, along rows: a sixth of the time of one mean over both axes.
    strips = luma[: rows * side, : cols * side].reshape(rows, side, cols * side).sum(axis=1, dtype=np.uint32)
    cells = strips.reshape(rows, cols, side).mean(axis=2, dtype=np.float32).ravel()
    return np.asarray(cells / np.float32(side))
