"""Where an intake begins and ends, once a session has shown what its intakes and exhalations sound like.

Conventions
-----------
Air let out follows air drawn in without a pause, so the edge between them is a change of colour, not of
level. The session's own likely intakes give the colour of air drawn in, the moments half a cycle later that
of air let out; each frame is then explained as so much of the one and so much of the other. Where the two
colours are too alike the plain edges stay.
"""

import numpy as np
from numpy.typing import NDArray

from nares.measure.sound.bands import HOP_S
from nares.measure.sound.puffs import Breathing, Puffs, Rows, edge_frame

CONFIDENT = 0.6
FEWEST = 6
ALIKE = 0.97
"""Colours whose cosine is above this cannot be told apart."""
EDGE = 0.25
"""An intake lasts while its amplitude is above this share of its peak: without bias on invented dogs."""
REACH = 32
"""Frames looked at on each side of a peak: 160 ms."""


def refined(air: Breathing, puffs: Puffs, chances: Rows) -> Puffs:
    """Puffs with their edges moved to where the colour changes."""
    likely = np.flatnonzero(chances >= CONFIDENT)
    if likely.size < FEWEST:
        return puffs
    drawn, let_out = _colours(air, puffs, likely)
    weights = 1.0 / (drawn + let_out + 1.0)
    if _cosine(drawn * weights, let_out * weights) > ALIKE:
        return puffs
    start, end = puffs.start_s.copy(), puffs.end_s.copy()
    for i in np.flatnonzero(chances >= 0.3):
        low, high = max(int(puffs.peak[i]) - REACH, 0), min(int(puffs.peak[i]) + REACH, air.rush_db.size)
        amount = _amount(air.bands[low:high], drawn, let_out, weights)
        start[i], end[i] = _edges(amount, int(puffs.peak[i]) - low, low, (start[i], end[i]))
    return Puffs(puffs.peak, start, end)


def _colours(air: Breathing, puffs: Puffs, likely: NDArray[np.intp]) -> tuple[Rows, Rows]:
    """Mean spectra over their floor of air drawn in and, half a cycle after, let out."""
    peaks = puffs.peak[likely]
    gaps = np.diff(peaks)
    paired = (gaps * HOP_S > 0.12) & (gaps * HOP_S < 0.34)
    inside = _net(air.bands, peaks)
    if not paired.any():
        return inside.mean(axis=0), np.zeros(inside.shape[1])
    between = peaks[:-1][paired] + gaps[paired] // 2
    # A lifted share of the loudness: one loud cycle must not speak for all.
    return _typical(inside), _typical(_net(air.bands, between))


def _net(bands: NDArray[np.float32], at: NDArray[np.intp]) -> Rows:
    near = np.clip(at[:, None] + np.arange(-2, 3), 0, bands.shape[0] - 1)
    return np.asarray(np.clip(bands[near].mean(axis=1) - 1.0, 0.0, None), dtype=np.float64)


def _typical(rows: Rows) -> Rows:
    return np.asarray(np.median(rows, axis=0) + 1e-3)


def _amount(bands: NDArray[np.float32], drawn: Rows, let_out: Rows, weights: Rows) -> Rows:
    """How much air is drawn in, in each frame: least squares with no negative parts, shape (t,)."""
    net, inward, outward = (bands - 1.0) * weights, drawn * weights, let_out * weights
    ii, oo, io = float(inward @ inward), float(outward @ outward), float(inward @ outward)
    spread = max(ii * oo - io * io, 1e-12)
    ni, no = net @ inward, net @ outward
    amount = (ni * oo - no * io) / spread
    out = (no * ii - ni * io) / spread
    return np.asarray(np.clip(np.where(out < 0, ni / ii, amount), 0.0, None))


def _edges(amount: Rows, peak: int, low: int, plain: tuple[float, float]) -> tuple[float, float]:
    amplitude = np.sqrt(np.convolve(amount, (0.25, 0.5, 0.25), "same"))
    near = slice(max(peak - 6, 0), peak + 7)
    top = near.start + int(np.argmax(amplitude[near]))
    if amplitude[top] <= 0:
        return plain
    start = edge_frame(amplitude, top, max(top - REACH, 0), EDGE)
    end = edge_frame(amplitude, top, min(top + REACH, amplitude.size - 1), EDGE)
    start_s, end_s = (low + start + 0.5) * HOP_S, (low + end + 0.5) * HOP_S
    return max(start_s, plain[0] - 0.01), min(end_s, plain[1] + 0.01)


def _cosine(one: Rows, other: Rows) -> float:
    size = float(np.linalg.norm(one) * np.linalg.norm(other))
    return float(one @ other) / size if size > 0 else 1.0
