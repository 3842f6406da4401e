"""What a file says of itself before anything but its first picture is decoded."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING

from nares.base.errors import Unusable
from nares.media.clock import is_movie, zero_of
from nares.media.container import audio_of, can_decode, video_of
from nares.media.edits import edit_rates
from nares.media.picture import Turn, turn_of

if TYPE_CHECKING:
    from av.audio.stream import AudioStream
    from av.container import InputContainer
    from av.video.stream import VideoStream

FIRST_PACKETS = 200
STATED_LENGTH = ("mov", "matroska", "wav", "avi", "flac")
CAPTURE_RATE = "com.android.capture.fps"


@dataclass(frozen=True, slots=True)
class Header:
    """The plain facts of one file. Indices are None where there is no such stream that can be decoded.

    ``zero``: time zero on the container's timeline [s]. ``declared_s``: the length the file states, None
    where it states none or the decoder only guesses it from the size [s]. ``capture_per_s``: pictures a
    second when it was taken, where the phone wrote that down. ``made_at``: when the phone says the recording
    was made; ``made_when_finished``: whether that is when it ended rather than when it began. ``edit_rates``:
    speeds other than its own at which the file asks to be played.
    """

    format: str
    video: int | None
    audio: int | None
    video_codec: str | None
    audio_codec: str | None
    undecodable: tuple[str, ...]
    sound_tracks: int
    zero: Fraction
    declared_s: float | None
    stated_per_s: float | None
    capture_per_s: float | None
    width: int | None
    height: int | None
    turn: Turn
    priming_stated: bool
    made_at: datetime | None = None
    made_when_finished: bool = False
    edit_rates: tuple[float, ...] = ()


def read_header(container: InputContainer, path: Path) -> Header:
    """Read the header of an open file.

    Raises:
        Unusable: If it holds neither pictures nor sound that can be decoded.
    """
    video, audio = video_of(container), audio_of(container)
    unknown = tuple(
        name for stream, name in ((video, "pictures"), (audio, "sound")) if stream and not can_decode(stream)
    )
    video = video if video and can_decode(video) else None
    audio = audio if audio and can_decode(audio) else None
    if video is None and audio is None:
        raise Unusable(_nothing(path, unknown))
    return Header(
        format=container.format.name,
        video=video.index if video else None,
        audio=audio.index if audio else None,
        video_codec=video.codec_context.name if video else None,
        audio_codec=audio.codec_context.name if audio else None,
        undecodable=unknown,
        sound_tracks=len(container.streams.audio),
        zero=zero_of(container, [s for s in (video, audio) if s is not None]),
        declared_s=_declared_s(container),
        stated_per_s=float(video.average_rate) if video and video.average_rate else None,
        capture_per_s=_capture_per_s(container, video),
        width=video.width if video else None,
        height=video.height if video else None,
        turn=_first_turn(container, video) if video else Turn(),
        priming_stated=_priming_stated(container, audio),
        edit_rates=edit_rates(path) if is_movie(container) else (),
        made_at=_made_at(container),
        made_when_finished=any(key.startswith("com.android.") for key in container.metadata),
    )


def _nothing(path: Path, unknown: tuple[str, ...]) -> str:
    if unknown:
        return f"{path.name} holds {' and '.join(unknown)} in a form unknown here. Convert it to an mp4."
    return f"{path.name} holds neither pictures nor sound. Give a recording."


def _declared_s(container: InputContainer) -> float | None:
    stated = any(name in STATED_LENGTH for name in container.format.name.split(","))
    return container.duration / 1_000_000 if stated and container.duration else None


def _capture_per_s(container: InputContainer, video: VideoStream | None) -> float | None:
    stated = container.metadata.get(CAPTURE_RATE) or (video.metadata.get(CAPTURE_RATE) if video else None)
    try:
        return float(stated) if stated else None
    except ValueError:
        return None


def _made_at(container: InputContainer) -> datetime | None:
    for key in ("com.apple.quicktime.creationdate", "creation_time"):
        try:
            made = datetime.fromisoformat(container.metadata.get(key, ""))
        except ValueError:
            continue
        # An empty field is written as the first second of 1904 or 1970.
        return made if made.tzinfo and made.year > 1990 else None
    return None


def _first_turn(container: InputContainer, video: VideoStream) -> Turn:
    import av

    decoder = video.codec_context
    try:
        for packet in islice(container.demux(video), FIRST_PACKETS):
            # One packet and out: fed on, the decoder would hold several pictures back to sort them.
            frames = [*decoder.decode(packet), *decoder.decode(None)]
            if frames:
                return turn_of(frames[0])
            decoder.flush_buffers()
    except (av.error.FFmpegError, OSError):
        pass  # play() meets the same fault, counts it and says so
    return Turn()


def _priming_stated(container: InputContainer, audio: AudioStream | None) -> bool:
    """Whether the start of the sound is known to the sample."""
    if audio is None or is_movie(container):
        return True
    if container.format.name == "mp3":
        return bool(audio.start_time)  # set only where the file's first frame tells the encoder's delay
    return container.format.name != "aac"
