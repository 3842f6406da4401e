"""What a snap is like by itself.

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
