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
from collections.abc import Callable, Iterator
from fractions import Fraction
from typing import TYPE_CHECKING, Any, cast

import numpy as np
from numpy.typing import NDArray

from nares.measure.inputs import SoundBlock
from nares.media.clock import believable
from nares.media.report import SoundTally

if TYPE_CHECKING:
    from av.audio.frame import AudioFrame
    from av.audio.resampler import AudioResampler

Sound = NDArray[np.float32]
Samples = Callable[["AudioFrame | None"], Iterator[NDArray[np.float32]]]
RATE_HZ = 48_000
BREAK_S = 0.010
VORBIS_BREAK_S = 0.060
"""Vorbis stamps a short block after a long one too late, by up to a quarter of the longest block, and
takes it back with the next."""
BACKWARDS_S = -0.5
DRIFT_S = 0.002
REMEMBERED = 32
TOGETHER = 16_384
"""Samples that are brought to another rate in one go."""


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
        self._tick_s = float(time_base)
        self._origin_s = float(zero)
        self._tally = tally
        self._declared_s = declared_s
        self._break_s = break_s
        self._shape: tuple[str, str, int] | None = None
        self._samples: Samples | None = None
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
        yield from self._blocks(None)
        self._samples = None

    def _slip(self, frame: AudioFrame) -> float:
        """How far the frame's stamp lies after the count. [s]"""
        if frame.pts is None:
            return 0.0
        counted_s = self._taken / self._shape[2] if self._shape else 0.0
        slip = frame.pts * self._tick_s - self._origin_s - counted_s
        expected_s = float(self._start) + counted_s
        true = believable(expected_s + slip, expected_s, self._declared_s)
        if (self._shape and slip < BACKWARDS_S) or not true:
            # Stamps that start again would hide everything after them: go on counting instead.
            self._zero += Fraction(slip)
            self._origin_s += slip
            self._tally.clock_jumps += 1
            return 0.0
        return slip

    def _breaks(self, slip: float) -> bool:
        self._slips.append(slip)
        if abs(slip) <= DRIFT_S or abs(slip) > self._break_s:
            return abs(slip) > self._break_s
        return len(self._slips) == REMEMBERED and abs(float(np.median(self._slips))) > DRIFT_S

    def _begin(self, frame: AudioFrame, shape: tuple[str, str, int], slip: float) -> None:
        if self._shape and slip > self._break_s:
            self._tally.gap(slip)
        if frame.pts is not None:
            self._start = frame.pts * self._time_base - self._zero
        elif self._shape:
            self._start += Fraction(self._taken, self._shape[2])
        self._origin_s = float(self._zero + self._start)
        self._shape, self._taken, self._given = shape, 0, 0
        self._first = round(self._start * RATE_HZ)
        self._slips.clear()
        self._samples = samples_of(*shape)

    def _blocks(self, frame: AudioFrame | None) -> Iterator[SoundBlock]:
        if self._samples is None:
            return
        for samples in self._samples(frame):
            first = self._first + self._given
            self._given += len(samples)
            yield from self._place(samples, first)

    def _place(self, samples: Sound, first: int) -> Iterator[SoundBlock]:
        overlap = max(0, self._next - first)
        if overlap < len(samples):
            self._next = first + len(samples)
            self._tally.end_s = self._next / RATE_HZ
            yield SoundBlock(samples[overlap:], first + overlap, RATE_HZ)


def samples_of(kept: str, layout: str, rate_hz: int) -> Samples:
    """What makes mono samples at 48 kHz of frames of one kind; None asks for what it still holds.

    Args:
        kept: The decoder's name for how samples are kept.
        layout: Its name for the channels.
        rate_hz: Rate of the frames. [Hz]
    """
    if kept != "fltp":
        return _Converted(layout)
    if rate_hz != RATE_HZ:
        return _Resampled(rate_hz)
    return _as_they_are


def _as_they_are(frame: AudioFrame | None) -> Iterator[Sound]:
    if frame is not None:
        yield _mixed(frame)


class _Converted:
    """Samples of any kind and rate, channels averaged last."""

    def __init__(self, layout: str) -> None:
        self._resampler = _resampler(layout)

    def __call__(self, frame: AudioFrame | None) -> Iterator[Sound]:
        if frame is not None:
            frame.pts = None  # the run is counted elsewhere; the resampler must not place samples itself
        for piece in self._resampler.resample(frame):
            yield _mixed(piece)


class _Resampled:
    """Floating samples at another rate: channels averaged first, and many frames at a time."""

    def __init__(self, rate_hz: int) -> None:
        self._resampler = _resampler("mono")
        self._rate_hz = rate_hz
        self._waiting: list[Sound] = []

    def __call__(self, frame: AudioFrame | None) -> Iterator[Sound]:
        if frame is not None:
            self._waiting.append(_mixed(frame))
        if frame is None or sum(map(len, self._waiting)) >= TOGETHER:
            for gathered in (*self._gathered(), *([None] if frame is None else [])):
                for piece in self._resampler.resample(gathered):
                    yield _mixed(piece)

    def _gathered(self) -> list[AudioFrame]:
        from av.audio.frame import AudioFrame

        if not self._waiting:
            return []
        mono = AudioFrame.from_ndarray(np.concatenate(self._waiting)[None], format="fltp", layout="mono")
        mono.rate = self._rate_hz
        self._waiting = []
        return [mono]


def _resampler(layout: str) -> AudioResampler:
    from av.audio.resampler import AudioResampler

    return AudioResampler(format="fltp", layout=layout, rate=RATE_HZ)


def _mixed(frame: AudioFrame) -> Sound:
    """The mean of all channels of a frame of floating samples, one plane a channel."""
    channels = [np.frombuffer(cast(Any, plane), np.float32, frame.samples) for plane in frame.planes]
    if len(channels) == 1:
        return channels[0]
    mixed = channels[0] + channels[1]
    for channel in channels[2:]:
        mixed += channel
    return np.asarray(mixed / np.float32(len(channels)))
