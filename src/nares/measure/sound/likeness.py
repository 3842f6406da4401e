"""What a snap is like by itself, and how like it is to known snaps of one clicker.

Conventions
-----------
The *shape* of a snap is its spectrum with the sound just before it taken away, in dB relative to its total
above 1 kHz, so that distance and level drop out; its *fade* is how the envelope falls after it. All rows
are one snap each.
"""

import numpy as np
from numpy.typing import NDArray

from nares.measure.sound.snaps import Snaps

Rows = NDArray[np.float64]
FAINT_DB = -30.0
"""Parts of a shape below this do not count. [dB]"""
FIRST_BAND = 6
"""Bands from 1 kHz up tell clickers apart; below, rooms and voices do."""
MOST_KNOWN = 160
SPREAD_KNOWN = 20
"""So many witnesses, spread over the recording: an hour is judged like the half minutes learned from."""
CLOSE_DB = 4.0


def power(db: NDArray[np.float32]) -> Rows:
    """DB to power."""
    return np.asarray(10.0 ** (np.asarray(db, dtype=np.float64) / 10.0))


def shapes(snaps: Snaps) -> Rows:
    """Spectral shapes, dB, shape (n, 20)."""
    net = np.clip(power(snaps.spectrum) - power(snaps.before), 1e-12, None)
    total = net[:, FIRST_BAND:].sum(axis=1, keepdims=True)
    return np.asarray(np.clip(10.0 * np.log10(net / total), FAINT_DB, 15.0))


def risen_db(snaps: Snaps) -> Rows:
    """How far each snap stands above the sound before it, above 1 kHz, dB, shape (n,)."""
    now, then = power(snaps.spectrum)[:, FIRST_BAND:].sum(1), power(snaps.before)[:, FIRST_BAND:].sum(1)
    return np.asarray(10.0 * np.log10((now + 1e-12) / (then + 1e-12)))


def fades(snaps: Snaps) -> Rows:
    """Envelope after the snap relative to its first 2 ms, dB, shape (n, 6)."""
    return np.asarray(np.clip(snaps.steps[:, 1:] - snaps.steps[:, :1], -50.0, 20.0), dtype=np.float64)


def alone_rows(snaps: Snaps) -> Rows:
    """What is known of each snap without any other, shape (n, 33)."""
    earlier = np.clip(snaps.earlier - snaps.steps[:, :1], -60.0, 20.0)
    return np.concatenate(
        [shapes(snaps), risen_db(snaps)[:, None], fades(snaps), earlier, snaps.form], axis=1
    ).astype(np.float64)


def distances(snaps: Snaps, known: Snaps) -> Rows:
    """How unlike snaps are to known ones: dB of shape and fade, shape (n, m)."""
    ours, theirs = _places(snaps), _places(known)
    squares = (ours**2).sum(1)[:, None] + (theirs**2).sum(1)[None, :] - 2 * ours @ theirs.T
    return np.asarray(np.sqrt(np.clip(squares, 0.0, None)))


def _places(snaps: Snaps) -> Rows:
    shape, fade = shapes(snaps)[:, FIRST_BAND:], np.clip(fades(snaps)[:, :4], -30.0, 10.0)
    return np.concatenate([shape / np.sqrt(shape.shape[1]), 0.6 * fade / np.sqrt(4.0)], axis=1)


def among_rows(snaps: Snaps, chances: Rows, known: Snaps, weights: Rows, *, same: Rows | None) -> Rows:
    """How each snap stands to the known ones and to its neighbours in time, shape (n, 12).

    Args:
        snaps: The snaps judged, in time order.
        chances: Their chances by themselves, shape (n,).
        known: Snaps taken to be the clicker's.
        weights: How far each known one is trusted, shape (m,).
        same: For each known snap its index in ``snaps`` (a snap is no witness for itself), or None.
    """
    apart = distances(snaps, known)
    if same is not None:
        apart[same.astype(int), np.arange(len(known))] = 99.0
    kinship = np.exp(-0.5 * (apart / CLOSE_DB) ** 2)
    support = np.log10((kinship * weights).sum(1) + 1e-3)
    nearest = np.sort(np.concatenate([apart, np.full((len(snaps), 3), 25.0)], axis=1), axis=1)[:, :3]
    usual = _weighted_median(known.steps[:, 0].astype(np.float64), weights)
    loudness = np.clip(snaps.steps[:, 0] - usual, -40.0, 40.0)
    trusted = np.full(len(snaps), np.log10(min(float(weights.sum()), 25.0) + 1e-3))
    agreed = np.full(len(snaps), _agreement(known, weights))
    return np.column_stack(
        [support, support - trusted, np.clip(nearest, 0, 25), loudness, np.abs(loudness), trusted, agreed,
         *_neighbours(snaps, chances * np.exp(-0.5 * (nearest[:, 0] / 6.0) ** 2))]
    )  # fmt: skip


def _agreement(known: Snaps, weights: Rows) -> float:
    """How far the known snaps are from one another, dB."""
    if len(known) < 2:
        return 12.0
    apart = distances(known, known) + 99.0 * np.eye(len(known))
    return float(np.average(np.minimum(apart.min(axis=1), 25.0), weights=weights + 1e-6))


def _neighbours(snaps: Snaps, belief: Rows) -> tuple[Rows, Rows, Rows]:
    """Best partner 40 to 400 ms later and earlier, and the crowd of other snaps within half a second."""
    later, earlier, crowd = np.zeros(len(snaps)), np.zeros(len(snaps)), np.zeros(len(snaps))
    low, high = np.searchsorted(snaps.at_s, snaps.at_s - 0.5), np.searchsorted(snaps.at_s, snaps.at_s + 0.5)
    for i in range(len(snaps)):
        gap = snaps.at_s[low[i] : high[i]] - snaps.at_s[i]
        near, loud = belief[low[i] : high[i]], snaps.steps[low[i] : high[i], 0]
        later[i] = near[(gap >= 0.04) & (gap <= 0.4)].max(initial=0.0)
        earlier[i] = near[(gap <= -0.04) & (gap >= -0.4)].max(initial=0.0)
        crowd[i] = np.log1p(np.count_nonzero((near < 0.3) & (loud > snaps.steps[i, 0] - 15)))
    return later, earlier, crowd


def _weighted_median(values: Rows, weights: Rows) -> float:
    if not values.size:
        return -40.0
    order = np.argsort(values)
    heaped = np.cumsum(weights[order]) + 1e-9
    return float(values[order][np.searchsorted(heaped, heaped[-1] / 2)])


def pick_known(snaps: Snaps, chances: Rows) -> tuple[Snaps, Rows, NDArray[np.intp]]:
    """The snaps of a session that most likely are its clicker's: (snaps, weights, indices)."""
    likely = np.argsort(-chances)[:MOST_KNOWN]
    likely = np.sort(likely[chances[likely] > 0.15])
    if likely.size > SPREAD_KNOWN:
        likely = likely[np.linspace(0, likely.size - 1, SPREAD_KNOWN).round().astype(np.intp)]
    known, weights = snaps.take(likely), chances[likely]
    if len(known) < 2:
        return known, weights, likely
    kinship = np.exp(-0.5 * (distances(known, known) / CLOSE_DB) ** 2)
    np.fill_diagonal(kinship, 0.0)
    crowd = (kinship * weights).sum(1)
    middle = int(np.argmax(crowd * weights))
    near = np.maximum(kinship[middle], 0.02)
    near[middle] = 1.0
    return known, weights * near, likely
