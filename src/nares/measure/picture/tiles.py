"""Where the tiles lie: small squares of panel around every opening, and their pixels in a picture.

Conventions
-----------
Positions are (row, column) in pixels of the picture; a *corner* is the first row and column of a tile. Tiles
stand in rings around each opening, touch its rim or stand about one opening further out, and never look into
an opening. Corners beyond the picture are cut from its border and told by `Tiles.outside`.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nares.base.vocab import Region

Floats = NDArray[np.float32]
Bools = NDArray[np.bool_]

RINGS = ((1.0, 12), (2.1, 8))
"""Tiles touch the opening's rim (12 of them), and stand about one opening further out (8)."""


@dataclass(frozen=True, slots=True)
class Tiles:
    """The tiles of one recording, as they lie in its first picture.

    ``size``: pixels along a side. ``shape``: rows and columns of the picture. ``owner``: (n,) the region each
    belongs to. ``near``: (n,) whether it touches the rim. ``corner``: (n, 2).
    """

    size: int
    shape: tuple[int, ...]
    owner: NDArray[np.intp]
    near: Bools
    corner: NDArray[np.float64]

    def __len__(self) -> int:
        """How many there are."""
        return len(self.corner)

    @property
    def centre(self) -> NDArray[np.float64]:
        """The middle of all tiles, (2,)."""
        return np.asarray((self.corner + self.size / 2).mean(axis=0)) if len(self) else np.zeros(2)

    @property
    def boxes(self) -> list[tuple[float, float, float, float]]:
        """Top, left, bottom and right of each, as they lie in the first picture. [px]"""
        return [(top, left, top + self.size, left + self.size) for top, left in self.corner.tolist()]

    def cut(self, luma: NDArray[np.uint8], corner: NDArray[np.intp]) -> Floats:
        """The pixels at some corners (k, 2) of a picture; (k, size * size)."""
        if not len(corner):
            return np.zeros((0, self.size**2), np.float32)
        held = self._held(corner)
        seen = _windows(np.ascontiguousarray(luma), self.size)[held[:, 0], held[:, 1]]
        return seen.reshape(len(corner), -1).astype(np.float32)

    def outside(self, corner: NDArray[np.intp]) -> Bools:
        """Which tiles reach beyond the picture with these corners (n, 2)."""
        moved = self._held(corner) != corner
        return np.asarray(moved[:, 0] | moved[:, 1])

    def _held(self, corner: NDArray[np.intp]) -> NDArray[np.intp]:
        """The nearest corners whose tiles lie inside the picture."""
        return np.asarray(np.minimum(np.maximum(corner, 0), np.array(self.shape) - self.size))


def _windows(luma: NDArray[np.uint8], size: int) -> NDArray[np.uint8]:
    """Every square of a picture, without a copy, (rows, cols, size, size); the picture must be contiguous."""
    rows, cols = luma.shape
    shape = (rows - size + 1, cols - size + 1, size, size)
    return np.ndarray(shape, np.uint8, luma, strides=(cols, 1, cols, 1))


def tiles_around(regions: tuple[Region, ...], shape: tuple[int, ...]) -> Tiles:
    """The tiles around every opening that lie inside the picture."""
    size = tile_size_px(regions, shape)
    made: list[tuple[int, bool, float, float]] = []
    for index, region in enumerate(regions):
        for ring, (further, count) in enumerate(RINGS):
            for angle in 2 * np.pi * np.arange(count) / count:
                row, col = _tile_corner(region, shape, size, further, float(angle))
                if _clear_of_all(row, col, size, regions, shape):
                    made.append((index, ring == 0, row, col))
    owner = np.array([m[0] for m in made], np.intp)
    near = np.array([m[1] for m in made], bool)
    return Tiles(size, shape, owner, near, np.array([m[2:] for m in made], np.float64).reshape(-1, 2))


def tile_size_px(regions: tuple[Region, ...], shape: tuple[int, ...]) -> int:
    """About 0.4 of the smallest opening, from 8 to 20. [px]"""
    spans = [(r.w * shape[1] * r.h * shape[0]) ** 0.5 for r in regions]
    return int(min(20, max(8, round(0.4 * min(spans, default=40.0)))))


def _tile_corner(
    region: Region, shape: tuple[int, ...], size: int, further: float, angle: float
) -> tuple[float, float]:
    half_h, half_w = region.h * shape[0] / 2, region.w * shape[1] / 2
    row = (region.y + region.h / 2) * shape[0] + np.sin(angle) * (half_h * further + 0.75 * size)
    col = (region.x + region.w / 2) * shape[1] + np.cos(angle) * (half_w * further + 0.75 * size)
    return float(np.rint(row - size / 2)), float(np.rint(col - size / 2))


def _clear_of_all(
    row: float, col: float, size: int, regions: tuple[Region, ...], shape: tuple[int, ...]
) -> bool:
    """Inside the picture, and its middle outside every opening."""
    if row < 0 or col < 0 or row + size > shape[0] or col + size > shape[1]:
        return False
    y, x = (row + size / 2) / shape[0], (col + size / 2) / shape[1]
    return not any(r.y <= y <= r.y + r.h and r.x <= x <= r.x + r.w for r in regions)
