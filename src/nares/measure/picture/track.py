"""Everything kept of one opening through a session, and what every judgement of it reads.

Conventions
-----------
Pictures are numbered from 0 in order of time; ``at_s`` holds their own times. Looks are brightness and the
two colour differences of every cell, divided by the brightness of the panel. A picture in which the box was
not found is bridged for `CARRY_S` from those around it, and is out of view beyond that.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from nares.measure.picture.patch import CELLS, COLOUR_CELLS

Floats = NDArray[np.float32]
Bools = NDArray[np.bool_]

EVERY_CELL = np.arange(CELLS**2)
COLOUR_OF = (EVERY_CELL // CELLS // 2) * COLOUR_CELLS + EVERY_CELL % CELLS // 2
"""The colour cell that holds each cell."""

CARRY_S = 0.5
"""Pictures without the box are bridged for this long, and judged where the box last was beyond it."""


@dataclass(frozen=True, slots=True)
class Track:
    """Everything kept of one opening. ``luma``: (n, CELLS, CELLS); ``colour``: (n, 2, CELLS/2, CELLS/2).

    ``gain``: (n,) brightness of the panel, NaN where not followed. ``match``: (n, tiles) at the rim.
    ``followed``: (n,) whether the box was found. ``tile_angle``: (tiles,) where around the rim each tile
    lies, rad from the right, downwards. ``size_px``: mean of width and height. ``slant``: width over height,
    1 for an opening seen from straight ahead. ``enters``: 1 when things come in from the left, -1 from the
    right, 0 when only the session can tell.
    """

    at_s: NDArray[np.float64]
    luma: NDArray[np.uint8]
    colour: NDArray[np.uint8]
    gain: Floats
    match: Floats
    followed: Bools
    tile_angle: Floats
    size_px: float = 32.0
    slant: float = 0.7
    enters: int = 0


def values(track: Track, which: NDArray[np.intp], cell: NDArray[np.intp] = EVERY_CELL) -> Floats:
    """Brightness and colour of some cells of some pictures at the session's brightness, (k, 3, cells)."""
    known = np.isfinite(track.gain[which]) & (track.gain[which] > 0.05)
    gain = np.where(known, track.gain[which], np.float32(1))[:, None]
    looks = np.empty((len(which), 3, len(cell)), np.float32)
    looks[:, 0] = track.luma.reshape(-1, CELLS**2)[which[:, None], cell]
    for plane in range(2):
        coarse = track.colour[:, plane].reshape(-1, COLOUR_CELLS**2)
        looks[:, plane + 1] = coarse[which[:, None], COLOUR_OF[cell]]
    looks[:, 1:] -= 128
    looks /= gain[:, None]
    return looks


def usual_gain(track: Track) -> Track:
    """The same pictures as if the light had been steady: a shadow on the panel is not one in the opening."""
    known = track.gain[np.isfinite(track.gain) & track.followed]
    return replace(track, gain=np.full_like(track.gain, np.median(known) if len(known) else 1.0))


def in_view(track: Track) -> Bools:
    """Pictures in which the box was found, or missed only briefly; all when it was never really followed."""
    seen = track.followed.copy()
    for a, b in runs(~track.followed):
        seen[a : b + 1] = track.at_s[b] - track.at_s[a] <= CARRY_S
    return seen if seen.mean() >= 0.5 else np.ones(len(seen), bool)


def carried_over(track: Track, seen: Floats) -> Floats:
    """What was seen, carried over short stretches in which the box was not found."""
    known = track.followed.copy()
    for a, b in runs(~track.followed):
        known[a : b + 1] = track.at_s[b] - track.at_s[a] > CARRY_S
    places = np.flatnonzero(known)
    if len(places) in (0, len(seen)):
        return seen
    return np.interp(np.arange(len(seen)), places, seen[places]).astype(np.float32)


def runs(held: Bools) -> list[tuple[int, int]]:
    """First and last index of every stretch of True."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], held, [False]]).astype(np.int8)))
    return [(int(a), int(b) - 1) for a, b in edges.reshape(-1, 2)]


def step_s(at_s: NDArray[np.float64]) -> float:
    """Usual time from picture to picture. [s]"""
    return float(np.median(np.diff(at_s))) if len(at_s) > 1 else 0.0
