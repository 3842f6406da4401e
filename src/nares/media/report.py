"""What decoding found: counts kept while it runs, and the decode report made of them.

A tally holds a fixed number of values however long the recording is. Notes are plain sentences; a thing
that is as it should be gets no note.
"""

from collections import Counter
from dataclasses import dataclass, field

LONGEST_COUNTED_MS = 2000


@dataclass(slots=True)
class PictureTally:
    """Counts over the pictures of one pass. Feed `seen` in any order within a few pictures."""

    count: int = 0
    first_s: float = 0.0
    last_s: float = 0.0
    without_time: int = 0
    corrupt: int = 0
    spacing_ms: Counter[int] = field(default_factory=Counter)

    def seen(self, at_s: float) -> None:
        """Count one picture, in order of time."""
        if self.count:
            self.spacing_ms[min(LONGEST_COUNTED_MS, round(1000 * (at_s - self.last_s)))] += 1
        else:
            self.first_s = at_s
        self.last_s = max(self.last_s, at_s)
        self.count += 1

    @property
    def usual_ms(self) -> int:
        """The commonest spacing between pictures. [ms]"""
        return max(self.spacing_ms, key=lambda ms: self.spacing_ms[ms], default=0)

    @property
    def end_s(self) -> float:
        """When the last picture gives way. [s]"""
        return self.last_s + self.usual_ms / 1000 if self.count else 0.0

    @property
    def per_s(self) -> float | None:
        """Mean rate over the pictures seen. [1/s]"""
        length_s = self.last_s - self.first_s
        return (self.count - 1) / length_s if self.count > 1 and length_s > 0 else None

    @property
    def uneven(self) -> bool:
        """Whether more than one spacing in fifty is not the usual one."""
        usual = self.usual_ms
        odd = sum(n for ms, n in self.spacing_ms.items() if abs(ms - usual) > 1 + 0.1 * usual)
        return odd > 0.02 * self.spacing_ms.total()


@dataclass(slots=True)
class SoundTally:
    """Counts over the sound of one pass."""

    end_s: float = 0.0
    corrupt: int = 0
    clock_jumps: int = 0
    gaps: int = 0
    missing_s: float = 0.0

    def gap(self, length_s: float) -> None:
        """Count one stretch without sound."""
        self.gaps += 1
        self.missing_s += length_s


@dataclass(frozen=True, slots=True)
class DecodeReport:
    """What was read of a recording, and what was odd about it.

    ``duration_s`` is how much could be read [s]; ``declared_s`` what the file promises, None where it does
    not say. ``rotation_deg``: clockwise turn that was needed to stand upright. ``width`` and ``height``:
    of the stored frame [pixels]. ``pictures``: how many were read, None before any pass over the file.
    """

    duration_s: float
    declared_s: float | None
    frames_per_s: float | None
    streams: tuple[str, ...]
    video_codec: str | None
    audio_codec: str | None
    width: int | None
    height: int | None
    rotation_deg: int
    variable_rate: bool
    pictures: int
    corrupt_pictures: int
    corrupt_sound: int
    notes: tuple[str, ...]
