"""The remembered tiles: one linear least-squares step, and correlation, of seen pixels against them.

Conventions
-----------
A tile is a row of ``size * size`` pixels, brightness 0 to 255. Matching is one step of Lucas and Kanade with
brightness and contrast taken out, hence untouched by exposure, flicker and even shade. A correlation of 1 is
the same picture; a tile or a sight without texture correlates 0, because it can tell nothing.
"""

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

Floats = NDArray[np.float32]


class Templates:
    """The remembered tiles with what one least-squares step needs."""

    def __init__(self, tiles: Floats) -> None:
        self._rows = np.zeros((len(tiles), 4, tiles.shape[1]), np.float32)
        self._strength = np.ones(len(tiles), np.float32)
        self._inverse = np.zeros((len(tiles), 2, 2), np.float32)
        self._mean = np.ones(len(tiles), np.float32)
        self._weave = np.zeros((len(tiles), weave_of(tiles[:0], None).shape[1]), np.float32)
        self._length = np.zeros(len(tiles), np.float32)
        self._limit = np.ones(len(tiles), np.float32)
        self.replace(np.arange(len(tiles)), tiles)

    def replace(self, which: NDArray[np.intp], tiles: Floats) -> None:
        """Remember other pixels for some tiles."""
        for index, tile in zip(which, tiles, strict=True):
            self._remember(int(index), tile)

    def _remember(self, index: int, tile: Floats) -> None:
        size = round(len(tile) ** 0.5)
        centred = tile - tile.mean()
        slopes = np.stack([s.ravel() for s in np.gradient(tile.reshape(size, size))])
        base = np.stack([np.ones_like(centred), centred])
        base /= np.maximum(np.linalg.norm(base, axis=1, keepdims=True), 1e-6)
        slopes -= slopes @ base.T @ base
        normal = slopes @ slopes.T + np.eye(2) * 1e-3 * len(tile)
        self._rows[index] = np.concatenate([np.full((1, len(tile)), 1 / len(tile)), base[1:], slopes])
        self._strength[index] = max(float(np.linalg.norm(centred)), 1e-6)
        self._inverse[index] = np.linalg.inv(normal)
        self._mean[index] = max(float(tile.mean()), 1.0)
        steps = weave_of(tile[None], None)
        self._limit[index] = 2.5 * max(float(np.sqrt((steps**2).mean())), 0.5)
        self._weave[index] = weave_of(tile[None], self._limit[index : index + 1])[0]
        self._length[index : index + 1] = np.linalg.norm(self._weave[index : index + 1], axis=1)

    def weave(self, which: NDArray[np.intp], tiles: Floats) -> Floats:
        """Correlation of the fine structure alone, the edge of a shadow cut down to its size; (k,)."""
        seen, known = weave_of(tiles, self._limit[which]), self._weave[which]
        scale = np.linalg.norm(seen, axis=1) * self._length[which]
        return np.asarray((seen * known).sum(axis=1) / np.maximum(scale, 1e-6), np.float32)

    def maps(self, which: NDArray[np.intp], wide: Floats) -> Floats:
        """Correlation of some tiles with every place in a wider square each, (k, places, places)."""
        size = round(self._rows.shape[2] ** 0.5)
        views = sliding_window_view(wide, (size, size), axis=(1, 2))
        along = np.einsum("nabij,nij->nab", views, self._rows[which, 1].reshape(-1, size, size))
        mean, square = _boxes(wide, size), _boxes(wide**2, size)
        spread = np.sqrt(np.maximum(square - mean**2 / size**2, 1.0 * size**2))
        return np.asarray(along / spread, np.float32)

    def compare(self, tiles: Floats) -> tuple[Floats, Floats, Floats]:
        """Step (n, 2) in px, correlation (n,), brightness ratio (n,) of tiles against the memory."""
        against = np.matmul(self._rows, tiles[:, :, None])[:, :, 0]
        mean, along = against[:, 0], against[:, 1]
        spread = np.sqrt(np.maximum(np.einsum("ij,ij->i", tiles, tiles) - mean**2 * tiles.shape[1], 1e-6))
        contrast = np.maximum(along / self._strength, 0.05)
        step = -np.einsum("nij,nj->ni", self._inverse, against[:, 2:]) / contrast[:, None]
        flat = (self._strength < 0.7 * tiles.shape[1] ** 0.5) | (spread < 0.7 * tiles.shape[1] ** 0.5)
        match = np.where(flat, 0, along / spread)
        return step, match.astype(np.float32), mean / self._mean


def weave_of(tiles: Floats, limit: Floats | None) -> Floats:
    """Steps from pixel to pixel along rows and columns, none larger than the limit; (n, steps)."""
    size = round(tiles.shape[1] ** 0.5)
    square = tiles.reshape(-1, size, size)
    along = (square[:, :, 1:] - square[:, :, :-1]).reshape(len(tiles), size * (size - 1))
    down = (square[:, 1:] - square[:, :-1]).reshape(len(tiles), size * (size - 1))
    steps = np.concatenate([along, down], axis=1)
    return steps if limit is None else np.minimum(np.maximum(steps, -limit[:, None]), limit[:, None])


def _boxes(wide: Floats, size: int) -> Floats:
    """Sums over every size x size square."""
    total = np.zeros((len(wide), wide.shape[1] + 1, wide.shape[2] + 1))
    total[:, 1:, 1:] = wide.cumsum(axis=1, dtype=np.float64).cumsum(axis=2)
    sums = (
        total[:, size:, size:] - total[:, :-size, size:] - total[:, size:, :-size] + total[:, :-size, :-size]
    )
    return np.asarray(sums, np.float32)
