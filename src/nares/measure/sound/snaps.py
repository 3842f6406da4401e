"""Short sounds that may be a snap: where they begin and what they are like.

Conventions
-----------
A *snap* is a sudden rise of the sound above 3.5 kHz. ``at_s`` is where its envelope first reaches a
quarter of its peak. Levels are in dB of power against full scale. One row per snap; the samples
themselves are not kept.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from nares.measure.sound.stream import LEAD, RATE_HZ, STRETCH_S, Stretch

FRAME = 48
"""Samples in a frame of the envelope: 1 ms."""
HIGH_HZ = 3500.0
CONTRAST_DB = 4.5
"""A snap stands out by this much over the 25 ms before it. [dB]"""
APART = 14
"""Of two rises nearer than this only the higher is a snap. [ms]"""
ECHO_S = 0.012
CALM = 40
"""Samples for which the sound stays low before a snap begins."""
WINDOW = 512
EDGES_HZ = np.geomspace(300.0, 16_000.0, 21)
FINE_EDGES = np.unique(np.round(np.geomspace(1000.0, 15_000.0, 60) / (RATE_HZ / WINDOW))).astype(np.intp)
"""Bounds of the fine bands: as narrow as the window lets them be where clickers ring."""
FINE = FINE_EDGES.size - 1
STEPS_MS = ((0, 2), (2, 5), (5, 10), (10, 20), (20, 40), (40, 80), (80, 160))
EARLIER_MS = ((-12, -2), (-40, -12), (-160, -40))
QUIET = 1e-11

Rows = NDArray[np.float32]
Times = NDArray[np.float64]
Floats = NDArray[np.floating[Any]]


@dataclass(frozen=True, slots=True)
class Snaps:
    """A table of snaps.

    ``at_s``: shape (n,). ``spectrum`` and ``before``: 20 bands, dB, shape (n, 20), of the 11 ms from the
    snap and the 11 ms before it. ``steps``: envelope above 3.5 kHz in seven steps after the snap, dB, shape
    (n, 7). ``earlier``: the same in three steps before it, shape (n, 3). ``form``: peak over mean of the
    spectrum (dB), time to peak (ms), crest of the envelope (dB), shape (n, 3). ``fine``, ``fine_later``,
    ``fine_before``: fine bands from 1 to 15 kHz, dB, of the 11 ms from the snap, the 11 ms after those and
    the 21 ms before it, shape (n, FINE).
    """

    at_s: Times
    spectrum: Rows
    before: Rows
    steps: Rows
    earlier: Rows
    form: Rows
    fine: Rows
    fine_later: Rows
    fine_before: Rows

    def __len__(self) -> int:
        return self.at_s.size

    def take(self, which: NDArray[np.bool_] | NDArray[np.intp]) -> "Snaps":
        """The snaps chosen by a mask or by indices."""
        return _snaps([part[which] for part in self.parts()])

    def parts(self) -> tuple[NDArray[Any], ...]:
        """All columns in order."""
        return (
            self.at_s, self.spectrum, self.before, self.steps, self.earlier, self.form, self.fine,
            self.fine_later, self.fine_before,
        )  # fmt: skip


def no_snaps() -> Snaps:
    """A table without rows."""
    widths = (20, 20, 7, 3, 3, FINE, FINE, FINE)
    return Snaps(np.zeros(0), *(np.zeros((0, n), dtype=np.float32) for n in widths))


def join_snaps(tables: list[Snaps]) -> Snaps:
    """Tables of consecutive stretches as one."""
    if not tables:
        return no_snaps()
    columns = zip(*(table.parts() for table in tables), strict=True)
    return _snaps([np.concatenate(column) for column in columns])


def _snaps(columns: Sequence[NDArray[Any]]) -> Snaps:
    return Snaps(*columns)


def find_snaps(stretch: Stretch) -> Snaps:
    """Every snap that begins inside a stretch."""
    from scipy.signal import sosfilt

    # Single precision is enough above 3.5 kHz and costs half.
    power = np.asarray(sosfilt(_high_pass(), stretch.sound), dtype=np.float32) ** 2
    frames_db = _db(power[: power.size // FRAME * FRAME].reshape(-1, FRAME).mean(axis=1))
    peaks = _peaks(frames_db)
    if not peaks.size:
        return no_snaps()
    onsets, rise = _onsets(power, peaks)
    mine = (onsets >= LEAD) & (onsets < LEAD + STRETCH_S * RATE_HZ)
    onsets, rise = onsets[mine], rise[mine]
    if not onsets.size:
        return no_snaps()
    return without_echoes(_describe(stretch, power, onsets, rise))


def without_echoes(snaps: Snaps) -> Snaps:
    """The snaps without those that are the same rise seen twice: within 12 ms the louder begins stay."""
    kept: list[int] = []
    for i in range(len(snaps)):
        if kept and snaps.at_s[i] - snaps.at_s[kept[-1]] < ECHO_S:
            if snaps.steps[i, 0] > snaps.steps[kept[-1], 0] + 3.0:
                kept[-1] = i
        else:
            kept.append(i)
    return snaps.take(np.array(kept, dtype=np.intp))


@lru_cache(maxsize=1)
def _high_pass() -> Rows:
    from scipy.signal import butter

    return np.asarray(butter(4, HIGH_HZ, "highpass", fs=RATE_HZ, output="sos"), dtype=np.float32)


def _db(power: Floats) -> Floats:
    return np.asarray(10.0 * np.log10(power + QUIET))


def _peaks(frames_db: Floats) -> NDArray[np.intp]:
    """Frames that are the highest nearby and stand out over the 25 ms before."""
    from scipy.ndimage import maximum_filter1d, median_filter

    # Median of the frames 26 to 4 ms before, seen from where the rise can have begun.
    recent = median_filter(frames_db, size=23, mode="nearest", origin=0)
    recent = np.concatenate([np.full(15, recent[0]), recent[:-15]])
    highest = frames_db >= maximum_filter1d(frames_db, APART + 1, mode="nearest")
    return np.flatnonzero(highest & (frames_db - recent >= CONTRAST_DB) & (frames_db > -95.0))


def _onsets(power: Floats, peaks: NDArray[np.intp]) -> tuple[NDArray[np.intp], Floats]:
    """First sample at a quarter of the peak's amplitude, and the time from there to the peak in ms."""
    from scipy.ndimage import uniform_filter1d

    reach = np.arange(-10 * FRAME, 2 * FRAME)
    where = np.clip(peaks[:, None] * FRAME + reach, 0, power.size - 1)
    envelope = np.sqrt(np.clip(uniform_filter1d(power[where], 16, axis=1), 0.0, None))
    base = np.median(envelope[:, : 4 * FRAME], axis=1)
    tops = np.argmax(envelope, axis=1)
    top = envelope[np.arange(peaks.size), tops]
    low = envelope < (base + 0.25 * (top - base))[:, None]
    # Back from the top to the last time the sound was low for a while: noise before it does not matter.
    calm = uniform_filter1d(low.astype(np.float32), CALM, axis=1, origin=(CALM - 1) // 2) > 1.0 - 0.5 / CALM
    calm &= np.arange(reach.size)[None, :] < tops[:, None]
    first = reach.size - 1 - np.argmax(calm[:, ::-1], axis=1) + 1
    first = np.where(calm.any(axis=1), np.minimum(first, tops), np.argmax(~low, axis=1))
    rise_ms = (tops - first) / FRAME
    return where[np.arange(peaks.size), first], rise_ms


def _describe(stretch: Stretch, power: Floats, onsets: NDArray[np.intp], rise_ms: Floats) -> Snaps:
    bins, later = _bins(stretch, onsets - 24), _bins(stretch, onsets - 24 + WINDOW - 160)
    before, earlier = _bins(stretch, onsets - WINDOW - 48), _bins(stretch, onsets - 2 * WINDOW - 48)
    total = np.concatenate([[0.0], np.cumsum(power, dtype=np.float64)])
    columns: tuple[Floats, ...] = (
        _bands(bins),
        _bands(before),
        _levels(total, onsets, STEPS_MS),
        _levels(total, onsets, EARLIER_MS),
        np.stack([_peakedness(bins), rise_ms, _crest(power, onsets)], axis=1),
        _fine(bins),
        _fine(later),
        _fine(0.5 * (before + earlier)),
    )
    at_s = (onsets - LEAD + stretch.first) / RATE_HZ
    return Snaps(at_s, *(np.asarray(column, dtype=np.float32) for column in columns))


def _bins(stretch: Stretch, starts: NDArray[np.intp]) -> Floats:
    """Power spectrum of 512 samples from each start, shape (n, 257); steep front, soft end."""
    from scipy.fft import rfft

    pieces = stretch.sound[starts[:, None] + np.arange(WINDOW)] * _window()
    heard = rfft(pieces, axis=1)
    scale = np.float32(1.0 / float(np.sum(_window() ** 2)) / (WINDOW / 2))
    return np.asarray((heard.real**2 + heard.imag**2) * scale)


@lru_cache(maxsize=1)
def _window() -> Rows:
    window = np.ones(WINDOW, dtype=np.float32)
    window[:24] = np.sin(np.linspace(0, np.pi / 2, 24)) ** 2
    window[-160:] = np.cos(np.linspace(0, np.pi / 2, 160)) ** 2
    return window


def _bands(bins: Floats) -> Floats:
    edges = np.round(EDGES_HZ / (RATE_HZ / WINDOW)).astype(int)
    total = np.concatenate([np.zeros((bins.shape[0], 1)), np.cumsum(bins, axis=1, dtype=np.float64)], axis=1)
    upper = np.maximum(edges[1:], edges[:-1] + 1)
    return _db(np.clip(total[:, upper] - total[:, edges[:-1]], 0.0, None))


def _fine(bins: Floats) -> Floats:
    return _db(np.add.reduceat(bins, FINE_EDGES, axis=1)[:, :-1])


def _levels(total: Floats, onsets: NDArray[np.intp], steps_ms: tuple[tuple[int, int], ...]) -> Floats:
    columns = []
    for from_ms, to_ms in steps_ms:
        start = np.clip(onsets + from_ms * FRAME, 0, total.size - 1)
        end = np.clip(onsets + to_ms * FRAME, 0, total.size - 1)
        columns.append(_db(np.clip(total[end] - total[start], 0.0, None) / np.maximum(end - start, 1)))
    return np.stack(columns, axis=1)


def _peakedness(bins: Floats) -> Floats:
    band = bins[:, 16:128] + QUIET * 1e-3
    return np.asarray(10.0 * np.log10(band.max(axis=1) / band.mean(axis=1)))


def _crest(power: Floats, onsets: NDArray[np.intp]) -> Floats:
    pieces = power[np.clip(onsets[:, None] + np.arange(10 * FRAME), 0, power.size - 1)] + QUIET
    return np.asarray(10.0 * np.log10(pieces.max(axis=1) / pieces.mean(axis=1)))
