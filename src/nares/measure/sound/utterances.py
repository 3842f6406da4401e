"""Where somebody says something: stretches of voice parted by quiet.

Conventions
-----------
Seen on `Shape.risen_db`: a core stands clearly over the background and is not far below the loudest voice;
it grows outward for as long as any broad band stays over the background. Frames of 10 ms.
"""

import numpy as np

from nares.measure.sound.voice_shape import Shape

CORE_DB = 10.0
EDGE_DB = 6.0
FAINTER_DB = 22.0
"""A core is at most this far below the loudest. [dB]"""
DEEPEST_DB = 38.0
"""An edge is at most this far below its core. [dB]"""
GAP = 22
"""Quiet of this many frames or less is part of a word: the closure of a p or a k."""
GROW = 20
SHORTEST = 8


def utterances(shape: Shape, *, first: int = 0, last: int | None = None) -> list[tuple[int, int]]:
    """Stretches of voice as (first frame, last frame + 1), in time order."""
    end = len(shape) if last is None else min(last, len(shape))
    risen, level = shape.risen_db[first:end], shape.level_db[first:end]
    if not risen.size:
        return []
    top = float(np.quantile(level[risen > CORE_DB], 0.9)) if (risen > CORE_DB).any() else 0.0
    on = np.flatnonzero((risen > CORE_DB) & (level > top - FAINTER_DB))
    if not on.size:
        return []
    splits = np.flatnonzero(np.diff(on) > GAP)
    starts, ends = on[np.concatenate([[0], splits + 1])], on[np.concatenate([splits, [on.size - 1]])] + 1
    grown = [_grown(shape, int(a) + first, int(b) + first) for a, b in zip(starts, ends, strict=True)]
    return [(a, b) for a, b in _joined(grown) if b - a >= SHORTEST]


def _grown(shape: Shape, first: int, last: int) -> tuple[int, int]:
    """Outward from a core for as long as something stands over the background, with holes of 30 ms."""
    least = float(shape.level_db[first:last].max()) - DEEPEST_DB
    on = (shape.risen_db > EDGE_DB) & (shape.level_db > least)
    low, high = first, last
    for frame in range(first - 1, max(first - GROW, 0) - 1, -1):
        if on[frame]:
            low = frame
        elif low - frame > 3:
            break
    for frame in range(last, min(last + GROW, len(shape))):
        if on[frame]:
            high = frame + 1
        elif frame - high > 3:
            break
    return low, high


def _joined(spans: list[tuple[int, int]]) -> list[tuple[int, int]]:
    joined: list[tuple[int, int]] = []
    for span in spans:
        if joined and span[0] - joined[-1][1] <= GAP // 2:
            joined[-1] = (joined[-1][0], span[1])
        else:
            joined.append(span)
    return joined
