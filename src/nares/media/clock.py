"""One clock for sound and pictures: where a recording's time zero lies.

Conventions
-----------
Time zero is the start of the presentation. In the mp4 and mov family that is zero of the movie's own
timeline, edit lists applied, so a track that starts late keeps its delay. In every other container it is
the earliest start of the streams used: an mp3 whose first frame is stamped 23 ms starts at zero.

An encoder puts silence in front of what it codes (priming). The containers say how much and the decoder
takes it off. A raw AAC stream does not say: one frame is taken off, the least that any AAC encoder adds.

Sources:
    apple-tn2258: priming of AAC, and the edit list that removes it.
"""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from nares.base.times import MediaTime

if TYPE_CHECKING:
    from av.container import InputContainer
    from av.stream import Stream

AAC_FRAME = 1024
LEAP_S = 60.0


def is_movie(container: InputContainer) -> bool:
    """Whether the file keeps a movie timeline with edit lists (mp4, mov, m4a, 3gp)."""
    return "mov" in container.format.name.split(",")


def zero_of(container: InputContainer, streams: list[Stream]) -> Fraction:
    """Time zero of the recording on the container's own timeline. [s]"""
    if is_movie(container):
        return Fraction(0)
    starts = [s.start_time * s.time_base for s in streams if s.start_time is not None and s.time_base]
    return min(starts, default=Fraction(0))


def unstated_priming_s(container: InputContainer, rate_hz: int) -> Fraction:
    """Silence in front of the sound that the file does not mention. [s]

    Args:
        container: The open file.
        rate_hz: Sampling rate of the coded sound. [Hz]
    """
    return Fraction(AAC_FRAME, rate_hz) if container.format.name == "aac" else Fraction(0)


def believable(at_s: float, last_s: float, declared_s: float | None) -> bool:
    """Whether a stamp can be true: a damaged one may say that the next sound comes in a day.

    Args:
        at_s: The moment that the stamp says. [s]
        last_s: How far the recording has been read. [s]
        declared_s: Length that the file states. [s]
    """
    return at_s <= max(last_s, declared_s or 0.0) + LEAP_S


class Stamps:
    """Time stamps of one stream as integer ticks from time zero; the tick is refined until zero falls on one.

    Examples:
        >>> Stamps(Fraction(1, 90000), Fraction(0)).at(450).seconds
        0.005
        >>> Stamps(Fraction(1, 1000), Fraction(1, 4000)).at(40)
        MediaTime(ticks=159, tick_s=Fraction(1, 4000))
    """

    def __init__(self, time_base: Fraction, zero: Fraction) -> None:
        """One step of the stream's stamps [s], and time zero on its timeline [s]."""
        offset = zero / time_base
        self._parts = offset.denominator
        self._offset = offset.numerator
        self._tick_s = time_base / self._parts

    def at(self, pts: int) -> MediaTime:
        """The moment of one stamp."""
        return MediaTime(pts * self._parts - self._offset, self._tick_s)
