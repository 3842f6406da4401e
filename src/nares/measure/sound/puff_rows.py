"""What each puff is like: by itself, among its neighbours, in the rhythm around it.

Conventions
-----------
One row a puff. Levels in dB, times in units of 100 ms. A *partner* is the puff 110 to 340 ms away that is
most like this one: in sniffing it is the intake before or after.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from nares.measure.sound.bands import HOP_S
from nares.measure.sound.judge import log_odds
from nares.measure.sound.puffs import Breathing, Puffs, Rows

CYCLE_S = (0.11, 0.34)
MOST_KNOWN = 100.0
"""More likely intakes than this add nothing: an hour is judged like the half minutes learned from."""
WINDOW = 200
"""Frames around a puff in which a rhythm is looked for: 1 s."""


def own_rows(air: Breathing, puffs: Puffs) -> Rows:
    """Puffs described without any earlier judgement, shape (n, 40)."""
    colour = _mean_around(air.excess_db, puffs.peak, 5)
    length = (puffs.end_s - puffs.start_s) * 10
    lean = ((puffs.peak + 0.5) * HOP_S - puffs.start_s) / np.maximum(puffs.end_s - puffs.start_s, 0.01)
    level = air.rush_db[puffs.peak]
    voiced = _mean_around(air.voiced[:, None], puffs.peak, 6)
    voiced_wide = _mean_around(air.voiced[:, None], puffs.peak, 60)
    bright = (colour[:, 4] + colour[:, 5] - colour[:, 1] - colour[:, 2])[:, None] / 2
    depth = np.stack([level - _lowest(air.rush_db, puffs.peak, side) for side in (-1, 1)], axis=1)
    alone = np.column_stack(
        [colour, length, lean, level, voiced, voiced_wide, bright, depth, _edgy(air, puffs)]
    )
    look = np.column_stack([colour, 2 * length])
    return np.column_stack(
        [alone, *_partners(puffs, look), *_next_door(puffs, look, bright[:, 0]), _rhythm(air, puffs.peak)]
    )


def among_puffs(air: Breathing, puffs: Puffs, chances: Rows) -> Rows:
    """Puffs described by the first judgement of themselves and their neighbours, shape (n, 15)."""
    times = (puffs.peak + 0.5) * HOP_S
    odds = log_odds(chances)
    columns = [odds, air.rush_db[puffs.peak], _session_gap(air, puffs, chances)]
    for side in (-1, 1):
        partner = np.full(len(puffs), -1, dtype=np.intp)
        best, best_gap, doorstep = np.zeros(len(puffs)), np.zeros(len(puffs)), np.zeros(len(puffs))
        for i in range(len(puffs)):
            near = _near(times, i, side, *CYCLE_S)
            if near.size:
                partner[i] = near[np.argmax(chances[near])]
                best[i], best_gap[i] = chances[partner[i]], abs(times[partner[i]] - times[i]) * 10
            tight = _near(times, i, side, 0.0, 0.11)
            doorstep[i] = chances[tight].max(initial=0.0)
        columns += [best, best_gap, doorstep]
    crowd = [chances[np.abs(times - at_s) < 0.7].sum() for at_s in times]
    return np.column_stack([*columns, np.array(crowd), chances])


def _session_gap(air: Breathing, puffs: Puffs, chances: Rows) -> Rows:
    """How a puff differs from the session's own likely intakes, and how many those are, shape (n, 5)."""
    colour = _mean_around(air.excess_db, puffs.peak, 5)
    length = (puffs.end_s - puffs.start_s) * 10
    weights = chances**2
    known = np.log10(min(float(weights.sum()), MOST_KNOWN) + 0.01)
    if weights.sum() < 1.5:
        return np.tile(np.array([8.0, 0.0, 0.0, 12.0, known]), (len(puffs), 1))
    usual, usual_length = np.average(colour, axis=0, weights=weights), np.average(length, weights=weights)
    apart = colour - usual
    level = apart[:, 2:5].mean(axis=1)
    shape = np.sqrt(((apart - level[:, None])[:, 1:] ** 2).mean(axis=1))
    whole = np.sqrt((apart**2).mean(axis=1))
    return np.column_stack([shape, level, length - usual_length, whole, np.full(len(puffs), known)])


def _mean_around(rows: Rows, at: NDArray[np.intp], reach: int) -> Rows:
    total = np.concatenate([np.zeros((1, rows.shape[1])), np.cumsum(rows, axis=0)])
    low, high = np.clip(at - reach, 0, rows.shape[0]), np.clip(at + reach + 1, 0, rows.shape[0])
    return np.asarray((total[high] - total[low]) / np.maximum(high - low, 1)[:, None])


def _lowest(rush_db: Rows, peaks: NDArray[np.intp], side: int) -> Rows:
    reach = np.clip(peaks[:, None] + side * np.arange(1, 32), 0, rush_db.size - 1)
    return np.asarray(rush_db[reach].min(axis=1))


def _edgy(air: Breathing, puffs: Puffs) -> Rows:
    """How suddenly it rises and falls within 20 ms, and how much of it a snap hid."""
    near = np.clip(puffs.peak[:, None] + np.arange(-12, 13), 0, air.rush_db.size - 1)
    moves = air.rush_db[near][:, 4:] - air.rush_db[near][:, :-4]
    return np.column_stack([moves.max(axis=1), -moves.min(axis=1), air.blanked[near].mean(axis=1)])


def _near(times: NDArray[Any], i: int, side: int, low_s: float, high_s: float) -> NDArray[np.intp]:
    a, b = (times[i] + low_s, times[i] + high_s) if side > 0 else (times[i] - high_s, times[i] - low_s)
    found = np.arange(np.searchsorted(times, a), np.searchsorted(times, b))
    return np.asarray(found[found != i], dtype=np.intp)


def _partners(puffs: Puffs, look: Rows) -> list[Rows]:
    """Unlikeness and distance of the partner on each side, and how even the two distances are."""
    times, columns, gaps = (puffs.peak + 0.5) * HOP_S, [], []
    for side in (-1, 1):
        unlike, gap = np.full(len(puffs), 15.0), np.zeros(len(puffs))
        for i in range(len(puffs)):
            near = _near(times, i, side, *CYCLE_S)
            if near.size:
                apart = np.abs(look[near] - look[i]).mean(axis=1)
                unlike[i], gap[i] = apart.min(), abs(times[near[np.argmin(apart)]] - times[i]) * 10
        columns += [np.minimum(unlike, 15.0), gap]
        gaps.append(gap)
    return [*columns, np.abs(gaps[0] - gaps[1])]


def _next_door(puffs: Puffs, look: Rows, bright: Rows) -> list[Rows]:
    """The neighbours on each side: how far, how much louder and brighter this one is."""
    times, columns = (puffs.peak + 0.5) * HOP_S, []
    for side in (-1, 1):
        other = np.clip(np.arange(len(puffs)) + side, 0, len(puffs) - 1)
        gap = np.minimum(np.abs(times[other] - times) * 10, 5.0)
        near = (gap < 4.0) & (other != np.arange(len(puffs)))
        louder = np.where(near, look[:, 3:5].mean(axis=1) - look[other, 3:5].mean(axis=1), 0.0)
        columns += [gap, louder, np.where(near, bright - bright[other], 0.0)]
    return columns


def _rhythm(air: Breathing, peaks: NDArray[np.intp]) -> Rows:
    """Self-likeness of the rush at 3.3 to 8.5 a second, its period, and agreement between groups."""
    around = np.clip(peaks[:, None] + np.arange(-WINDOW // 2, WINDOW // 2), 0, air.rush_db.size - 1)
    rows = []
    # A few thousand puffs at a time keep a long recording small.
    for part in np.array_split(around, max(1, around.shape[0] // 2000)):
        rows.append(_rhythm_of(air, part))
    return np.concatenate(rows)


def _rhythm_of(air: Breathing, around: NDArray[np.intp]) -> Rows:
    rush = _level_free(np.clip(air.rush_db[around], -1.0, 30.0))
    spectrum = np.abs(np.fft.rfft(rush, 2 * WINDOW, axis=1)) ** 2
    likeness = np.fft.irfft(spectrum, axis=1)
    lags = np.arange(24, 62)
    ratio = likeness[:, lags] / (likeness[:, :1] + 1e-6) * (WINDOW / (WINDOW - lags))
    parts = [_level_free(np.clip(air.excess_db[around, group], -1.0, 30.0)) for group in (2, 3, 4, 5)]
    agree = [_agreement(parts[a], parts[b]) for a, b in ((0, 2), (1, 2), (2, 3))]
    hz = np.arange(spectrum.shape[1]) / (2 * WINDOW * HOP_S)
    beat = spectrum[:, (hz >= 3.3) & (hz <= 8.5)].sum(1) / (
        spectrum[:, (hz >= 0.7) & (hz <= 25)].sum(1) + 1e-6
    )
    return np.column_stack([ratio.max(axis=1), lags[np.argmax(ratio, axis=1)] * HOP_S * 10, *agree, beat])


def _level_free(rows: Rows) -> Rows:
    return np.asarray((rows - rows.mean(axis=1, keepdims=True)) * np.hanning(rows.shape[1]))


def _agreement(one: Rows, other: Rows) -> Rows:
    size = np.sqrt((one**2).sum(1) * (other**2).sum(1)) + 1e-6
    return np.asarray((one * other).sum(axis=1) / size)
