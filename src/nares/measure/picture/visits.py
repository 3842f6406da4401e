"""Cover and hidden rim become visits: where each begins and ends, and how sure that is.

Conventions
-----------
A visit is a first and a last picture, both in it; a span has its edges between pictures, in s. Levels are
shares of the usual cover. What darkens the opening without coming across the rim is a shadow and no visit.
"""

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import maximum_filter1d, median_filter

from nares.base.vocab import Span
from nares.measure.picture.cover import COVERED
from nares.measure.picture.hidden import BODY, telling_tiles
from nares.measure.picture.track import Track, runs, step_s

Floats = NDArray[np.float32]
Bools = NDArray[np.bool_]

ENTER, LEAVE, EDGE = 0.55, 0.35, 0.7
"""Shares of the usual cover. A visit begins above the first and ends below the second; its edges are set
at the third, because what is in reaches well past the rim and not just to it."""

ACROSS = 0.4
"""A visit hides at least this share of what visits usually hide of the rim."""

SHORTEST_S, GAP_S, BRIDGE_S = 0.15, 0.14, 1.0
"""Shorter visits are dropped, shorter gaps closed, shorter occlusions inside a visit bridged."""

EDGE_SEARCH_S = 0.3
"""A visit that takes longer than this to get deep has its edge where it was first seen."""

WITNESS_S = 0.15
"""The rim may show what comes across it this much before or after: single sights of small tiles are noisy."""


def visits(track: Track, cover: Floats, hidden: Floats, usual: float) -> list[tuple[int, int]]:
    """First and last picture of every visit."""
    steady = 2 * max(1, round(WITNESS_S / max(step_s(track.at_s), 1e-3) / 2)) + 1
    body = median_filter(hidden, steady) >= BODY  # a single jolted picture hides nothing
    least = least_hidden(track, cover, hidden, usual)
    around = 2 * max(2, round(WITNESS_S / max(step_s(track.at_s), 1e-3))) + 1
    across = maximum_filter1d(hidden, around) >= least
    held = hysteresis(np.where(body | ~across, 0, cover), max(ENTER * usual, COVERED), LEAVE * usual)
    clear = [(a, b) for a, b in runs(held) if not _passing(track.at_s, a, b, body)]
    joined = _bridged(track.at_s, clear, body)
    step = step_s(track.at_s)
    return [
        (a, b)
        for a, b in joined
        if track.at_s[b] - track.at_s[a] + step >= SHORTEST_S
        and float(hidden[a : b + 1].mean()) >= 0.5 * least
    ]


def least_hidden(track: Track, cover: Floats, hidden: Floats, usual: float) -> float:
    """How much of the rim a visit hides at the least: one tile, and a part of the usual; 0 if none can tell.

    A shadow darkens the opening and hides no rim.
    """
    tiles = telling_tiles(track)
    if tiles.sum() < 8:
        return 0.0
    visiting = hidden[(cover > ENTER * usual) & (hidden < BODY)]
    usually = float(np.median(visiting)) if len(visiting) else 0.0
    return max(ACROSS * min(usually, 0.5), 0.99 / float(tiles.sum()))


def hysteresis(cover: Floats, enter: float, leave: float) -> Bools:
    """True from rising above ``enter`` until falling below ``leave``."""
    state = np.where(cover >= enter, 1, np.where(cover < leave, 0, -1))
    known = np.where(state >= 0, np.arange(len(state)), 0)
    np.maximum.accumulate(known, out=known)
    return np.asarray(state[known] == 1)


def _bridged(at_s: NDArray[np.float64], clear: list[tuple[int, int]], body: Bools) -> list[tuple[int, int]]:
    """Close short gaps, and longer ones in which something in front hid the box."""
    joined: list[tuple[int, int]] = []
    for a, b in clear:
        if joined:
            gap = slice(joined[-1][1] + 1, a)
            lasted = float(at_s[a] - at_s[joined[-1][1]])
            if lasted <= GAP_S or (lasted <= BRIDGE_S and body[gap].mean() > 0.5):
                joined[-1] = (joined[-1][0], b)
                continue
        joined.append((a, b))
    return joined


def _passing(at_s: NDArray[np.float64], a: int, b: int, body: Bools) -> bool:
    """A short visit that touches a hidden stretch is the edge of what hides it."""
    touches = body[max(0, a - 3) : a].any() or body[b + 1 : b + 4].any()
    return bool(touches and at_s[b] - at_s[a] < 0.5)


def span_of(track: Track, cover: Floats, hidden: Floats, usual: float, a: int, b: int) -> Span:
    """When the visit from picture ``a`` to picture ``b`` began and ended, and how sure that is."""
    at, last = track.at_s, len(track.at_s) - 1
    near = max(1, round(EDGE_SEARCH_S / max(step_s(at), 1e-3)))
    deep = np.flatnonzero(cover[a : b + 1] >= EDGE * usual) + a
    first = int(deep[0]) if len(deep) and deep[0] - a <= near else a
    final = int(deep[-1]) if len(deep) and b - deep[-1] <= near else b
    level = EDGE * usual
    start = _crossing(at, cover, first - 1, first, level) if first > 0 else float(at[0])
    end = _crossing(at, cover, final, final + 1, level) if final < last else float(at[-1]) + step_s(at)
    return Span(min(start, end), max(start, end), _sure(track, cover, hidden, usual, a, b))


def _crossing(at: NDArray[np.float64], cover: Floats, i: int, j: int, level: float) -> float:
    """When the cover passed the level between two neighbouring pictures, or the middle between them."""
    low, high = float(cover[i]), float(cover[j])
    share = (level - low) / (high - low) if min(low, high) < level < max(low, high) else 0.5
    return float(at[i] + share * (at[j] - at[i]))


def _sure(track: Track, cover: Floats, hidden: Floats, usual: float, a: int, b: int) -> float:
    inside = slice(a, b + 1)
    margin = float(np.median(cover[inside])) / usual - ENTER
    length = min(1.0, float(track.at_s[b] - track.at_s[a]) / 0.5)
    doubt = float((hidden[inside] >= BODY).mean()) + float((~track.followed[inside]).mean())
    score = 7.0 * margin + 2.0 * length - 2.0 - 4.0 * doubt
    return float(np.clip(1 / (1 + np.exp(-score)), 0.05, 0.99))
