"""What is in an opening, from its own pictures over the session.

Conventions
-----------
*Cover* is the share of the opening that looks different from the empty opening beyond noise, 0 to 1.
*Hidden* is the share of the panel tiles around the rim that do not match, 0 to 1: a snout comes across one
side of the rim, a body in front hides most of it. Both are judged against this session's own values;
the numbers below are about geometry and noise, not about any one recording.

Nothing here knows which opening it looks at, nor what a nose is: something that reaches across the rim
into the opening is in it.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import maximum_filter1d, median_filter

from nares.base.vocab import Span
from nares.measure.patch import CELLS, Cells, cells
from nares.measure.rim import crosses_rim, fitted, foreign_on_panel

Floats = NDArray[np.float32]
Bools = NDArray[np.bool_]

SAMPLE = 320
"""Pictures compared with each other to find the empty opening."""

NOISE_FLOOR = (1.0, 0.7, 0.7)
"""Least spread believed of brightness and the two colour differences. [of 255]"""

COVERED = 0.2
"""Less of the opening changed than this is a reflection, a shadow's edge or a nose tip at the rim."""

BODY = 0.75
"""More of the rim hidden than this is something in front of the box, not something in the opening."""

ENTER, LEAVE, EDGE = 0.55, 0.35, 0.7
"""Shares of the usual cover. A visit begins above the first and ends below the second; its edges are set
at the third, because what is in reaches well past the rim and not just to it."""

SIGHTED = 92
"""Percentile of a tile's match taken as its match in plain sight: it may be hidden for most of a session."""

TELLING, ACROSS = 0.6, 0.4
"""A tile that usually matches this well can tell. A visit hides this share of what visits usually hide."""

LOW, BLURRED = 0.25, 0.33
"""Cover below 0.25 of the usual is none. With a third of the others in between there are not two states."""

TURNED = 1.5
"""The commoner state is the occupied one when this much more of its panel looks foreign."""

SHORTEST_S, GAP_S, BRIDGE_S = 0.15, 0.14, 1.0
"""Shorter visits are dropped, shorter gaps closed, shorter occlusions inside a visit bridged."""

EDGE_SEARCH_S = 0.3
"""A visit that takes longer than this to get deep has its edge where it was first seen."""

WITNESS_S = 0.15
"""The rim may show what comes across it this much before or after: single sights of small tiles are noisy."""

CARRY_S = 0.5
"""Pictures without the box are bridged for this long, and judged where the box last was beyond it."""

UNLIKE, UNLIKE_LEAST = 5.0, 20.0
"""A visit whose colour is this many usual deviations (and levels of 255) from the usual is something else."""


@dataclass(frozen=True, slots=True)
class Track:
    """Everything kept of one opening. ``luma``: (n, CELLS, CELLS); ``colour``: (n, 2, CELLS/2, CELLS/2).

    ``gain``: (n,) brightness of the panel, NaN where not followed. ``match``: (n, tiles) at the rim.
    ``followed``: (n,) whether the box was found.
    """

    at_s: NDArray[np.float64]
    luma: NDArray[np.uint8]
    colour: NDArray[np.uint8]
    gain: Floats
    match: Floats
    followed: Bools


@dataclass(frozen=True, slots=True)
class Occupancy:
    """When the opening was occupied, and what could not be told."""

    spans: tuple[Span, ...]
    notes: tuple[str, ...]
    cover: Floats
    hidden: Floats


@dataclass(frozen=True, slots=True)
class Looks:
    """One state of the opening: typical value and spread of every cell, (3, CELLS * CELLS).

    ``contrast``: how far what goes in differs from it, over brightness and colour together; 0 while unknown.
    """

    value: Floats
    spread: Floats
    contrast: float = 0.0


def occupancy(track: Track, *, what: str) -> Occupancy:
    """Tell when something was in the opening.

    Args:
        track: The opening through the session.
        what: The word for what goes in, for the notes: ``"nose"`` or ``"hand"``.
    """
    if len(track.at_s) == 0:
        return Occupancy((), (f"No picture shows the opening for the {what}.",), _none(), _none())
    where = cells(CELLS)
    hidden = carried_over(track, hidden_share(track))
    first = densest_looks(track, where, unhidden(track, hidden))
    looks, cover = judged(track, first, where, hidden)
    usual = usual_cover(cover, hidden)
    if usual is not None and is_turned_about(track, looks, where, cover, hidden, usual):
        changed = np.flatnonzero((cover > ENTER * usual) & in_view(track))
        first = densest_looks(track, where, changed)
        track = replace(track, match=track.match[:, :0])  # the tiles were learned with something in front
        hidden = hidden_share(track)
    where = fitted(first.value)
    looks, cover = judged(track, first, where, hidden)
    usual = usual_cover(cover, hidden)
    plain = usual is not None and comes_and_goes(cover, hidden, usual)
    if usual is not None and not plain and crosses_rim(looks.value, where):
        other = the_other_state(track, cover, hidden, usual, where)
        if other is None:
            return _always(track, cover, hidden, what)
        looks, cover, usual, plain = *other, True
    if usual is None:
        return _one_state(track, looks, where, cover, hidden, what)
    runs = visits(track, cover, hidden, usual)
    strange = unlike_the_rest(track, looks, where, runs)
    spans = [_span(track, cover, hidden, usual, a, b) for a, b in runs]
    kept, notes = sort_out(spans, strange, what)
    if kept and not two_states(cover, hidden, usual):
        kept = tuple(Span(s.start_s, s.end_s, 0.5 * s.sure) for s in kept)
        notes += (f"In and out are not told apart plainly for the {what}: check these spans by eye.",)
    return Occupancy(kept, notes, cover, hidden)


def is_turned_about(
    track: Track, looks: Looks, where: Cells, cover: Floats, hidden: Floats, usual: float
) -> bool:
    """Whether the commoner of two plain states is the occupied one: it has more on the panel at the rim."""
    if not two_states(cover, hidden, usual) or not crosses_rim(looks.value, where):
        return False
    changed = np.flatnonzero((cover > ENTER * usual) & (hidden < BODY) & in_view(track))
    other = densest_looks(track, where, changed)
    here, there = foreign_on_panel(looks.value, where), foreign_on_panel(other.value, where)
    return here > TURNED * there and not crosses_rim(other.value, where)


def the_other_state(
    track: Track, cover: Floats, hidden: Floats, usual: float, where: Cells
) -> tuple[Looks, Floats, float] | None:
    """The state that differs from the commonest, if it is a plain empty opening; with its cover and usual."""
    changed = np.flatnonzero((cover > ENTER * usual) & (hidden < BODY) & in_view(track))
    looks, turned = judged(track, densest_looks(track, where, changed), where, hidden)
    again = usual_cover(turned, hidden)
    if again is None or crosses_rim(looks.value, where) or not comes_and_goes(turned, hidden, again):
        return None
    return looks, turned, again


def hidden_share(track: Track) -> Floats:
    """Share of the rim's tiles that are hidden in each picture; 0 where no tile can tell."""
    telling = telling_tiles(track)
    if telling.sum() < 4:
        return np.zeros(len(track.at_s), np.float32)
    usual = np.percentile(track.match[:, telling], SIGHTED, axis=0)
    return np.asarray((track.match[:, telling] < 0.5 * usual).mean(axis=1), np.float32)


def telling_tiles(track: Track) -> Bools:
    """Tiles at the rim with enough texture to tell whether they are hidden."""
    if track.match.shape[1] == 0:
        return np.zeros(0, bool)
    return np.asarray(np.percentile(track.match, SIGHTED, axis=0) > TELLING)


def values(track: Track, which: NDArray[np.intp]) -> Floats:
    """Brightness and colour of every cell of some pictures at the session's brightness, (k, 3, cells)."""
    gain = np.where(np.isfinite(track.gain[which]) & (track.gain[which] > 0.05), track.gain[which], 1)
    luma = track.luma[which].astype(np.float32) / gain[:, None, None]
    colour = (track.colour[which].astype(np.float32) - 128) / gain[:, None, None, None]
    wide = colour.repeat(2, axis=2).repeat(2, axis=3)
    return np.asarray(np.concatenate([luma[:, None], wide], axis=1).reshape(len(which), 3, -1), np.float32)


def unhidden(track: Track, hidden: Floats) -> NDArray[np.intp]:
    """Pictures in which the box is in view and most of the rim to be seen, if there are enough of them."""
    in_sight = in_view(track)
    clear = in_sight & (hidden < 0.4)
    return np.flatnonzero(clear if clear.mean() >= 0.05 else in_sight)


def densest_looks(track: Track, where: Cells, among: NDArray[np.intp]) -> Looks:
    """The state that recurs most exactly: an empty opening returns to the same picture, a dog does not."""
    if len(among) == 0:
        among = np.arange(len(track.at_s))
    sample = _spread_out(among)
    seen = values(track, sample)
    near = seen[:, :, (where.reach <= 1.6).ravel()].reshape(len(sample), -1)
    apart = np.stack([np.abs(near - one).mean(axis=1) for one in near])
    count = min(len(sample), max(5, len(sample) // 10))
    centre = int(np.argmin(np.sort(apart, axis=1)[:, count - 1]))
    alike = seen[np.argsort(apart[centre], kind="stable")[:count]]
    value = np.median(alike, axis=0)
    spread = 1.48 * np.median(np.abs(alike - value), axis=0)
    floor = np.array(NOISE_FLOOR, np.float32)[:, None]
    return Looks(np.asarray(value, np.float32), np.asarray(np.maximum(spread, floor), np.float32))


def judged(track: Track, looks: Looks, where: Cells, hidden: Floats) -> tuple[Looks, Floats]:
    """Cover of every picture, judged twice: first against a few pictures, then against all that look alike.

    The second time the spread is that of every picture in the state (shake and exposure included), and a
    cell counts as changed only when it differs by a fair part of what a visit usually changes.
    """
    cover = cover_of(track, looks, where, hidden)
    better = settled(track, looks, where, cover, hidden)
    return better, cover_of(track, better, where, hidden)


def settled(track: Track, looks: Looks, where: Cells, cover: Floats, hidden: Floats) -> Looks:
    """The state from all pictures in it, with the contrast of those that are not."""
    alike = _spread_out(np.flatnonzero((cover < COVERED) & (hidden < 0.4) & in_view(track)))
    changed = _spread_out(np.flatnonzero((cover > COVERED) & (hidden < BODY) & in_view(track)))
    value, spread = looks.value, looks.spread
    if len(alike) >= 20:
        seen = values(track, alike)
        value = np.asarray(np.median(seen, axis=0), np.float32)
        off = np.percentile(np.abs(seen - value), 80, axis=0) / 1.28
        spread = np.asarray(np.maximum(off, np.array(NOISE_FLOOR)[:, None]), np.float32)
    contrast = 0.0
    if len(changed) >= 3:
        inside = where.inside.ravel()
        far = np.sqrt(((values(track, changed)[:, :, inside] - value[:, inside]) ** 2).sum(axis=1))
        noise = np.sqrt((spread[:, inside] ** 2).sum(axis=0))
        contrast = float(np.median(far[far > 5 * noise])) if (far > 5 * noise).any() else 0.0
    return Looks(value, spread, contrast)


def _spread_out(which: NDArray[np.intp]) -> NDArray[np.intp]:
    """At most `SAMPLE` of them, evenly."""
    if len(which) <= SAMPLE:
        return which
    return which[np.linspace(0, len(which) - 1, SAMPLE).astype(np.intp)]


def cover_of(track: Track, looks: Looks, where: Cells, hidden: Floats) -> Floats:
    """Share of the opening that differs from a state, for every picture; (n,)."""
    inside, ring = where.inside.ravel(), where.ring.ravel()
    cover = np.zeros(len(track.at_s), np.float32)
    noise = np.sqrt((looks.spread[:, inside] ** 2).sum(axis=0))
    low, high = np.maximum(3 * noise, 0.25 * looks.contrast), np.maximum(6 * noise, 0.5 * looks.contrast)
    for first in range(0, len(cover), 500):
        which = np.arange(first, min(first + 500, len(cover)))
        seen = values(track, which)
        bias = np.zeros((len(which), 3), np.float32)
        if ring.any():
            bias = np.median(seen[:, :, ring] - looks.value[:, ring], axis=2)
        bias[hidden[which] > 0.4] = 0
        far = np.sqrt(((seen[:, :, inside] - bias[:, :, None] - looks.value[:, inside]) ** 2).sum(axis=1))
        cover[which] = np.clip((far - low) / (high - low), 0, 1).mean(axis=1)
    cover[~in_view(track)] = 0
    return carried_over(track, cover)


def in_view(track: Track) -> Bools:
    """Pictures in which the box was found, or missed only briefly; all when it was never really followed."""
    seen = track.followed.copy()
    for a, b in _runs(~track.followed):
        seen[a : b + 1] = track.at_s[b] - track.at_s[a] <= CARRY_S
    return seen if seen.mean() >= 0.5 else np.ones(len(seen), bool)


def carried_over(track: Track, seen: Floats) -> Floats:
    """What was seen, carried over short stretches in which the box was not found."""
    known = track.followed.copy()
    for a, b in _runs(~track.followed):
        known[a : b + 1] = track.at_s[b] - track.at_s[a] > CARRY_S
    places = np.flatnonzero(known)
    if len(places) in (0, len(seen)):
        return seen
    return np.interp(np.arange(len(seen)), places, seen[places]).astype(np.float32)


def comes_and_goes(cover: Floats, hidden: Floats, usual: float) -> bool:
    """Whether there are two plain states, and the rim is hidden in the covered one and not in the other."""
    seen = hidden < BODY
    off, covered = seen & (cover < LOW * usual), seen & (cover >= LOW * usual)
    if not off.any() or not covered.any():
        return False
    more = float(np.median(hidden[covered])) - float(np.median(hidden[off]))
    return more >= 0.1 and two_states(cover, hidden, usual)


def two_states(cover: Floats, hidden: Floats, usual: float) -> bool:
    """Whether little lies between covered and not.

    A hand that stays and moves about gives every cover there is; one that comes and goes gives two.
    """
    changed = cover[(hidden < BODY) & (cover >= LOW * usual)]
    return bool(len(changed)) and float((changed < EDGE * usual).mean()) < BLURRED


def usual_cover(cover: Floats, hidden: Floats) -> float | None:
    """The cover of this session's usual visit; None when nothing ever went in."""
    seen = cover[hidden < BODY]
    level = 0.3
    usual = 0.0
    for _ in range(6):
        high = seen[seen > max(level, COVERED)]
        if len(high) < 3:
            return None
        usual = float(np.median(high))
        level = 0.5 * usual
    return usual


def visits(track: Track, cover: Floats, hidden: Floats, usual: float) -> list[tuple[int, int]]:
    """First and last picture of every visit."""
    steady = 2 * max(1, round(WITNESS_S / max(_step_s(track.at_s), 1e-3) / 2)) + 1
    body = median_filter(hidden, steady) >= BODY  # a single jolted picture hides nothing
    least = least_hidden(track, cover, hidden, usual)
    around = 2 * max(2, round(WITNESS_S / max(_step_s(track.at_s), 1e-3))) + 1
    across = maximum_filter1d(hidden, around) >= least
    held = hysteresis(np.where(body | ~across, 0, cover), max(ENTER * usual, COVERED), LEAVE * usual)
    clear = [(a, b) for a, b in _runs(held) if not _passing(track.at_s, a, b, body)]
    runs = _bridged(track.at_s, clear, body)
    step = _step_s(track.at_s)
    return [
        (a, b)
        for a, b in runs
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


def unlike_the_rest(track: Track, looks: Looks, where: Cells, runs: list[tuple[int, int]]) -> Bools:
    """Which visits show another colour than the others: a dog at the hand's opening, a leg, a toy."""
    if len(runs) < 4:
        return np.zeros(len(runs), bool)
    colours = np.array([_colour_in(track, looks, where, a, b) for a, b in runs])
    middle = np.median(colours, axis=0)
    apart = np.abs(colours - middle).max(axis=1)
    return np.asarray(apart > max(UNLIKE * float(np.median(apart)), UNLIKE_LEAST), np.bool_)


def _colour_in(track: Track, looks: Looks, where: Cells, a: int, b: int) -> Floats:
    """Mean brightness and colour of the cells that changed during a visit, (3,)."""
    which = np.unique(np.linspace(a, b, 12).astype(np.intp))
    inside = where.inside.ravel()
    seen, empty = values(track, which)[:, :, inside], looks.value[:, inside]
    changed = (np.abs(seen - empty) / looks.spread[:, inside]).max(axis=1) > 8
    if not changed.any():
        return np.asarray(np.median(seen, axis=(0, 2)), np.float32)
    return np.array([seen[:, plane][changed].mean() for plane in range(3)], np.float32)


def sort_out(spans: list[Span], strange: Bools, what: str) -> tuple[tuple[Span, ...], tuple[str, ...]]:
    """Drop short visits of something else, doubt long ones, and say so."""
    usual_s = float(np.median([s.end_s - s.start_s for s in spans])) if spans else 0.0
    kept, notes = [], []
    for span, odd in zip(spans, strange, strict=True):
        if span.end_s - span.start_s < SHORTEST_S:
            continue
        if not odd:
            kept.append(span)
        elif span.end_s - span.start_s >= 0.5 * usual_s:
            kept.append(Span(span.start_s, span.end_s, 0.5 * span.sure))
            notes.append(
                f"What was in the opening at {span.start_s:.1f} s does not look like the usual {what}."
            )
    return tuple(kept), tuple(notes)


def hysteresis(cover: Floats, enter: float, leave: float) -> Bools:
    """True from rising above ``enter`` until falling below ``leave``."""
    state = np.where(cover >= enter, 1, np.where(cover < leave, 0, -1))
    known = np.where(state >= 0, np.arange(len(state)), 0)
    np.maximum.accumulate(known, out=known)
    return np.asarray(state[known] == 1)


def _one_state(
    track: Track, looks: Looks, where: Cells, cover: Floats, hidden: Floats, what: str
) -> Occupancy:
    if crosses_rim(looks.value, where):
        return _always(track, cover, hidden, what)
    return Occupancy((), (f"No {what} was seen in the opening.",), cover, hidden)


def _always(track: Track, cover: Floats, hidden: Floats, what: str) -> Occupancy:
    start, end = float(track.at_s[0]), float(track.at_s[-1]) + _step_s(track.at_s)
    note = f"The {what} is in the opening in every picture: judged by what crosses the rim, not by change."
    return Occupancy((Span(start, end, 0.8),), (note,), cover, hidden)


def _bridged(at_s: NDArray[np.float64], runs: list[tuple[int, int]], body: Bools) -> list[tuple[int, int]]:
    """Close short gaps, and longer ones in which something in front hid the box."""
    joined: list[tuple[int, int]] = []
    for a, b in runs:
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


def _span(track: Track, cover: Floats, hidden: Floats, usual: float, a: int, b: int) -> Span:
    at, last = track.at_s, len(track.at_s) - 1
    near = max(1, round(EDGE_SEARCH_S / max(_step_s(at), 1e-3)))
    deep = np.flatnonzero(cover[a : b + 1] >= EDGE * usual) + a
    first = int(deep[0]) if len(deep) and deep[0] - a <= near else a
    final = int(deep[-1]) if len(deep) and b - deep[-1] <= near else b
    level = EDGE * usual
    start = _crossing(at, cover, first - 1, first, level) if first > 0 else float(at[0])
    end = _crossing(at, cover, final, final + 1, level) if final < last else float(at[-1]) + _step_s(at)
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


def _runs(held: Bools) -> list[tuple[int, int]]:
    """First and last index of every stretch of True."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], held, [False]]).astype(np.int8)))
    return [(int(a), int(b) - 1) for a, b in edges.reshape(-1, 2)]


def _step_s(at_s: NDArray[np.float64]) -> float:
    return float(np.median(np.diff(at_s))) if len(at_s) > 1 else 0.0


def _none() -> Floats:
    return np.zeros(0, np.float32)
