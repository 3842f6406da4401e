"""What the tiles have been like so far: how well each usually matches, and a memory that gets sharper.

Conventions
-----------
Sights are counted in pictures in which the box was found. A memory from one dim picture is mostly noise: the
first `SHARPEN` good sights are averaged into it. A tile that has not matched for `RENEW` pictures was covered
in the first picture and is remembered anew.
"""

import numpy as np
from numpy.typing import NDArray

from nares.measure.picture.motion import farther
from nares.measure.picture.templates import Templates
from nares.measure.picture.tiles import Tiles

Floats = NDArray[np.float32]
Bools = NDArray[np.bool_]

AGREES = 0.5
"""A tile matches when its correlation with the remembered one is at least this, or 0.6 of what it usually is
when the picture is too noisy for that."""

SHARPEN = 16
"""Sights of a tile that are averaged into its memory."""

RENEW = 600
"""Pictures without one match after which a tile is remembered anew: some twenty seconds, more than a hold."""


class TileMemory:
    """Templates of all tiles; ``usual`` and ``agrees``: (n,) match usually seen, least match asked for."""

    def __init__(self, tiles: Tiles, luma: NDArray[np.uint8]) -> None:
        count = len(tiles)
        self.templates = Templates(tiles.cut(luma, tiles.corner.astype(np.intp)))
        self.usual = np.full(count, 0.8, np.float32)
        self.agrees = np.full(count, min(3.0 / tiles.size, AGREES), np.float32)
        self._tiles = tiles
        self._seen = 0
        self._last = np.zeros(count, np.int64)
        self._sum = np.zeros((count, tiles.size**2), np.float32)
        self._summed = np.zeros(count, np.int64)

    def learn(
        self, luma: NDArray[np.uint8], place: NDArray[np.float64], match: Floats, inliers: Bools
    ) -> None:
        """Take in a picture in which the box was found.

        Args:
            luma: The picture.
            place: (n, 2) where the motion puts each tile's corner. [px]
            match: (n,) correlation of each tile with its memory.
            inliers: (n,) tiles that agree with the motion.
        """
        self._seen += 1
        self._last[inliers] = self._seen
        self.usual[inliers] += 0.05 * (match[inliers] - self.usual[inliers])
        if self._seen <= 4 * SHARPEN:
            self._sharpen(luma, place, inliers)
        if self._seen % 30 == 0:
            floor = 3.0 / self._tiles.size
            self.agrees = np.clip(0.6 * self.usual, min(floor, AGREES), AGREES)
        if self._seen % 60 == 0:
            self._renew(luma, place)

    def _sharpen(self, luma: NDArray[np.uint8], place: NDArray[np.float64], inliers: Bools) -> None:
        corner = np.rint(place).astype(np.intp)
        good = inliers & (farther(place - corner) < 0.35) & (self._summed < SHARPEN)
        self._sum[good] += self._tiles.cut(luma, corner[good])
        self._summed[good] += 1
        ready = np.flatnonzero(good & np.isin(self._summed, (SHARPEN // 4, SHARPEN)))
        mean = self._sum[ready] / self._summed[ready, None]
        self.templates.replace(ready, np.asarray(mean, np.float32))

    def _renew(self, luma: NDArray[np.uint8], place: NDArray[np.float64]) -> None:
        stale = np.flatnonzero(self._seen - self._last > RENEW)
        if len(stale):
            corner = np.rint(place).astype(np.intp)
            self.templates.replace(stale, self._tiles.cut(luma, corner[stale]))
            self._last[stale] = self._seen
