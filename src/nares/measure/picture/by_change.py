"""Visits told by change alone: something covers the empty opening and has come across its rim.

Conventions
-----------
Levels are shares of the usual cover. Nothing here is learned: where hardly a picture lies between covered and
not, change tells in from out by itself, in any light and on any box, and it does so also where the learned
judge has met nothing like it. `settled` lets change decide there, and only where the judge is unsure.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import maximum_filter1d, median_filter

from nares.base.vocab import Span
from nares.measure.picture.chances import crossing_s
from nares.measure.picture.cover import COVERED
from nares.measure.picture.hidden import BODY, telling_tiles
from nares.measure.picture.opening import Opening
from nares.measure.picture.track import runs, step_s
from nares.measure.picture.two_states import EDGE, ENTER, LOW, usual_cover
from nares.measure.picture.unlike import unlike_the_rest

Floats = NDArray[np.float32]
Bools = NDArray[np.bool_]

LEAVE = 0.35
"""A visit begins above `ENTER` of the usual cover and ends below this share."""

ACROSS = 0.4
"""A visit hides at least this share of what visits usually hide of the rim."""

SHORTEST_S, GAP_S, BRIDGE_S = 0.15, 0.14, 1.0
"""Shorter visits are dropped, shorter gaps closed, shorter occlusions inside a visit bridged."""

EDGE_SEARCH_S = 0.3
"""A visit that takes longer than this to get deep has its edge where it was first seen."""

WITNESS_S = 0.15
"""The rim may show what comes across it this much before or after."""

BETWEEN = 0.2
"""With fewer changed pictures than this between covered and not, in and out are plain by change."""

UNSURE = 0.9
"""Below this mean certainty the judge has not met the like, and plain change decides."""

BOTH, CHANGE_ALONE = 0.92, 0.65
"""Certainty of a visit that judge and change both tell, and of one that change alone tells."""


def settled(opening: Opening, judged: Sequence[Span]) -> tuple[Span, ...]:
    """The judge's visits, or those of change where the judge is unsure and change is plain.

    Args:
        opening: The opening of a session.
        judged: The judge's visits, each with its certainty.
    """
    if not judged or float(np.mean([span.sure for span in judged])) >= UNSURE:
        return tuple(judged)
    changed = changes(opening)
    if changed is None:
        return tuple(judged)
    return tuple(_with_certainty(span, judged) for span in changed)


def changes(opening: Opening) -> tuple[Span, ...] | None:
    """Visits by change alone; None where in and out are not plain by it."""
    track, cover, hidden = opening.track, opening.cover, opening.hidden
    usual = usual_cover(cover, hidden)
    if usual is None or opening.filled or _between(cover, hidden, usual) >= BETWEEN:
        return None
    found = _visits(opening, usual)
    if not found:
        return None
    strange = unlike_the_rest(track, opening.looks, opening.where, found)
    lengths_s = [float(track.at_s[b] - track.at_s[a]) for a, b in found]
    usual_s = float(np.median(lengths_s))
    return tuple(
        _span(opening, usual, a, b)
        for (a, b), odd, length_s in zip(found, strange, lengths_s, strict=True)
        if not (odd and length_s < 0.5 * usual_s)  # brief and of another colour: something else
    )


def _between(cover: Floats, hidden: Floats, usual: float) -> float:
    """The share of the changed pictures that lie between covered and not."""
    changed = cover[(hidden < BODY) & (cover >= LOW * usual)]
    return float((changed < EDGE * usual).mean()) if len(changed) else 1.0


def _with_certainty(span: Span, judged: Sequence[Span]) -> Span:
    """A visit of change with what the judge says of it: both must tell of the same one."""
    shared = [one for one in judged if _overlap(span, one) > 0.5]
    if not shared:
        return Span(span.start_s, span.end_s, CHANGE_ALONE, span.start_within_s, span.end_within_s)
    twin = max(shared, key=lambda one: _overlap(span, one))
    widths = [
        max(own or 0.0, other or 0.0)
        for own, other in (
            (span.start_within_s, twin.start_within_s),
            (span.end_within_s, twin.end_within_s),
        )
    ]
    return Span(span.start_s, span.end_s, max(BOTH, twin.sure), *widths)


def _overlap(one: Span, other: Span) -> float:
    shared = min(one.end_s, other.end_s) - max(one.start_s, other.start_s)
    return shared / max(max(one.end_s, other.end_s) - min(one.start_s, other.start_s), 1e-9)


def _visits(opening: Opening, usual: float) -> list[tuple[int, int]]:
    """First and last picture of every visit."""
    track, cover, hidden = opening.track, opening.cover, opening.hidden
    step = max(step_s(track.at_s), 1e-3)
    steady = 2 * max(1, round(WITNESS_S / step / 2)) + 1
    body = median_filter(hidden, steady) >= BODY  # a single jolted picture hides nothing
    least = _least_hidden(opening, usual)
    across = maximum_filter1d(hidden, 2 * max(2, round(WITNESS_S / step)) + 1) >= least
    held = _held(np.where(body | ~across, 0, cover), max(ENTER * usual, COVERED), LEAVE * usual)
    clear = [(a, b) for a, b in runs(held) if not _passing(track.at_s, a, b, body)]
    return [
        (a, b)
        for a, b in _bridged(track.at_s, clear, body)
        if track.at_s[b] - track.at_s[a] + step_s(track.at_s) >= SHORTEST_S
        and float(hidden[a : b + 1].mean()) >= 0.5 * least
    ]


def _least_hidden(opening: Opening, usual: float) -> float:
    """How much of the rim a visit hides at the least: one tile, and a part of the usual; 0 if none can tell.

    A shadow darkens the opening and hides no rim.
    """
    tiles = telling_tiles(opening.track)
    if tiles.sum() < 8:
        return 0.0
    visiting = opening.hidden[(opening.cover > ENTER * usual) & (opening.hidden < BODY)]
    usually = float(np.median(visiting)) if len(visiting) else 0.0
    return max(ACROSS * min(usually, 0.5), 0.99 / float(tiles.sum()))


def _held(cover: Floats, enter: float, leave: float) -> Bools:
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


def _span(opening: Opening, usual: float, a: int, b: int) -> Span:
    """When the visit from picture ``a`` to picture ``b`` began and ended."""
    at, cover, level = opening.track.at_s, opening.cover, EDGE * usual
    over = cover.astype(np.float64) - level
    step, last = step_s(at), len(at) - 1
    near = max(1, round(EDGE_SEARCH_S / max(step, 1e-3)))
    deep = np.flatnonzero(cover[a : b + 1] >= level) + a
    first = int(deep[0]) if len(deep) and deep[0] - a <= near else a
    final = int(deep[-1]) if len(deep) and b - deep[-1] <= near else b
    start = crossing_s(over, at, first - 1, first) if first > 0 else float(at[0])
    end = crossing_s(over, at, final, final + 1) if final < last else float(at[-1]) + step
    widths = (step * (1 + first - a), step * (1 + b - final))
    return Span(min(start, end), max(start, end), BOTH, *widths)
