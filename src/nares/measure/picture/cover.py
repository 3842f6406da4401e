"""The empty opening, found without being told, and how much of the opening differs from it.

Conventions
-----------
*Cover* is the share of the opening that looks different from the empty opening beyond noise, 0 to 1, in every
picture. A state of the opening is `Looks`: shape (3, cells), brightness and two colour differences, of 255.
Noise and contrast are this session's own; the numbers below are about geometry and noise.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nares.measure.picture.hidden import BODY
from nares.measure.picture.patch import Cells
from nares.measure.picture.track import Track, carried_over, in_view, usual_gain, values

Floats = NDArray[np.float32]

SAMPLE = 320
"""Pictures compared with each other to find the empty opening."""

NOISE_FLOOR = (1.0, 0.7, 0.7)
"""Least spread believed of brightness and the two colour differences. [of 255]"""

COVERED = 0.2
"""Less of the opening changed than this is a reflection, a shadow's edge or a nose tip at the rim."""


@dataclass(frozen=True, slots=True)
class Looks:
    """One state of the opening: typical value and spread of every cell, (3, CELLS * CELLS).

    ``contrast``: how far what goes in differs from it, over brightness and colour together; 0 while unknown.
    """

    value: Floats
    spread: Floats
    contrast: float = 0.0


def densest_looks(track: Track, where: Cells, among: NDArray[np.intp]) -> Looks:
    """The state that recurs most exactly: an empty opening returns to the same picture, a dog does not."""
    if len(among) == 0:
        among = np.arange(len(track.at_s))
    sample = spread_out(among)
    seen = values(track, sample)
    near = seen[:, :, (where.reach <= 1.6).ravel()].reshape(len(sample), -1)
    apart = _differences(near)
    count = min(len(sample), max(5, len(sample) // 10))
    centre = int(np.argmin(np.sort(apart, axis=1)[:, count - 1]))
    alike = seen[np.argsort(apart[centre], kind="stable")[:count]]
    value = np.median(alike, axis=0)
    spread = 1.48 * np.median(np.abs(alike - value), axis=0)
    floor = np.array(NOISE_FLOOR, np.float32)[:, None]
    return Looks(np.asarray(value, np.float32), np.asarray(np.maximum(spread, floor), np.float32))


def _differences(looks: Floats) -> Floats:
    """Mean difference of every two looks (k, cells), each pair taken once; (k, k)."""
    apart = np.zeros((len(looks), len(looks)), np.float32)
    for index, one in enumerate(looks):
        apart[index, index:] = apart[index:, index] = np.abs(looks[index:] - one).mean(axis=1)
    return apart


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
    alike = spread_out(np.flatnonzero((cover < COVERED) & (hidden < 0.4) & in_view(track)))
    changed = spread_out(np.flatnonzero((cover > COVERED) & (hidden < BODY) & in_view(track)))
    value, spread = looks.value, looks.spread
    if len(alike) >= 20:
        seen = values(track, alike)
        value = np.asarray(np.median(seen, axis=0), np.float32)
        off = np.percentile(np.abs(seen - value), 80, axis=0) / 1.28
        spread = np.asarray(np.maximum(off, np.array(NOISE_FLOOR)[:, None]), np.float32)
    contrast = 0.0
    if len(changed) >= 3:
        inside = np.flatnonzero(where.inside)
        far = np.sqrt(((values(track, changed, inside) - value[:, inside]) ** 2).sum(axis=1))
        noise = np.sqrt((spread[:, inside] ** 2).sum(axis=0))
        contrast = float(np.median(far[far > 5 * noise])) if (far > 5 * noise).any() else 0.0
    return Looks(value, spread, contrast)


def spread_out(which: NDArray[np.intp]) -> NDArray[np.intp]:
    """At most `SAMPLE` of them, evenly."""
    if len(which) <= SAMPLE:
        return which
    return which[np.linspace(0, len(which) - 1, SAMPLE).astype(np.intp)]


def off_by(
    track: Track,
    steady: Track,
    looks: Looks,
    which: NDArray[np.intp],
    cell: NDArray[np.intp],
    ring: NDArray[np.intp],
    hidden: Floats,
) -> tuple[Floats, Floats, Floats]:
    """How far cells are from a state, (k, 3, cells), told three ways.

    At the brightness of the panel, as exposure wants it; with what the ring of panel around the opening does
    taken out, as even shade wants it; and at the session's usual brightness, because sun and shadow on the
    panel do not reach into a box. What is in the opening is far in all three.
    """
    off = values(track, which, cell) - looks.value[:, cell]
    raw = values(steady, which, cell) - looks.value[:, cell]
    bias = np.zeros((len(which), 3), np.float32)
    if len(ring):
        bias = np.median(values(track, which, ring) - looks.value[:, ring], axis=2)
    bias[hidden[which] > 0.4] = 0
    return off, off - bias[:, :, None], raw


def least_far(ways: tuple[Floats, Floats, Floats]) -> Floats:
    """The least of the distances told in different ways, (k, cells)."""
    return np.asarray(np.sqrt(np.min([(off**2).sum(axis=1) for off in ways], axis=0)), np.float32)


def cover_of(track: Track, looks: Looks, where: Cells, hidden: Floats) -> Floats:
    """Share of the opening that differs from a state, for every picture; (n,)."""
    inside, ring = np.flatnonzero(where.inside), np.flatnonzero(where.ring)
    cover = np.zeros(len(track.at_s), np.float32)
    noise = np.sqrt((looks.spread[:, inside] ** 2).sum(axis=0))
    low, high = np.maximum(3 * noise, 0.25 * looks.contrast), np.maximum(6 * noise, 0.5 * looks.contrast)
    steady = usual_gain(track)
    for first in range(0, len(cover), 500):
        which = np.arange(first, min(first + 500, len(cover)))
        far = least_far(off_by(track, steady, looks, which, inside, ring, hidden))
        changed = np.clip((far - low) / (high - low), 0, 1)
        cover[which] = changed.T.copy().mean(
            axis=0
        )  # cell after cell, whatever the layout: the same to the bit
    cover[~in_view(track)] = 0
    return carried_over(track, cover)
