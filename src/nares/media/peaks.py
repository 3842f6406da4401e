"""The outline of the sound, for drawing a waveform."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from nares.base.errors import OutOfRange
from nares.measure.inputs import SoundBlock
from nares.media.joined import Joined
from nares.media.recording import Recording, open_recording


def waveform_peaks(recording: Path | Recording | Joined, per_second: int = 100) -> list[float]:
    """The largest magnitude in each bin of the sound, from time zero; empty where there is no sound.

    Args:
        recording: The recording: its path, or an open one, perhaps of several parts.
        per_second: Bins a second. [1/s]

    Returns:
        Values from 0 to about 1, one for each bin up to the end of the sound.

    Raises:
        Unusable: If the recording cannot be read.
        OutOfRange: If ``per_second`` is less than 1 or more than the sampling rate.
    """
    peaks: list[float] = []
    with open_recording(recording) if isinstance(recording, Path) else recording as opened:
        if opened.header.audio is None:
            return peaks
        for block in opened.play(pictures=False):
            if isinstance(block, SoundBlock):
                _raise_peaks(peaks, block, per_second)
    return peaks


def _raise_peaks(peaks: list[float], block: SoundBlock, per_second: int) -> None:
    if not 1 <= per_second <= block.rate_hz:
        raise OutOfRange(f"{per_second} peaks a second cannot be drawn. Ask for 1 to {block.rate_hz}.")
    bins = (block.first + np.arange(len(block.samples))) * per_second // block.rate_hz
    starts = np.flatnonzero(np.diff(bins, prepend=-1))
    largest = np.maximum.reduceat(np.abs(block.samples), starts)
    peaks.extend([0.0] * (int(bins[-1]) + 1 - len(peaks)))
    for index, value in zip(bins[starts].tolist(), largest.tolist(), strict=True):
        peaks[index] = max(peaks[index], value)
