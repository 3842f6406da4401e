"""Where the two openings probably are, for a person to accept or move.

Conventions
-----------
An opening is a round rim in the first pictures inside which the picture later changes. The two openings of a
box lie side by side at about one height, of about one size; the front one, for the nose, is taken to be the
one with the plainer rim, because a hand often rests beside the other. That is a proposal, never a
measurement: nothing is measured in a region until a person has accepted it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import permutations

import numpy as np
from numpy.typing import NDArray

from nares.base.vocab import Region
from nares.measure.picture.rounds import Round, rounds_in, worth

FIRST = 8
"""Pictures at the start that are averaged: noise goes, the box stays."""
CHANGED = 0.1
"""A mean change of this share of the picture's own brightness inside a rim is something in it."""
LEAST_WORTH = 1.0
"""A rim borne out less than this is not proposed."""
LEAST_PAIR = 0.6
MOST = 24
"""Rims that are looked into."""

Luma = NDArray[np.uint8]
Floats = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Proposal:
    """A region to show to a person, and how well it is borne out, 0 to 1."""

    region: Region
    sure: float


@dataclass(frozen=True, slots=True)
class Proposed:
    """Either may be None: nothing round enough was seen that anything went into."""

    front: Proposal | None
    side: Proposal | None


def propose_openings(start: Sequence[Luma], later: Sequence[Luma]) -> Proposed:
    """Propose both openings.

    Args:
        start: The first pictures of a recording, brightness, all of one shape.
        later: Pictures spread over the rest of it, of the same shape.
    """
    if not start:
        return Proposed(None, None)
    still: Floats = np.asarray(np.mean(np.stack(start[:FIRST]), axis=0), np.float32)
    rims = [one for one in rounds_in(still.astype(np.uint8)) if worth(one) >= LEAST_WORTH][:MOST]
    visited = [_visited(one, still, later) for one in rims]
    shape = start[0].shape
    best = _best_pair(rims, visited)
    if best is not None:
        front, side = best
        return Proposed(*(_proposal(rims[i], visited[i], shape) for i in (front, side)))
    alone = max(range(len(rims)), key=lambda i: worth(rims[i]) * visited[i], default=None)
    if alone is None or visited[alone] <= 0.0:
        return Proposed(None, None)
    return Proposed(_proposal(rims[alone], visited[alone], shape), None)


def _visited(one: Round, still: Floats, later: Sequence[Luma]) -> float:
    """In how many of the later pictures the inside of a rim has changed, beyond what changed everywhere."""
    if not later:
        return 0.0
    rows = slice(max(int(one.row - 0.6 * one.high), 0), int(one.row + 0.6 * one.high) + 1)
    cols = slice(max(int(one.col - 0.6 * one.wide), 0), int(one.col + 0.6 * one.wide) + 1)
    usual, changes = max(float(np.median(still)), 10.0), []
    for luma in later:
        light = float(np.median(luma)) / usual
        changes.append(float(np.abs(luma[rows, cols] - still[rows, cols] * light).mean()))
    return float(np.mean(np.array(changes) > CHANGED * usual))


def _best_pair(rims: Sequence[Round], visited: Sequence[float]) -> tuple[int, int] | None:
    """The two rims that together look most like the openings of one box, the plainer first."""
    used = [worth(rim) * _comes_and_goes(share) for rim, share in zip(rims, visited, strict=True)]
    pairs = [
        (used[i] * np.sqrt(used[j]) * _like_one_box(rims[i], rims[j]), i, j)
        for i, j in permutations(range(len(rims)), 2)
        if used[i] >= used[j]
    ]
    score, front, side = max(pairs, default=(0.0, 0, 0))
    return (front, side) if score > LEAST_PAIR else None


def _comes_and_goes(visited: float) -> float:
    """Something goes in now and then, and not nearly always."""
    return min(1.0, 6.0 * visited) * min(1.0, 4.0 * (1.02 - visited))


def _like_one_box(one: Round, other: Round) -> float:
    """How far two rims could be the openings of one box: height, size and distance; 0 to 1."""
    size = (one.high + other.high) / 2
    level = abs(one.row - other.row) / size
    ratio = abs(float(np.log(one.high / other.high)))
    apart = abs(one.col - other.col) / (one.high + other.high)
    if abs(one.col - other.col) < 1.2 * (one.wide + other.wide):
        return 0.0
    far = max(apart - 3.6, 0.0) / 1.2
    return float(np.exp(-0.5 * ((level / 0.8) ** 2 + (ratio / 0.7) ** 2 + far**2)))


def _proposal(one: Round, visited: float, shape: tuple[int, ...]) -> Proposal:
    top, left = max(one.row - one.high, 0.0) / shape[0], max(one.col - one.wide, 0.0) / shape[1]
    low, right = min((one.row + one.high) / shape[0], 1.0), min((one.col + one.wide) / shape[1], 1.0)
    region = Region(round(left, 4), round(top, 4), round(right - left, 4), round(low - top, 4))
    return Proposal(region, round(min(0.95, one.pull * one.support * (0.5 + min(visited, 0.5))), 2))
