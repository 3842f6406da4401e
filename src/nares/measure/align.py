"""Following the box: where the openings are in this picture, whatever the phone does.

Conventions
-----------
Positions are (row, column) in pixels of the picture. A *tile* is a small square of panel around the
openings, remembered from the first picture. Each new picture is matched to the tiles, never to the
picture before it, so nothing creeps. A tile that is covered stops matching; the tiles that still agree
carry the motion (shift, turn and zoom), so that a dog in front of half the panel moves nothing.

Matching is one linear least-squares step per tile (Lucas and Kanade) with brightness and contrast taken
out, hence untouched by exposure, flicker and even shade. A jump too large for that is found by phase
correlation of the whole panel, and believed only when the tiles then agree.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from nares.base.vocab import Region

Floats = NDArray[np.float32]

RINGS = ((1.0, 12), (2.1, 8))
"""Tiles touch the opening's rim (12 of them), and stand about one opening further out (8)."""

AGREES = 0.5
"""A tile matches when its correlation with the remembered one is at least this, or 0.6 of what it usually is
when the picture is too noisy for that."""

DOUBTFUL = 0.6
"""A tile on the rim that matches less is looked at again without the strong edges in it."""

SHARPEN = 16
"""Sights of a tile that are averaged into its memory."""

RENEW = 600
"""Pictures without one match after which a tile is remembered anew: some twenty seconds, more than a hold."""

SEARCH_PX, SEARCH_TILES = 8, 16
"""How far, and with how many tiles, a shift is looked for when the linear step does not reach it."""

REACH_PX = 1.5
"""The linear step is trusted up to about this far."""

PANEL_CELLS = 64


@dataclass(frozen=True, slots=True)
class Followed:
    """Where the box is in one picture.

    ``ok``: enough tiles agreed. ``shift_px``: (regions, 2), motion of each opening's centre since the
    first picture. ``match``: (tiles,) correlation of each tile with the remembered one. ``gain``:
    brightness of the panel against the first picture.
    """

    ok: bool
    shift_px: Floats
    match: Floats
    gain: float


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


Found = tuple[Motion, Floats, NDArray[np.bool_], float]
"""A motion, each tile's match, which tiles agree on it, and the panel's brightness."""


class Follower:
    """Remembers the panel of the first picture and finds it again in every other."""

    def __init__(self, regions: tuple[Region, ...], luma: NDArray[np.uint8]) -> None:
        self._shape = luma.shape
        self._size = tile_size_px(regions, luma.shape)
        self.owner, self.angle, self.near, self._corner = place_tiles(regions, luma.shape, self._size)
        self._centre = (self._corner + self._size / 2).mean(axis=0) if len(self._corner) else np.zeros(2)
        self._offset = (self._corner + self._size / 2 - self._centre).astype(np.float32)
        middles = [[(r.y + r.h / 2) * luma.shape[0], (r.x + r.w / 2) * luma.shape[1]] for r in regions]
        self._middle = np.array(middles, np.float32).reshape(-1, 2) - self._centre.astype(np.float32)
        self._motion = Motion()
        self._templates = Templates(self._cut(luma, self._corner.astype(np.intp)))
        self._last = np.zeros(len(self._corner), np.int64)
        self._seen = 0
        self._misses = 0
        self._usual = np.full(len(self._corner), 0.8, np.float32)
        self._agrees = np.full(len(self._corner), min(3.0 / self._size, AGREES), np.float32)
        self._sum = np.zeros((len(self._corner), self._size**2), np.float32)
        self._summed = np.zeros(len(self._corner), np.int64)
        self._panel = Panel(regions, luma)

    def follow(self, luma: NDArray[np.uint8]) -> Followed:
        """Find the box in this picture."""
        if not len(self._corner):
            return Followed(True, self._motion.at(self._middle), np.zeros(0, np.float32), 1.0)
        found = self._find(luma)
        if found is None:
            self._misses += 1
            match = self._match_at(luma, self._motion)
            return Followed(False, self._motion.at(self._middle), match, float("nan"))
        self._misses = 0
        self._motion, match, inliers, gain = found
        self._look_twice(luma, match)
        self._learn(luma, match, inliers)
        return Followed(True, self._motion.at(self._middle), match, gain)

    def _find(self, luma: NDArray[np.uint8]) -> Found | None:
        """Where it was; or near there; or anywhere. A long-lost box is looked for in every third picture."""
        found = self._near(luma, self._motion)
        if found is not None or (self._misses > 30 and self._misses % 3):
            return found
        found = self._near(luma, self._search(luma, self._motion))
        if found is not None:
            return found
        row, col = self._panel.jump(luma)
        return self._near(luma, self._search(luma, replace(self._motion, row=row, col=col)))

    def _search(self, luma: NDArray[np.uint8], guess: Motion) -> Motion:
        """The shift within `SEARCH_PX` of a guess that suits the best tiles together."""
        best = np.argsort(-self._usual)[:SEARCH_TILES]
        span = self._size + 2 * SEARCH_PX
        if min(self._shape) < span:
            return guess
        corner = np.rint(self._corner + guess.at(self._offset)).astype(np.intp)[best] - SEARCH_PX
        held = np.clip(corner, 0, np.array(self._shape) - span)
        wide = sliding_window_view(luma, (span, span))[held[:, 0], held[:, 1]].astype(np.float32)
        wide[(held != corner).any(axis=1)] = 0
        score = (np.maximum(self._templates.maps(best, wide), 0) ** 2).sum(axis=0)
        row, col = np.unravel_index(int(np.argmax(score)), score.shape)
        return replace(guess, row=guess.row + int(row) - SEARCH_PX, col=guess.col + int(col) - SEARCH_PX)

    def _near(self, luma: NDArray[np.uint8], guess: Motion) -> Found | None:
        """Match the tiles from a first guess; None when too few agree."""
        for _ in range(4):
            want = self._corner + guess.at(self._offset)
            corner = np.rint(want).astype(np.intp)
            tiles = self._cut(luma, corner)
            step, match, gain = self._templates.compare(tiles)
            match[self._outside(corner)] = 0
            usable = (match >= self._agrees) & (np.abs(step).max(axis=1) <= REACH_PX)
            if usable.sum() < self._quorum():
                return None
            moved = np.asarray(corner - self._corner + step, np.float32)
            guess_next, inliers = fit_motion(self._offset, moved, match, usable, guess)
            if inliers.sum() < self._quorum():
                return None
            hop = float(np.abs(guess_next.at(self._offset) - (want - self._corner)).max())
            guess = guess_next
            if hop < 0.6:
                break
        return guess, match, inliers, float(np.median(gain[inliers]))

    def _look_twice(self, luma: NDArray[np.uint8], match: Floats) -> None:
        """Give a tile on the rim that seems hidden the benefit of a shadow's edge lying across it."""
        doubtful = np.flatnonzero(self.near & (match < DOUBTFUL) & (match != 0))
        if len(doubtful):
            corner = np.rint(self._corner + self._motion.at(self._offset)).astype(np.intp)[doubtful]
            match[doubtful] = np.maximum(
                match[doubtful], self._templates.weave(doubtful, self._cut(luma, corner))
            )

    def _match_at(self, luma: NDArray[np.uint8], motion: Motion) -> Floats:
        corner = np.rint(self._corner + motion.at(self._offset)).astype(np.intp)
        _, match, _ = self._templates.compare(self._cut(luma, corner))
        match[self._outside(corner)] = 0
        return match

    def _quorum(self) -> int:
        return max(3, len(self._corner) // 6)

    def _outside(self, corner: NDArray[np.intp]) -> NDArray[np.bool_]:
        limit = np.array(self._shape) - self._size
        return np.asarray(((corner < 0) | (corner > limit)).any(axis=1), np.bool_)

    def _cut(self, luma: NDArray[np.uint8], corner: NDArray[np.intp]) -> Floats:
        """Every tile's pixels at its corner, shape (tiles, size * size)."""
        if not len(corner):
            return np.zeros((0, self._size**2), np.float32)
        held = np.clip(corner, 0, np.array(self._shape) - self._size)
        windows = sliding_window_view(luma, (self._size, self._size))
        return windows[held[:, 0], held[:, 1]].reshape(len(corner), -1).astype(np.float32)

    def _learn(self, luma: NDArray[np.uint8], match: Floats, inliers: NDArray[np.bool_]) -> None:
        """Keep count of how well each tile matches; sharpen its memory; renew one that no longer matches.

        A memory from one dim picture is mostly noise: the first `SHARPEN` good sights are averaged. A tile
        that has not matched for long was covered in the first picture.
        """
        self._seen += 1
        self._last[inliers] = self._seen
        self._usual[inliers] += 0.05 * (match[inliers] - self._usual[inliers])
        if self._seen <= 4 * SHARPEN:
            self._sharpen(luma, inliers)
        if self._seen % 30 == 0:
            floor = 3.0 / self._size
            self._agrees = np.clip(0.6 * self._usual, min(floor, AGREES), AGREES)
        if self._seen % 60 == 0:
            self._renew(luma)

    def _sharpen(self, luma: NDArray[np.uint8], inliers: NDArray[np.bool_]) -> None:
        want = self._corner + self._motion.at(self._offset)
        corner = np.rint(want).astype(np.intp)
        good = inliers & (np.abs(want - corner).max(axis=1) < 0.35) & (self._summed < SHARPEN)
        self._sum[good] += self._cut(luma, corner)[good]
        self._summed[good] += 1
        ready = np.flatnonzero(good & np.isin(self._summed, (SHARPEN // 4, SHARPEN)))
        mean = self._sum[ready] / self._summed[ready, None]
        self._templates.replace(ready, np.asarray(mean, np.float32))

    def _renew(self, luma: NDArray[np.uint8]) -> None:
        stale = np.flatnonzero(self._seen - self._last > RENEW)
        if len(stale):
            corner = np.rint(self._corner + self._motion.at(self._offset)).astype(np.intp)
            self._templates.replace(stale, self._cut(luma, corner)[stale])
            self._last[stale] = self._seen


class Templates:
    """The remembered tiles with what one least-squares step needs."""

    def __init__(self, tiles: Floats) -> None:
        self._rows = np.zeros((len(tiles), 4, tiles.shape[1]), np.float32)
        self._strength = np.ones(len(tiles), np.float32)
        self._inverse = np.zeros((len(tiles), 2, 2), np.float32)
        self._mean = np.ones(len(tiles), np.float32)
        self._weave = np.zeros((len(tiles), weave_of(tiles[:0], None).shape[1]), np.float32)
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

    def weave(self, which: NDArray[np.intp], tiles: Floats) -> Floats:
        """Correlation of the fine structure alone, the edge of a shadow cut down to its size; (k,)."""
        seen, known = weave_of(tiles, self._limit[which]), self._weave[which]
        scale = np.linalg.norm(seen, axis=1) * np.linalg.norm(known, axis=1)
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
    along = np.diff(square, axis=2).reshape(len(tiles), size * (size - 1))
    down = np.diff(square, axis=1).reshape(len(tiles), size * (size - 1))
    steps = np.concatenate([along, down], axis=1)
    return steps if limit is None else np.clip(steps, -limit[:, None], limit[:, None])


def _boxes(wide: Floats, size: int) -> Floats:
    """Sums over every size x size square."""
    total = np.zeros((len(wide), wide.shape[1] + 1, wide.shape[2] + 1))
    total[:, 1:, 1:] = wide.cumsum(axis=1, dtype=np.float64).cumsum(axis=2)
    sums = (
        total[:, size:, size:] - total[:, :-size, size:] - total[:, size:, :-size] + total[:, :-size, :-size]
    )
    return np.asarray(sums, np.float32)


class Panel:
    """The surroundings of all openings, coarsely: finds a jump of the whole picture."""

    def __init__(self, regions: tuple[Region, ...], luma: NDArray[np.uint8]) -> None:
        height, width = luma.shape
        top, left = min(r.y - r.h for r in regions), min(r.x - 2 * r.w for r in regions)
        low, right = max(r.y + 2 * r.h for r in regions), max(r.x + 3 * r.w for r in regions)
        self._rows = spaced(top * height, low * height, height)
        self._cols = spaced(left * width, right * width, width)
        self._window = np.outer(np.hanning(len(self._rows)), np.hanning(len(self._cols)))
        self._memory = np.conj(self._spectrum(luma))

    def jump(self, luma: NDArray[np.uint8]) -> tuple[float, float]:
        """The most likely shift (row, column) of the panel since the first picture. [px]"""
        cross = self._spectrum(luma) * self._memory
        peak = np.fft.irfft2(cross / np.maximum(np.abs(cross), 1e-9), s=self._window.shape)
        row, col = np.unravel_index(int(np.argmax(peak)), peak.shape)
        rows, cols = peak.shape
        turned = (int(row) + rows // 2) % rows - rows // 2, (int(col) + cols // 2) % cols - cols // 2
        return turned[0] * self._pitch(self._rows), turned[1] * self._pitch(self._cols)

    def _pitch(self, places: NDArray[np.intp]) -> float:
        return float(places[-1] - places[0]) / max(len(places) - 1, 1)

    def _averaged(self, luma: NDArray[np.uint8]) -> NDArray[np.float64]:
        """The panel's cells, each the mean of the pixels up to the next."""
        rows = np.add.reduceat(luma[: self._rows[-1] + 1], self._rows, axis=0, dtype=np.float64)
        return np.asarray(np.add.reduceat(rows[:, : self._cols[-1] + 1], self._cols, axis=1))

    def _spectrum(self, luma: NDArray[np.uint8]) -> NDArray[np.complex128]:
        seen = self._averaged(luma)
        return np.asarray(np.fft.rfft2((seen - seen.mean()) * self._window))


def spaced(low: float, high: float, size: int) -> NDArray[np.intp]:
    """Whole pixels at an even pitch between two places, kept inside the picture."""
    first, last = max(0, int(low)), min(size - 1, int(high))
    pitch = max(1, -(-(last - first) // PANEL_CELLS))
    return np.arange(first, last + 1, pitch)


def tile_size_px(regions: tuple[Region, ...], shape: tuple[int, ...]) -> int:
    """About 0.4 of the smallest opening, from 8 to 20. [px]"""
    spans = [(r.w * shape[1] * r.h * shape[0]) ** 0.5 for r in regions]
    return int(min(20, max(8, round(0.4 * min(spans, default=40.0)))))


def place_tiles(
    regions: tuple[Region, ...], shape: tuple[int, ...], size: int
) -> tuple[NDArray[np.intp], Floats, NDArray[np.bool_], NDArray[np.float64]]:
    """Corners of the tiles around every opening that lie inside the picture.

    Returns the region each belongs to, its direction seen from the opening, whether it touches the rim,
    and its corner (row, column), first picture.
    """
    made: list[tuple[int, float, bool, float, float]] = []
    for index, region in enumerate(regions):
        for ring, (further, count) in enumerate(RINGS):
            for angle in 2 * np.pi * np.arange(count) / count:
                row, col = _tile_corner(region, shape, size, further, float(angle))
                if _clear_of_all(row, col, size, regions, shape):
                    made.append((index, float(angle), ring == 0, row, col))
    owner = np.array([m[0] for m in made], np.intp)
    angles = np.array([m[1] for m in made], np.float32)
    near = np.array([m[2] for m in made], bool)
    return owner, angles, near, np.array([m[3:] for m in made], np.float64).reshape(-1, 2)


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
