"""The evidence of single pictures becomes visits: where each begins and ends, and how sure that is.

Conventions
-----------
A visit is a first and a last picture, both in it; a span has its edges between pictures, in s. Evidence is in
natural log odds: *odds* of single pictures, *steady* of pictures given their neighbours (``chances``).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import maximum_filter1d

from nares.base.vocab import Span
from nares.measure.picture.chances import crossing_s, steadied
from nares.measure.picture.cover import COVERED
from nares.measure.picture.hidden import BODY, telling_tiles
from nares.measure.picture.judging import edge_weights, judge
from nares.measure.picture.signs import SIGNS, TELL_TALE
from nares.measure.picture.track import Track, in_view, runs, step_s
from nares.measure.sound.judge import Judge, log_odds

Floats = NDArray[np.float32]
Rows = NDArray[np.float64]

HIDDEN = SIGNS.index("hidden")
MEANS = (
    "change 0", "change 2", "change 4", "share reaches", "change reaches", "panel far", "tiles entry",
    "tiles far", "hidden", "slant", "size", "contrast", "noise", "followed", "cover to usual",
    "far change to usual", "telling",
)  # fmt: skip

SHORTEST_S, GAP_S = 0.12, 0.1
"""Shorter visits are dropped, shorter gaps closed."""

NEAR_S = 0.5
"""What a visit is held against before and after it."""

WITNESS_S, A_TILE, ACROSS, SHADOW = 0.15, 0.05, 0.3, -2.0
"""With enough tiles at the rim that can tell, none of them hidden at the time and this much before and
after, and less than this gone of the entry side, it is a shadow at best: log odds of -2."""

SAME = 0.85
"""With at least this share of a visit's own cover next to it, the visit has not ended."""

EMPTY = -3.0
"""Log odds from which down a picture is held to be empty however alike its cover: a box is darker in one
opening while something fills the other."""

WELL_IN, NEARBY = 0.7, 5
"""An edge is agreed between the judge and the picture at which this share of a visit's cover is reached, if
that is no more than so many pictures away."""

AROUND_S, LEARNED_S = 0.53, 1 / 15
"""What lies this near an edge tells how far off it may be; it was learned from pictures 1/15 s apart."""

MAYBE = -1.0
"""Steady log odds from which something may have been in: told in words, not as a visit."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """What the judge makes of every picture. ``signs``: (n, k); ``odds``, ``steady``: (n,)."""

    signs: Floats
    odds: Rows
    steady: Rows


def odds_of(track: Track, signs: Floats, by: Judge) -> Rows:
    """Log odds of every picture that something is in: by the judge, none where the box is out of view.

    Where the rim can tell, what darkens the opening and has come across no rim is a shadow.
    """
    odds = log_odds(by.chance(signs))
    odds[~in_view(track)] = 0.0
    across = across_rim(track, signs)
    if not across.all():
        around = 2 * max(1, round(WITNESS_S / max(step_s(track.at_s), 1e-3))) + 1
        shadow = ~maximum_filter1d(across, around) & in_view(track)
        odds[shadow] = np.minimum(odds[shadow], SHADOW)
    return odds


def across_rim(track: Track, signs: Floats) -> NDArray[np.bool_]:
    """Pictures in which something comes across the rim; all of them where the rim cannot tell."""
    if telling_tiles(track).sum() < TELL_TALE:
        return np.ones(len(signs), bool)
    return np.asarray((signs[:, HIDDEN] > A_TILE) | (signs[:, SIGNS.index("tiles entry")] > ACROSS))


def evidence(track: Track, signs: Floats, odds: Rows) -> Evidence:
    """Single pictures steadied by their neighbours."""
    return Evidence(signs, odds, steadied(odds, track.at_s))


def visits(track: Track, seen: Evidence, *, maybe: bool = False) -> list[tuple[int, int]]:
    """First and last picture of every visit, or of everything that may have been one."""
    joined: list[tuple[int, int]] = []
    for a, b in runs(seen.steady > (MAYBE if maybe else 0.0)):
        if joined and track.at_s[a] - track.at_s[joined[-1][1]] <= GAP_S:
            joined[-1] = (joined[-1][0], b)
        else:
            joined.append((a, b))
    step, across = step_s(track.at_s), across_rim(track, seen.signs)
    return [
        (a, b)
        for a, b in joined
        if track.at_s[b] - track.at_s[a] + step >= SHORTEST_S and across[a : b + 1].mean() >= 0.5
    ]


def held_on(cover: Floats, hidden: Floats, odds: Rows, found: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """Visits drawn out over what looks no different: what was in and has not moved is still in.

    Not over pictures that the judge holds to be empty, unless they lead to another visit.
    """
    joined: list[tuple[int, int]] = []
    for a, b in found:
        usual = float(np.median(cover[a : b + 1]))
        same = (cover >= SAME * usual) & (hidden < BODY) if usual >= COVERED else np.zeros(len(cover), bool)
        before = joined[-1][1] if joined else -1
        if joined and same[before + 1 : a].all():
            a = before + 1
        same &= odds > EMPTY
        while a > 0 and same[a - 1]:
            a -= 1
        while b < len(cover) - 1 and same[b + 1]:
            b += 1
        if joined and a <= before + 1:
            joined[-1] = (joined[-1][0], max(b, before))
        else:
            joined.append((a, b))
    return joined


def visit_row(track: Track, seen: Evidence, a: int, b: int, *, is_hand: bool, strange: bool) -> Rows:
    """The numbers by which a visit is judged."""
    at, odds = track.at_s, np.clip(seen.odds, -7, 7)
    inside = slice(a, b + 1)
    around = ((at >= at[a] - NEAR_S) & (at < at[a])) | ((at > at[b]) & (at <= at[b] + NEAR_S))
    mean = {name: float(seen.signs[inside, SIGNS.index(name)].mean()) for name in MEANS}
    return np.array(
        [
            odds[inside].mean(),
            np.percentile(odds[inside], 20),
            odds[around].max() if around.any() else 0.0,
            odds[around].min() if around.any() else 0.0,
            np.log2(at[b] - at[a] + step_s(at)),
            (seen.signs[inside, HIDDEN] >= BODY).mean(),
            np.clip(np.abs(seen.steady), 0, 4).mean(),
            float(is_hand),
            float(strange),
            *mean.values(),
        ]
    )


def span_of(
    track: Track, seen: Evidence, a: int, b: int, *, sure: float, cover: Floats | None = None
) -> Span:
    """When the visit from picture ``a`` to picture ``b`` began and ended, and how far off that may be."""
    at, last, step = track.at_s, len(track.at_s) - 1, step_s(track.at_s)
    start = crossing_s(seen.odds, at, a - 1, a) if a > 0 else float(at[0])
    end = crossing_s(seen.odds, at, b, b + 1) if b < last else float(at[-1]) + step
    if cover is not None:
        level = cover - WELL_IN * float(np.median(cover[a : b + 1]))
        start = _agreed_s(start, level, at, a) if a > 0 else start
        end = _agreed_s(end, -level, at, b + 1) if b < last else end
    widths = [edge_within_s(track, seen, i, sure) for i in (a, b + 1)]
    return Span(min(start, end), max(start, end), sure, *widths)


def _agreed_s(edge_s: float, level: Floats, at_s: Rows, i: int) -> float:
    """An edge half-way to where the cover rose through its level near picture ``i``, if it did. [s]"""
    near = np.arange(max(1, i - NEARBY), min(len(level), i + NEARBY + 1))
    risen = near[(level[near - 1] < 0) & (level[near] >= 0)]
    if not len(risen):
        return edge_s
    j = int(risen[np.argmin(np.abs(risen - i))])
    return 0.5 * (edge_s + crossing_s(level.astype(np.float64), at_s, j - 1, j))


def edge_row(track: Track, seen: Evidence, i: int, sure: float) -> Rows:
    """What tells how far off the edge before picture ``i`` is, all from 0 up. [s]"""
    step = step_s(track.at_s)
    count = max(2, round(AROUND_S / max(step, 1e-3)))
    around = np.arange(max(0, i - count), min(len(track.at_s), i + count))
    odds = seen.odds[around]
    undecided = float((np.abs(odds) < 2).sum())
    flips = float((np.diff(np.sign(odds)) != 0).sum())
    hidden = float((seen.signs[around, HIDDEN] >= BODY).sum())
    lost = float((~track.followed[around]).sum())
    times = (undecided, max(0.0, flips - 1), hidden, lost)
    return np.array([LEARNED_S, *(step * k for k in times), LEARNED_S * (1 - sure)])


def edge_within_s(track: Track, seen: Evidence, i: int, sure: float) -> float:
    """Half-width of a 95 % interval for the edge before picture ``i``. [s]"""
    off_s = float(edge_row(track, seen, i, sure) @ edge_weights())
    return round(max(off_s, 0.5 * step_s(track.at_s)), 4)


def chance_of(rows: Rows) -> Rows:
    """The chance of each visit, from its numbers."""
    return np.clip(judge("visit").chance(rows), 0.02, 0.99)
