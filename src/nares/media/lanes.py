"""From the packets of one stream to what measuring is fed. Damage is counted, never raised."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, cast

from nares.measure.inputs import Picture, SoundBlock
from nares.media.clock import unstated_priming_s
from nares.media.header import Header
from nares.media.picture import PictureReader
from nares.media.report import PictureTally, SoundTally
from nares.media.sound import SoundReader

if TYPE_CHECKING:
    from av.container import InputContainer


class PictureLane:
    """Packets of the video stream to pictures."""

    def __init__(self, container: InputContainer, header: Header, longer_side: int) -> None:
        self.tally = PictureTally()
        self.given = 0
        self._stream = cast(Any, container.streams[header.video or 0])
        self._stream.thread_type = "AUTO"
        self._reader = PictureReader(header.zero, self._stream.time_base, longer_side, self.tally)

    def read(self, packet: Any) -> Iterator[Picture]:
        """The pictures that one more packet completes."""
        frames, damaged = frames_of(self._stream, packet)
        self.tally.corrupt += damaged
        for frame in frames:
            self.tally.corrupt += frame.is_corrupt
            picture = self._reader.read(frame)
            if picture is not None:
                self.given += 1
                yield picture

    def finish(self) -> Iterator[Picture]:
        """What the decoder still holds at the end."""
        yield from self.read(None)


class SoundLane:
    """Packets of the audio stream to sound blocks."""

    def __init__(self, container: InputContainer, header: Header) -> None:
        self.tally = SoundTally()
        self.given = 0
        self._stream = cast(Any, container.streams[header.audio or 0])
        priming_s = unstated_priming_s(container, self._stream.rate or 48_000)
        self._reader = SoundReader(header.zero + priming_s, self._stream.time_base, self.tally)

    def read(self, packet: Any) -> Iterator[SoundBlock]:
        """The blocks that one more packet completes."""
        frames, damaged = frames_of(self._stream, packet)
        self.tally.corrupt += damaged
        for frame in frames:
            for block in self._reader.read(frame):
                self.given += 1
                yield block

    def finish(self) -> Iterator[SoundBlock]:
        """What decoder and resampler still hold at the end."""
        yield from self.read(None)
        yield from self._reader.finish()


def frames_of(stream: Any, packet: Any) -> tuple[list[Any], int]:
    """The frames of one packet, and 1 if it was damaged. ``None`` asks for what the decoder still holds."""
    import av

    try:
        return stream.codec_context.decode(packet), 0
    except EOFError:
        return [], 0
    except (av.error.FFmpegError, ValueError):
        return [], 1
