"""Several recordings of one session, one after the other, as one recording on one clock.

Conventions
-----------
The first part begins at time zero. A later part begins where the one before ended, or later where the files
themselves say when they were made and the pause that follows from it can be believed. Starts are whole
milliseconds, so that they can be written down and found again. Nothing is copied: the parts are read in turn.

When a phone writes down the time of making is not the same everywhere. An Android phone writes it when the
recording is finished, most others when it begins (from memory, not checked on phones). It is a whole second,
so that a pause under `TELLS_S` cannot be told from none.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from math import ceil
from pathlib import Path
from types import TracebackType

import numpy as np

from nares.base.errors import WrongUse
from nares.base.times import MediaTime
from nares.base.vocab import Part, RecordingFacts
from nares.measure.inputs import Picture, SoundBlock
from nares.media.header import Header
from nares.media.picture import Sight
from nares.media.recording import Recording, open_recording
from nares.media.sound import RATE_HZ

TELLS_S = 2.0
LONGEST_PAUSE_S = 3600.0
MILLI = Fraction(1, 1000)


@dataclass(frozen=True, slots=True)
class Start:
    """Where a part begins, in thousandths of a second from the first, and what there is to say about it."""

    at_ms: int
    note: str


def open_parts(paths: Sequence[Path], starts_s: Sequence[float] | None = None) -> Recording | Joined:
    """Open the recordings of one session in order; a single one as it is.

    Args:
        paths: The recordings, first to last.
        starts_s: Where each begins, as written down earlier; from the files when None. [s]

    Raises:
        Unusable: If one of them cannot be read.
        WrongUse: If one of them is given twice.
    """
    if len(paths) == 1:
        return open_recording(paths[0])
    parts = [open_recording(path) for path in paths]
    for number, path in enumerate(paths):
        if any(path.samefile(other) for other in paths[:number]):
            raise WrongUse(f"{path.name} is given twice. Name each part of the session once, in order.")
    starts = starts_of(parts) if starts_s is None else [Start(round(1000 * at), "") for at in starts_s]
    return Joined(parts, starts)


class Joined:
    """Recordings that follow one another; used like a `Recording`."""

    def __init__(self, parts: Sequence[Recording], starts: Sequence[Start]) -> None:
        """Use `open_parts`."""
        self.parts = tuple(parts)
        self.starts = tuple(starts)
        self.path = parts[0].path

    @property
    def header(self) -> Header:
        """That of the first part, with pictures and sound where any part has them."""
        headers = [part.header for part in self.parts]
        seen = next((h for h in headers if h.video is not None), headers[0])
        heard = next((h.audio for h in headers if h.audio is not None), None)
        return replace(seen, audio=heard)

    def __enter__(self) -> Joined:
        """The joined recording itself."""
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Close whatever is still being played."""
        for part in self.parts:
            part.close()

    def play(
        self,
        *,
        sound: bool = True,
        pictures: bool = True,
        width: int | None = None,
        sight: Sight | None = None,
        progress: Callable[[float], None] | None = None,
    ) -> Iterator[SoundBlock | Picture]:
        """Sound and pictures of all parts in turn, as `Recording.play` gives them, on one clock."""
        heard_to = 0
        sizes = [part.path.stat().st_size for part in self.parts]
        for number, (part, start) in enumerate(zip(self.parts, self.starts, strict=True)):
            share = Share(progress, sum(sizes[:number]) / sum(sizes), sizes[number] / sum(sizes))
            if sound and heard_to:
                yield from _silence(heard_to, _sample(start))
            next_start = self.starts[number + 1] if number + 1 < len(self.starts) else None
            for piece in part.play(sound=sound, pictures=pictures, width=width, sight=sight, progress=share):
                moved = _moved(piece, start, next_start)
                if isinstance(moved, SoundBlock):
                    heard_to = moved.first + len(moved.samples)
                if moved is not None:
                    yield moved

    def facts(self) -> RecordingFacts:
        """The session as one recording. Its digest is that of the first part; ``parts`` names them all."""
        told = [part.facts() for part in self.parts]
        parts = tuple(
            Part(part.path.name, one.sha256, start.at_ms / 1000, start.at_ms / 1000 + one.duration_s)
            for part, one, start in zip(self.parts, told, self.starts, strict=True)
        )
        return RecordingFacts(
            max(part.end_s for part in parts),
            next((one.frames_per_s for one in told if one.frames_per_s), None),
            told[0].sha256,
            tuple(name for name in ("video", "audio") if any(name in one.streams for one in told)),
            (*self._joints(), *_said_of_parts(parts, told)),
            parts=parts,
        )

    def _joints(self) -> Iterator[str]:
        for number, (part, start) in enumerate(zip(self.parts[1:], self.starts[1:], strict=True), start=2):
            yield f"part {number} ({part.path.name}) begins at {start.at_ms / 1000:.3f} s{start.note}"


class Share:
    """Tells progress of one part as progress of all."""

    def __init__(self, progress: Callable[[float], None] | None, done: float, own: float) -> None:
        """``done``: share that lies before this part; ``own``: the share of this part."""
        self._progress, self._done, self._own = progress, done, own

    def __call__(self, share: float) -> None:
        """Pass a share of this part on."""
        if self._progress:
            self._progress(min(1.0, self._done + self._own * share))


def starts_of(parts: Sequence[Recording]) -> list[Start]:
    """Where each part begins on the clock of the first."""
    starts = [Start(0, "")]
    for before, part in pairwise(parts):
        end_ms = starts[-1].at_ms + ceil(1000 * length_s(before))
        pause_s = pause_between(before, part)
        if pause_s is None:
            note = ", right after the part before it: the files do not say how long the pause was"
        elif not -TELLS_S < pause_s <= LONGEST_PAUSE_S:
            note = (
                f", right after the part before it: the times written in the files would put {pause_s:.0f} s "
                "between them, which cannot be believed"
            )
        elif pause_s < TELLS_S:
            note = ", right after the part before it, as the times written in the files say"
        else:
            note = f", {pause_s:.0f} s after the part before it ended by the times written in the files"
            end_ms += round(1000 * pause_s)
        starts.append(Start(end_ms, note))
    return starts


def pause_between(before: Recording, after: Recording) -> float | None:
    """Seconds between two recordings by the times written in them; None where one does not say. [s]"""
    ended, began = before.header.made_at, after.header.made_at
    if ended is None or began is None:
        return None
    between_s = (began - ended).total_seconds()
    return between_s - length_s(after if after.header.made_when_finished else before)


def length_s(part: Recording) -> float:
    """Length of one recording, from its header where that says. [s]"""
    return part.header.declared_s or part.report().duration_s


def _moved(
    piece: SoundBlock | Picture, start: Start, next_start: Start | None
) -> SoundBlock | Picture | None:
    """A piece at its place; nothing of what a part holds beyond its stated end, where the next begins."""
    if isinstance(piece, Picture):
        picture = _later(piece, start.at_ms)
        return picture if next_start is None or picture.at.seconds < next_start.at_ms / 1000 else None
    first = piece.first + _sample(start)
    room = len(piece.samples) if next_start is None else max(0, _sample(next_start) - 1 - first)
    return SoundBlock(piece.samples[:room], first, piece.rate_hz) if room else None


def _sample(start: Start) -> int:
    return start.at_ms * RATE_HZ // 1000


def _later(picture: Picture, by_ms: int) -> Picture:
    whole = picture.whole
    return replace(
        picture,
        at=later(picture.at, by_ms * MILLI),
        whole=None if whole is None else lambda: _later(whole(), by_ms),
    )


def later(at: MediaTime, by_s: Fraction) -> MediaTime:
    """A moment later by some seconds; the tick is refined until it falls on one.

    Examples:
        >>> later(MediaTime(30, Fraction(1, 30)), Fraction(1, 2))
        MediaTime(ticks=45, tick_s=Fraction(1, 30))
    """
    steps = by_s / at.tick_s
    return MediaTime(at.ticks * steps.denominator + steps.numerator, at.tick_s / steps.denominator)


def _silence(from_sample: int, to_sample: int) -> Iterator[SoundBlock]:
    """Silence between two parts, at most a second at a time; one sample short of each, which is a hole."""
    for first in range(from_sample + 1, to_sample - 1, RATE_HZ):
        count = min(RATE_HZ, to_sample - 1 - first)
        yield SoundBlock(np.zeros(count, np.float32), first, RATE_HZ)


def _said_of_parts(parts: Sequence[Part], told: Sequence[RecordingFacts]) -> Iterator[str]:
    for number, (part, one) in enumerate(zip(parts, told, strict=True), start=1):
        yield from (f"part {number} ({part.name}): {note}" for note in one.notes)
