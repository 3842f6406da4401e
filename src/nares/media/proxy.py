"""A copy of a recording that every desktop browser plays, on the same clock as the measurement.

The proxy is made of the very pictures and sound that measuring sees: upright, mono, from time zero. The
original stays untouched; it is the one that is hashed and measured. A proxy appears under its name only
when it is whole.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from nares.base.errors import Unusable
from nares.measure.inputs import Picture, SoundBlock
from nares.media.header import Header
from nares.media.joined import Joined
from nares.media.picture import reduced_size
from nares.media.recording import Recording, open_recording
from nares.media.sound import RATE_HZ

if TYPE_CHECKING:
    from av.container import OutputContainer

TICK = Fraction(1, 90_000)
QUALITY = {"preset": "veryfast", "crf": "23"}
SOUND_BITS_PER_S = 128_000


def make_proxy(
    recording: Path | Recording | Joined,
    out: Path,
    *,
    width: int = 960,
    progress: Callable[[float], None] | None = None,
) -> None:
    """Write an H.264 and AAC mp4 of a recording.

    Args:
        recording: The recording: its path, or an open one, perhaps of several parts.
        out: Where the proxy goes; replaced in one step if it exists.
        width: Longer side of its pictures, never enlarged. [pixels]
        progress: Told the share done, 0 to 1.

    Raises:
        Unusable: If the recording cannot be read or the proxy cannot be written.
    """
    import av

    opened = open_recording(recording) if isinstance(recording, Path) else recording
    part = out.with_name(f".{out.name}.{os.getpid()}.part")
    try:
        with (
            opened,
            av.open(part, "w", format="mp4", options=_STARTS_FAST) as file,
        ):
            _copy(opened, file, width, progress)
        part.replace(out)
    except (av.error.FFmpegError, OSError) as error:
        raise Unusable(
            f"No proxy of {opened.path.name} could be written ({error.strerror}). "
            "Make room or choose another folder."
        ) from None
    finally:
        part.unlink(missing_ok=True)


_STARTS_FAST = {"movflags": "+faststart"}


def _copy(
    recording: Recording | Joined, file: OutputContainer, width: int, progress: Callable[[float], None] | None
) -> None:
    header = recording.header
    sound = _SoundTrack(file) if header.audio is not None else None
    pictures = _PictureTrack(file, header, width) if header.video is not None else None
    for piece in recording.play(width=width, progress=progress):
        if isinstance(piece, Picture) and pictures:
            pictures.write(piece)
        elif isinstance(piece, SoundBlock) and sound:
            sound.write(piece)
    for track in (pictures, sound):
        if track:
            track.finish()


class _PictureTrack:
    """H.264 at the size that the upright picture will have."""

    def __init__(self, file: OutputContainer, header: Header, longer_side: int) -> None:
        width, height = reduced_size(header.width or 2, header.height or 2, longer_side)
        if header.turn.swapped:
            width, height = height, width
        self._file = file
        self._stream: Any = file.add_stream("libx264", rate=30, options=QUALITY)
        self._stream.width, self._stream.height = width + width % 2, height + height % 2
        self._stream.pix_fmt = "yuv420p"
        self._stream.codec_context.time_base = TICK
        self._last = -1

    def write(self, picture: Picture) -> None:
        ticks = round(picture.at.ticks * picture.at.tick_s / TICK)
        if ticks <= self._last:
            return
        self._last = ticks
        frame = _frame(picture)
        if (frame.width, frame.height) != (self._stream.width, self._stream.height):
            frame = frame.reformat(self._stream.width, self._stream.height)
        frame.pts, frame.time_base = ticks, TICK
        self._file.mux(self._stream.encode(frame))

    def finish(self) -> None:
        self._file.mux(self._stream.encode(None))


class _SoundTrack:
    """AAC; where the recording has no sound the proxy is silent, so that later sound keeps its time."""

    def __init__(self, file: OutputContainer) -> None:
        self._file = file
        self._stream: Any = file.add_stream("aac", rate=RATE_HZ, layout="mono")
        self._stream.bit_rate = SOUND_BITS_PER_S
        self._next = 0

    def write(self, block: SoundBlock) -> None:
        for silence in _silence(block.first - self._next):
            self._encode(silence)
        self._encode(block.samples)

    def finish(self) -> None:
        self._file.mux(self._stream.encode(None))

    def _encode(self, samples: NDArray[np.float32]) -> None:
        from av.audio.frame import AudioFrame

        frame = AudioFrame.from_ndarray(np.ascontiguousarray(samples)[None, :], format="fltp", layout="mono")
        frame.rate, frame.pts, frame.time_base = RATE_HZ, self._next, Fraction(1, RATE_HZ)
        self._next += len(samples)
        self._file.mux(self._stream.encode(frame))


def _silence(samples: int) -> Iterator[NDArray[np.float32]]:
    """That many zero samples, at most a second at a time."""
    for start in range(0, samples, RATE_HZ):
        yield np.zeros(min(RATE_HZ, samples - start), dtype=np.float32)


def _frame(picture: Picture) -> Any:
    """A picture as an encoder's frame, its sides made even by repeating the last row or column."""
    from av.video.frame import VideoFrame

    height, width = (side + side % 2 for side in picture.luma.shape)
    luma = np.pad(
        picture.luma, ((0, height - picture.luma.shape[0]), (0, width - picture.luma.shape[1])), "edge"
    )
    blue, red = (plane[: height // 2, : width // 2].reshape(-1) for plane in (picture.blue, picture.red))
    planes = np.concatenate([luma.reshape(-1), blue, red]).reshape(height * 3 // 2, width)
    return VideoFrame.from_ndarray(planes, format="yuv420p")
