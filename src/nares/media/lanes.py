"""From the packets of one stream to what measuring is fed. Damage is counted, never raised."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Any, TypeVar, cast

from nares.measure.inputs import Picture, SoundBlock
from nares.media.clock import Stamps, unstated_priming_s
from nares.media.header import Header
from nares.media.picture import PictureReader, Sight
from nares.media.report import PictureTally, SoundTally
from nares.media.sound import BREAK_S, VORBIS_BREAK_S, SoundReader

if TYPE_CHECKING:
    from av.container import InputContainer


Made = TypeVar("Made")
MOST_CHANNELS = 8
"""More come only from damage, and the decoder's arrays of them point outside its memory."""


class PictureLane:
    """Packets of the video stream to pictures."""

    def __init__(
        self, container: InputContainer, header: Header, longer_side: int, sight: Sight | None = None
    ) -> None:
        """Set the decoder going on as many processors as there are."""
        self.tally = PictureTally()
        self.given = 0
        self._stream = cast(Any, container.streams[header.video or 0])
        self._stream.thread_type = "AUTO"
        stamps = Stamps(self._stream.time_base, header.zero)
        self._reader = PictureReader(stamps, header.declared_s, longer_side, self.tally, header.turn, sight)

    def read(self, packet: Any) -> Iterator[Picture]:
        """The pictures that one more packet completes."""
        for frame in _frames(self._stream, packet, self.tally):
            self.tally.corrupt += frame.is_corrupt
            for picture in _made(self._reader.read, frame, self.tally):
                self.given += 1
                yield picture

    def finish(self) -> Iterator[Picture]:
        """What the decoder still holds at the end."""
        yield from self.read(None)


class SoundLane:
    """Packets of the audio stream to sound blocks."""

    def __init__(self, container: InputContainer, header: Header) -> None:
        """Find out how much silence the encoder put in front."""
        self.tally = SoundTally()
        self.given = 0
        self._stream = cast(Any, container.streams[header.audio or 0])
        zero = header.zero + unstated_priming_s(container, self._stream.rate or 48_000)
        self._reader = SoundReader(
            zero,
            self._stream.time_base,
            self.tally,
            declared_s=header.declared_s,
            break_s=VORBIS_BREAK_S if header.audio_codec == "vorbis" else BREAK_S,
        )

    def read(self, packet: Any) -> Iterator[SoundBlock]:
        """The blocks that one more packet completes."""
        for frame in _frames(self._stream, packet, self.tally):
            if frame.layout.nb_channels > MOST_CHANNELS:
                self.tally.corrupt += 1
                continue
            for block in _made(self._reader.read, frame, self.tally):
                self.given += 1
                yield block

    def finish(self) -> Iterator[SoundBlock]:
        """What decoder and resampler still hold at the end."""
        yield from self.read(None)
        yield from self._reader.finish()


def _frames(stream: Any, packet: Any, tally: PictureTally | SoundTally) -> list[Any]:
    """The frames of one packet, none if it is damaged. ``None`` asks for what the decoder still holds."""
    import av

    try:
        frames: list[Any] = stream.codec_context.decode(packet)
    except EOFError:
        return []
    except (av.error.FFmpegError, ValueError):
        tally.corrupt += 1
        return []
    return frames


def _made(make: Callable[[Any], Iterator[Made]], frame: Any, tally: PictureTally | SoundTally) -> list[Made]:
    """What is made of one frame, nothing if it cannot be converted."""
    import av

    try:
        return list(make(frame))
    except (av.error.FFmpegError, ValueError):
        tally.corrupt += 1
        return []
