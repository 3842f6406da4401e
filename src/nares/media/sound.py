"""Decoded sound as mono blocks at 48 kHz, each at its place on the recording's clock.

Conventions
-----------
Channels are averaged. Samples are counted from the time stamp of the first frame of an unbroken run, not
stamped one frame at a time: some containers round every stamp to a millisecond. A run ends where stamps
leave the count by more than `BREAK_S`, or drift from it by more than `DRIFT_S` in the median of the last
`REMEMBERED` frames; the next run starts where its stamp says. Nothing before time zero is given out, and
no sample is given out twice.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from fractions import Fraction
from typing import TYPE_CHECKING, cast

import numpy as np
from numpy.typing import NDArray

from nares.measure.inputs import SoundBlock
from nares.media.clock import believable
from nares.media.report import SoundTally

if TYPE_CHECKING:
    from av.audio.frame import AudioFrame
    from av.audio.resampler import AudioResampler

RATE_HZ = 48_000
BREAK_S = 0.010
VORBIS_BREAK_S = 0.060
"""Vorbis stamps a short block after a long one too late, by up to a quarter of the longest block, and
takes it back with the next."""
BACKWARDS_S = -0.5
DRIFT_S = 0.002
REMEMBERED = 32


class SoundReader:
    """Turns decoded frames into blocks. Feed every frame in order, then `finish`."""

    def __init__(
        self,
        zero: Fraction,
        time_base: Fraction,
        tally: SoundTally,
        *,
        declared_s: float | None = None,
        break_s: float = BREAK_S,
    ) -> None:
        """Start empty.

        Args:
            zero: Time zero on the stream's timeline. [s]
            time_base: One step of its stamps. [s]
            tally: Where what is read is counted.
            declared_s: Length that the file states. [s]
            break_s: How far a stamp may leave the count before a new run begins. [s]
        """
        self._zero = zero
        self._time_base = time_base
        self._tally = tally
        self._declared_s = declared_s
        self._break_s = break_s
        self._shape: tuple[str, str, int] | None = None
        self._resampler: AudioResampler | None = None
        self._start = Fraction(0)
        self._first = 0
        self._taken = 0
        self._given = 0
        self._next = 0
        self._slips: deque[float] = deque(maxlen=REMEMBERED)

    def read(self, frame: AudioFrame) -> Iterator[SoundBlock]:
        """The blocks that one more frame completes."""
        shape = (frame.format.name, frame.layout.name, frame.sample_rate)
        slip = self._slip(frame)
        if self._shape != shape or self._breaks(slip):
            yield from self.finish()
            self._begin(frame, shape, slip)
        self._taken += frame.samples
        yield from self._blocks(frame)

    def finish(self) -> Iterator[SoundBlock]:
        """What the resampler still holds. Without this the last few samples of every run are lost."""
        if self._resampler is not None:
            yield from self._blocks(None)
            self._resampler = None

    def _expected(self) -> Fraction:
        return self._start + (Fraction(self._taken, self._shape[2]) if self._shape else 0)

    def _slip(self, frame: AudioFrame) -> float:
        """How far the frame's stamp lies after the count. [s]"""
        if frame.pts is None:
            return 0.0
        expected = self._expected()
        slip = float(frame.pts * self._time_base - self._zero - expected)
        true = believable(float(expected) + slip, float(expected), self._declared_s)
        if (self._shape and slip < BACKWARDS_S) or not true:
            # Stamps that start again would hide everything after them: go on counting instead.
            self._zero += Fraction(slip)
            self._tally.clock_jumps += 1
            return 0.0
        return slip

    def _breaks(self, slip: float) -> bool:
        self._slips.append(slip)
        if abs(slip) <= DRIFT_S or abs(slip) > self._break_s:
            return abs(slip) > self._break_s
        return len(self._slips) == REMEMBERED and abs(float(np.median(self._slips))) > DRIFT_S

    def _begin(self, frame: AudioFrame, shape: tuple[str, str, int], slip: float) -> None:
        from av.audio.resampler import AudioResampler

        if self._shape and slip > self._break_s:
            self._tally.gap(slip)
        stamped = frame.pts is not None
        self._start = cast(int, frame.pts) * self._time_base - self._zero if stamped else self._expected()
        self._shape, self._taken, self._given = shape, 0, 0
        self._first = round(self._start * RATE_HZ)
        self._slips.clear()
        self._resampler = AudioResampler(format="fltp", layout=shape[1], rate=RATE_HZ)

    def _blocks(self, frame: AudioFrame | None) -> Iterator[SoundBlock]:
        if self._resampler is None:
            return
        if frame is not None:
            frame.pts = None  # the run is counted here; the resampler must not place samples itself
        for piece in self._resampler.resample(frame):
            samples = _mono(piece)
            first = self._first + self._given
            self._given += len(samples)
            yield from self._place(samples, first)

    def _place(self, samples: NDArray[np.float32], first: int) -> Iterator[SoundBlock]:
        overlap = max(0, self._next - first)
        if overlap < len(samples):
            self._next = first + len(samples)
            self._tally.end_s = self._next / RATE_HZ
            yield SoundBlock(samples[overlap:], first + overlap, RATE_HZ)


def _mono(frame: AudioFrame) -> NDArray[np.float32]:
    channels = cast("NDArray[np.float32]", frame.to_ndarray())
    mono: NDArray[np.float32] = channels[0] if len(channels) == 1 else channels.mean(axis=0, dtype=np.float32)
    return mono
