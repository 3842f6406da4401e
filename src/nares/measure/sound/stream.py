"""Blocks of any size and rate become equal stretches of sound at one rate.

Conventions
-----------
Everything after this file works at 48 kHz on a *stretch*: two seconds of sound with some sound before and
after it, cut at fixed places counted from the start of the recording. Because the cuts do not depend on
the blocks, what is measured does not depend on them either. Samples are dropped as soon as their stretch
is done.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from math import gcd

import numpy as np
from numpy.typing import NDArray

from nares.base.errors import OutOfRange
from nares.measure.inputs import SoundBlock

RATE_HZ = 48_000
STRETCH_S = 2
LEAD = 9_600
"""Samples at 48 kHz before and after the stretch that come along with it."""
LONGEST_HOLE_S = 4 * 3600.0
"""A longer hole between two blocks is a wrong time stamp, not a pause. [s]"""

Sound = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Stretch:
    """``sound``: float32, shape (LEAD + 2 s + LEAD,), 48 kHz; ``first``: index of its first own sample."""

    sound: Sound
    first: int


@dataclass(slots=True)
class Stretches:
    """Collects blocks of one recording and hands out its stretches in order.

    Raises:
        OutOfRange: If the rate is below 8 kHz or above 384 kHz.
    """

    rate_hz: int
    holes: list[tuple[float, float]] = field(default_factory=list)
    clipped: int = 0
    samples: int = 0
    _held: list[Sound] = field(default_factory=list)
    _held_first: int = 0
    _end: int = 0
    _done: int = 0

    def __post_init__(self) -> None:
        if not 8_000 <= self.rate_hz <= 384_000:
            raise OutOfRange(f"Sound at {self.rate_hz} Hz cannot be measured. Give 8000 to 384000 Hz.")

    def add(self, block: SoundBlock) -> Iterator[Stretch]:
        """Take one block; hand out every stretch that is now complete.

        Raises:
            OutOfRange: If the block is of another rate, of another shape or absurdly far ahead.
        """
        self._check(block)
        sound = self._new_part(block)
        if sound.size:
            self._held.append(sound)
            self._end += sound.size
            yield from self._ready(self._end)

    def rest(self) -> Iterator[Stretch]:
        """Hand out what is left, with silence after the end."""
        if self._end > self._done * self._step:
            yield from self._ready(self._end + self._lead + self._step, last=True)

    @property
    def heard_s(self) -> float:
        """Length of the recording so far, holes included. [s]"""
        return self._end / self.rate_hz

    @property
    def _step(self) -> int:
        return STRETCH_S * self.rate_hz

    @property
    def _ratio(self) -> tuple[int, int]:
        shared = gcd(RATE_HZ, self.rate_hz)
        return RATE_HZ // shared, self.rate_hz // shared

    @property
    def _lead(self) -> int:
        """Samples at the own rate before a stretch: a whole number of steps of the rate change."""
        up, down = self._ratio
        return -(-(LEAD + 480) // up) * down

    def _check(self, block: SoundBlock) -> None:
        if block.rate_hz != self.rate_hz:
            raise OutOfRange(
                f"A block of {block.rate_hz} Hz came into a recording of {self.rate_hz} Hz. "
                "Measure recordings of different rates apart."
            )
        if block.samples.ndim != 1:
            raise OutOfRange(f"A block has shape {block.samples.shape}. Give one channel, shape (n,).")
        if (block.first - self._end) / self.rate_hz > LONGEST_HOLE_S:
            raise OutOfRange(
                f"A block starts {(block.first - self._end) / self.rate_hz:.0f} s after the one before. "
                "Check the time stamps of the recording."
            )

    def _new_part(self, block: SoundBlock) -> Sound:
        """The part of a block not heard yet, with silence in front where something is missing."""
        sound = np.asarray(block.samples, dtype=np.float32)[max(self._end - block.first, 0) :]
        self.samples += sound.size
        missing = block.first - self._end
        if missing > 0 and sound.size:
            self.holes.append((self._end / self.rate_hz, block.first / self.rate_hz))
            sound = np.concatenate([np.zeros(missing, dtype=np.float32), sound])
        return sound

    def _ready(self, end: int, *, last: bool = False) -> Iterator[Stretch]:
        while (self._done + 1) * self._step + self._lead <= end:
            if last and self._done * self._step >= self._end:
                break
            yield self._cut()

    def _cut(self) -> Stretch:
        held = np.concatenate(self._held) if len(self._held) != 1 else self._held[0]
        from_, to = self._done * self._step - self._lead, (self._done + 1) * self._step + self._lead
        before, after = max(self._held_first - from_, 0), max(to - self._held_first - held.size, 0)
        own = held[max(from_ - self._held_first, 0) : max(to - self._held_first, 0)]
        sound = np.pad(own, (before, after)) if before or after else own
        sound = np.clip(np.nan_to_num(sound, nan=0.0, posinf=1.0, neginf=-1.0), -8.0, 8.0)
        self.clipped += int(np.count_nonzero(np.abs(sound[self._lead : -self._lead]) >= 0.997))
        first = self._done * STRETCH_S * RATE_HZ
        self._done += 1
        keep = max(self._done * self._step - self._lead - self._held_first, 0)
        self._held = [held[keep:]]
        self._held_first += min(keep, held.size)
        return Stretch(self._at_48_khz(sound), first)

    def _at_48_khz(self, sound: Sound) -> Sound:
        up, down = self._ratio
        if up != down:
            from scipy.signal import resample_poly

            sound = resample_poly(sound, up, down).astype(np.float32)
        spare = self._lead * up // down - LEAD
        return np.ascontiguousarray(sound[spare : sound.size - spare], dtype=np.float32)
