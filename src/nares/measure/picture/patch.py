"""An opening and its rim as a small grid of cells, cut from each picture where the box now is.

Conventions
-----------
A *window* reaches `MARGIN` openings beyond the drawn region on every side. It is averaged into
`CELLS` x `CELLS` cells of brightness and half as many of the two colour differences, under 1 kB a picture.
Cells average whole areas, at quarter-pixel phases, so that texture does not flicker when the phone moves.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nares.base.vocab import Region

CELLS = 24
COLOUR_CELLS = CELLS // 2
MARGIN = 0.5
PHASES = 4
INSIDE, RIM = 0.82, 1.18
"""A cell is inside within 0.82 of the ellipse drawn into the region, and on the panel beyond 1.18."""


@dataclass(frozen=True, slots=True)
class Cells:
    """Where cells lie. ``reach``: elliptic radius (1 at the drawn rim); ``angle``: direction, rad."""

    reach: NDArray[np.float32]
    angle: NDArray[np.float32]

    def same_as(self, other: "Cells") -> bool:
        """Whether every cell lies where it lies in the other."""
        return np.array_equal(self.reach, other.reach) and np.array_equal(self.angle, other.angle)

    @property
    def inside(self) -> NDArray[np.bool_]:
        """Cells safely inside the opening."""
        return self.reach <= INSIDE

    @property
    def ring(self) -> NDArray[np.bool_]:
        """Cells on the panel close around the opening."""
        return (self.reach >= RIM) & (self.reach <= 1.6)


def cells(count: int, *, across: float = 0.0, down: float = 0.0, scale: float = 1.0) -> Cells:
    """The geometry of a grid of ``count`` x ``count`` cells over the window.

    Args:
        count: Cells along each side.
        across: Centre of the opening right of the middle of the drawn region, in half widths of it. [-]
        down: The same downwards, in half heights. [-]
        scale: Size of the opening against the drawn region. [-]
    """
    along = ((np.arange(count) + 0.5) / count - 0.5) * 2 * (1 + 2 * MARGIN)
    right, low = np.meshgrid((along - across) / scale, (along - down) / scale)
    return Cells(np.hypot(right, low).astype(np.float32), np.arctan2(low, right).astype(np.float32))


class Sampler:
    """Averages the window around one opening into cells, at any position."""

    def __init__(self, region: Region, shape: tuple[int, ...], count: int) -> None:
        height, width = shape
        span_h, span_w = region.h * height * (1 + 2 * MARGIN), region.w * width * (1 + 2 * MARGIN)
        self._top = (region.y + region.h / 2) * height - span_h / 2
        self._left = (region.x + region.w / 2) * width - span_w / 2
        self._down = Averaging(span_h, count)
        self._across = Averaging(span_w, count)

    @property
    def window(self) -> tuple[float, float, float, float]:
        """Top, left, bottom and right of the window as it lies in the first picture. [px]"""
        return self._top, self._left, self._top + self._down.span_px, self._left + self._across.span_px

    def cut(self, plane: NDArray[np.uint8], row: float, col: float) -> NDArray[np.uint8]:
        """The cells with the window moved by (row, col) pixels of this plane; (count, count)."""
        rows, down = self._down.at(self._top + row, plane.shape[0])
        cols, across = self._across.at(self._left + col, plane.shape[1])
        if isinstance(rows, slice) and isinstance(cols, slice):
            seen = plane[rows, cols]
        else:
            seen = plane[np.ix_(_listed(rows), _listed(cols))]
        return np.asarray(down @ seen.astype(np.float32) @ across.T + 0.5, np.float32).astype(np.uint8)


class Averaging:
    """Weights that turn a run of pixels into ``count`` equal cells, by quarter-pixel phase."""

    def __init__(self, span_px: float, count: int) -> None:
        self.span_px = span_px
        self._step = max(1, int(span_px / count / 3))
        taken = int(np.ceil(span_px / self._step)) + 2
        self._taken = taken
        self._weights = [self._phase(span_px, count, taken, k / PHASES) for k in range(PHASES)]

    def _phase(self, span_px: float, count: int, taken: int, phase: float) -> NDArray[np.float32]:
        edges = (np.arange(count + 1) / count * span_px) / self._step + phase
        pixel = np.arange(taken)
        overlap = np.minimum(edges[1:, None], pixel + 1) - np.maximum(edges[:-1, None], pixel)
        weights = np.maximum(overlap, 0)
        return np.asarray(weights / weights.sum(axis=1, keepdims=True), np.float32)

    def at(self, start: float, size: int) -> tuple[slice | NDArray[np.intp], NDArray[np.float32]]:
        """Which pixels to take from a line of ``size`` and with which weights, the run starting there."""
        quarter = int(np.floor(start / self._step * PHASES + 0.5))
        first = quarter // PHASES * self._step
        last = first + (self._taken - 1) * self._step
        weights = self._weights[quarter % PHASES]
        if first >= 0 and last < size:
            return slice(first, last + 1, self._step), weights
        return np.clip(first + self._step * np.arange(self._taken), 0, size - 1), weights


def _listed(places: slice | NDArray[np.intp]) -> NDArray[np.intp]:
    if isinstance(places, slice):
        return np.arange(places.start, places.stop, places.step)
    return places
