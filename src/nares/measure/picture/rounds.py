"""Round things in a still picture: closed rims that are darker within, all the way round.

Conventions
-----------
An opening seen at a slant is an upright ellipse, and darker than its panel, because less light gets in; a
hand or a head is brighter than what is behind it as often as not. *Support* is the share of directions in
which the picture brightens outwards across the rim, 0 to 1; *pull* the mean of that change, each gradient
counted by its direction more than by its size, so that a coarse texture does not outshout a plain rim.
Positions are pixels.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]

HEIGHTS_PX = (6.0, 7.2, 8.6, 10.3)
"""Half heights that are tried on each level; each level halves the picture. [px]"""
LEVELS = 4
SMOOTH_PX = 1.3
SLANTS = (0.35, 0.5, 0.68, 0.85, 1.05)
"""Half width over half height that are tried."""
SOFT = 3.0
"""A gradient of this size counts half. [of 255 a pixel]"""
DIRECTIONS = 32
PER_SIZE, PER_LEVEL = 4, 24
"""Peaks kept of each size, and of each level."""


@dataclass(frozen=True, slots=True)
class Round:
    """One rim: its middle, half height and half width in pixels, and how well the picture bears it out."""

    row: float
    col: float
    high: float
    wide: float
    pull: float
    support: float


def rounds_in(luma: NDArray[np.uint8]) -> list[Round]:
    """The rims of a picture, the best first, overlapping ones left out."""
    found: list[Round] = []
    level = luma.astype(np.float32)
    for halved in range(LEVELS):
        if min(level.shape) < 4 * HEIGHTS_PX[0]:
            break
        down, across = _directions(level)
        scale = 2.0**halved
        proposed = _apart(sorted(_proposed(down, across), key=lambda one: -one.pull))
        for one in proposed[:PER_LEVEL]:
            best = _refined(one, down, across)
            places = (scale * (best.row + 0.5) - 0.5, scale * (best.col + 0.5) - 0.5)
            found.append(Round(*places, scale * best.high, scale * best.wide, best.pull, best.support))
        rows, cols = level.shape[0] // 2 * 2, level.shape[1] // 2 * 2
        level = level[:rows, :cols].reshape(rows // 2, 2, cols // 2, 2).mean(axis=(1, 3))
    found.sort(key=worth, reverse=True)
    return _apart(found)


def worth(one: Round) -> float:
    """How well a rim is borne out; of two about as good the larger is the whole of the other."""
    return one.pull * one.support * float(np.log2(one.high + one.wide))


def _directions(level: Floats) -> tuple[Floats, Floats]:
    """The gradient (down, across), its size held under 1."""
    from scipy.ndimage import gaussian_filter

    down, across = np.gradient(gaussian_filter(level, SMOOTH_PX))
    size = np.hypot(down, across) + SOFT
    return np.asarray(down / size, np.float32), np.asarray(across / size, np.float32)


def _proposed(down: Floats, across: Floats) -> Iterator[Round]:
    """Peaks of the pull over all places and sizes."""
    from scipy.fft import irfft2, next_fast_len, rfft2
    from scipy.ndimage import maximum_filter

    rows, cols = down.shape
    shape = next_fast_len(rows + 128), next_fast_len(cols + 128)
    spectra = rfft2(down, shape), rfft2(across, shape)
    for high in HEIGHTS_PX:
        for slant in SLANTS:
            wide = high * slant
            if wide < 3.0 or 2 * high > 0.5 * rows or 2 * wide > 0.3 * cols:
                continue
            kernels = _kernels(high, wide, shape)
            first, second = (np.conj(rfft2(kernel)) for kernel in kernels)
            pull: Floats = np.asarray(irfft2(spectra[0] * first + spectra[1] * second, shape), np.float32)
            pull = pull[:rows, :cols]
            top = pull == maximum_filter(pull, size=int(2 * wide) | 1)
            places = np.flatnonzero(top & (pull > 0.25))
            for place in places[np.argsort(-pull.ravel()[places])[:PER_SIZE]]:
                row, col = divmod(int(place), cols)
                yield Round(row, col, high, wide, float(pull[row, col]), 0.0)


def _kernels(high: float, wide: float, shape: tuple[int, int]) -> tuple[Floats, Floats]:
    """The rim's outward normals as two sparse pictures, wrapped about the origin, each summing its share."""
    count = max(DIRECTIONS, int(2 * np.pi * max(high, wide)))
    angle = 2 * np.pi * np.arange(count) / count
    row, col = np.rint(high * np.sin(angle)).astype(int), np.rint(wide * np.cos(angle)).astype(int)
    normal = np.stack([np.sin(angle) / high, np.cos(angle) / wide])
    normal /= np.linalg.norm(normal, axis=0) * count
    down, across = np.zeros(shape, np.float32), np.zeros(shape, np.float32)
    np.add.at(down, (row % shape[0], col % shape[1]), normal[0])
    np.add.at(across, (row % shape[0], col % shape[1]), normal[1])
    return down, across


def _refined(one: Round, down: Floats, across: Floats) -> Round:
    """The best rim within a step of a proposal, with its support."""
    best = one
    for high in (0.92 * one.high, one.high, 1.08 * one.high):
        for wide in (0.9 * one.wide, one.wide, 1.1 * one.wide):
            for row in (one.row - 1.5, one.row, one.row + 1.5):
                for col in (one.col - 1.5, one.col, one.col + 1.5):
                    pull, support = _borne_out(row, col, high, wide, down, across)
                    if pull * support > best.pull * best.support:
                        best = Round(row, col, high, wide, pull, support)
    return best


def _borne_out(
    row: float, col: float, high: float, wide: float, down: Floats, across: Floats
) -> tuple[float, float]:
    """Pull and support of one rim; a direction counts by the best of three pixels across the rim."""
    angle = 2 * np.pi * np.arange(DIRECTIONS) / DIRECTIONS
    normal = np.stack([np.sin(angle) / high, np.cos(angle) / wide])
    normal /= np.linalg.norm(normal, axis=0)
    along = []
    for out in (-1.0, 0.0, 1.0):
        r = np.rint(row + (high + out) * np.sin(angle)).astype(int)
        c = np.rint(col + (wide + out) * np.cos(angle)).astype(int)
        inside = (r >= 0) & (c >= 0) & (r < down.shape[0]) & (c < down.shape[1])
        r, c = np.clip(r, 0, down.shape[0] - 1), np.clip(c, 0, down.shape[1] - 1)
        along.append(np.where(inside, normal[0] * down[r, c] + normal[1] * across[r, c], 0.0))
    sums = np.stack(along)
    return float(sums.mean()), float((sums.max(axis=0) > 0.25).mean())


def _apart(found: list[Round]) -> list[Round]:
    """The best of those that lie in one another."""
    kept: list[Round] = []
    for one in found:
        if not any(_same_place(one, other) for other in kept):
            kept.append(one)
    return kept


def _same_place(one: Round, other: Round) -> bool:
    near_row = abs(one.row - other.row) <= 0.7 * max(one.high, other.high)
    return near_row and abs(one.col - other.col) <= 0.7 * max(one.wide, other.wide)
