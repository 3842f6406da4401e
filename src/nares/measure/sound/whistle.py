"""A whistle as the marker: one steady tone between 1.8 and 5.5 kHz that suddenly stands there.

Conventions
-----------
Frames of 5 ms. A frame is *tonal* when one narrow peak carries most of the power of its band. A whistle is
at least 60 ms of tonal frames whose pitch moves slowly; its time is where its level first reaches a quarter
of its amplitude. Not learned and not judged on recordings: ``sure`` comes from how pure and how long the
tone is.
"""

import numpy as np

from nares.base.vocab import Mark
from nares.measure.sound.likeness import Rows
from nares.measure.sound.stream import LEAD, RATE_HZ, STRETCH_S, Stretch

HOP = 240
WINDOW = 1024
LOW_BIN, HIGH_BIN = int(1800 * WINDOW / RATE_HZ), int(5500 * WINDOW / RATE_HZ)
SHORTEST_S = 0.06
LONGEST_S = 2.0
PURE = 0.6
GLIDE_HZ = 150.0
"""A whistle's pitch moves less than this in 5 ms. [Hz]"""


def tones(stretch: Stretch) -> Rows:
    """Pitch (Hz), purity (0 to 1) and level (dB) of each frame, shape (400, 3)."""
    from scipy.fft import rfft

    starts = LEAD + HOP // 2 - WINDOW // 2 + HOP * np.arange(STRETCH_S * RATE_HZ // HOP)
    pieces = stretch.sound[starts[:, None] + np.arange(WINDOW)] * np.hanning(WINDOW)
    power = np.abs(rfft(pieces, axis=1)[:, :400]) ** 2 / (WINDOW * WINDOW / 8)
    peak = LOW_BIN + np.argmax(power[:, LOW_BIN:HIGH_BIN], axis=1)
    rows = np.arange(power.shape[0])[:, None]
    tone = power[rows, peak[:, None] + np.arange(-2, 3)].sum(axis=1)
    whole = power[:, 8:].sum(axis=1) + 1e-12
    return np.column_stack([peak * RATE_HZ / WINDOW, tone / whole, 10 * np.log10(tone + 1e-12)])


def find_whistles(frames: list[Rows]) -> tuple[Mark, ...]:
    """Whistles in the frames of consecutive stretches."""
    if not frames:
        return ()
    pitch, pure, level = np.concatenate(frames).T
    floor = np.quantile(level, 0.2)
    tonal = (pure > PURE) & (level > floor + 10.0)
    steady = np.concatenate([[False], np.abs(np.diff(pitch)) < GLIDE_HZ])
    return tuple(
        Mark(_onset_s(level, first), _sure(pure[first:last], last - first))
        for first, last in _runs(tonal & (steady | ~np.roll(tonal, 1)))
        if SHORTEST_S <= (last - first) * HOP / RATE_HZ <= LONGEST_S
    )


def _runs(held: np.ndarray) -> list[tuple[int, int]]:
    """Runs of true frames, with holes of up to 15 ms closed, as (first, last + 1)."""
    on = np.flatnonzero(held)
    if not on.size:
        return []
    splits = np.flatnonzero(np.diff(on) > 4)
    firsts = on[np.concatenate([[0], splits + 1])]
    lasts = on[np.concatenate([splits, [on.size - 1]])] + 1
    return [(int(a), int(b)) for a, b in zip(firsts, lasts, strict=True)]


def _onset_s(level: Rows, first: int) -> float:
    """Where the level first comes within 12 dB of what it soon reaches: a quarter in amplitude."""
    top = level[first : first + 12].max()
    frame = first
    while frame > 0 and level[frame - 1] > top - 12.0 and first - frame < 6:
        frame -= 1
    return round((frame + 0.5) * HOP / RATE_HZ, 4)


def _sure(pure: Rows, frames: int) -> float:
    return round(float(np.clip(np.median(pure), 0, 1) * min(1.0, frames * HOP / RATE_HZ / 0.12)), 4)
