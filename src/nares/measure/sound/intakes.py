"""Intakes out of the chances of frames: where each begins and ends, how well that is known, what it is like.

Conventions
-----------
Chances of frames, shape (t, 4): something else, drawing in, the rest of sniffing, panting. The chance of
drawing in at a moment near an edge is the chance that the edge lies on its other side; so the edge is put
where it is about even, and how far off it may be is read from where it passes one tenth and nine tenths.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nares.measure.sound.air import Rows
from nares.measure.sound.bands import HOP_S
from nares.measure.sound.judge import log_odds

EVEN = 0.45
"""A frame counts from this chance on: agreement (F1) is greatest a little below one half."""
LEAST_S = 0.035
"""Nothing shorter is an intake. [s]"""
WIDEST_S = 0.06
"""No edge is said to be known worse than this. [s]"""
TENTHS = 1.96 / (2 * 1.2816)
"""From one tenth to nine tenths of a bell curve to half of its middle 95 %."""
GRID_S = 0.0025
"""What frames of 5 ms can show of an edge, at best. [s]"""
NEXT_S = (0.11, 0.36)
DRAWING, SNIFFING, PANTING = 1, 2, 3

Chances = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Intakes:
    """Edges of possible intakes and half-widths of a 95 % interval for each, all shape (n,), in seconds."""

    start_s: Rows
    end_s: Rows
    start_within_s: Rows
    end_within_s: Rows

    def __len__(self) -> int:
        return self.start_s.size


def find_intakes(chances: Chances) -> Intakes:
    """Every stretch in which drawing in is about as likely as not, or more."""
    drawing = np.concatenate([[0.0], chances[:, DRAWING].astype(np.float64), [0.0]])
    inside = np.diff((drawing >= EVEN).astype(np.int8))
    first, last = np.flatnonzero(inside == 1) + 1, np.flatnonzero(inside == -1)
    edges = [
        (*_edge(drawing, int(a), -1), *_edge(drawing, int(b), 1)) for a, b in zip(first, last, strict=True)
    ]
    start, start_within, end, end_within = np.array(edges, dtype=np.float64).reshape(-1, 4).T
    long = end - start >= LEAST_S
    return Intakes(start[long], end[long], start_within[long], end_within[long])


def intake_rows(chances: Chances, intakes: Intakes) -> Rows:
    """What each possible intake is like, by itself and beside its neighbours, shape (n, 10)."""
    drawing = _mean_between(chances[:, DRAWING], intakes.start_s, intakes.end_s)
    odds = log_odds(drawing)
    around = [
        _mean_between(chances[:, kind], intakes.start_s - reach, intakes.end_s + reach)
        for kind, reach in ((SNIFFING, 0.15), (PANTING, 0.0), (PANTING, 0.5))
    ]
    length = 10 * (intakes.end_s - intakes.start_s)
    within = 100 * np.stack([intakes.start_within_s, intakes.end_within_s])
    before, after = (_next_door(intakes.start_s, drawing, side) for side in (-1, 1))
    return np.column_stack(
        [odds, *around, length, *within, np.minimum(before, after), np.maximum(before, after)]
    )


def _edge(drawing: Rows, inside: int, side: int) -> tuple[float, float]:
    """Where drawing in becomes unlikely on one side of a frame inside, and how well that is known. [s]"""
    at = inside + side * _crossing(drawing, inside, side, EVEN)
    high = 0.9 * float(drawing[max(inside - 8, 0) : inside + 9].max())
    inward = _crossing(1.0 - drawing, inside + side, -side, 1.0 - high)
    outward = _crossing(drawing, inside, side, 0.1)
    within = TENTHS * max(inward + outward - 1.0, 0.0) * HOP_S
    # The frame before the recording stands at index 0; a frame is known by its middle.
    return (at - 0.5) * HOP_S, float(min(np.hypot(within, GRID_S), WIDEST_S))


def _crossing(drawing: Rows, from_: int, side: int, limit: float) -> float:
    """Frames from one frame on until the chance first falls below a limit, within 12."""
    way = drawing[from_ : from_ + 13] if side > 0 else drawing[max(from_ - 12, 0) : from_ + 1][::-1]
    below = np.flatnonzero(way < limit)
    if not below.size:
        return float(way.size - 1)
    k = int(below[0])
    if k == 0:
        return 0.0
    return float(k - 1 + (way[k - 1] - limit) / max(way[k - 1] - way[k], 1e-9))


def _mean_between(chances: Chances, start_s: Rows, end_s: Rows) -> Rows:
    total = np.concatenate([[0.0], np.cumsum(chances, dtype=np.float64)])
    first = np.clip((start_s / HOP_S).astype(int), 0, chances.size - 1)
    last = np.clip(np.ceil(end_s / HOP_S).astype(int), first + 1, chances.size)
    return np.asarray((total[last] - total[first]) / (last - first))


def _next_door(starts: Rows, drawing: Rows, side: int) -> Rows:
    """How likely the likeliest intake one cycle before (-1) or after (1) is, 0 without one."""
    found = np.zeros(starts.size)
    for i, start in enumerate(starts):
        low, high = sorted((start + side * NEXT_S[0], start + side * NEXT_S[1]))
        near = drawing[np.searchsorted(starts, low) : np.searchsorted(starts, high)]
        found[i] = near.max(initial=0.0)
    return found
