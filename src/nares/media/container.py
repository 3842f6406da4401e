"""Opening a file for decoding, and every way in which that can be refused.

Conventions
-----------
A refusal is `Unusable` with the file's name, what was found and what to do; the decoder's own errors
never leave this ring. Only the container formats of `FORMATS` are ever tried and only the local file is
ever read: the decoder also knows playlists and list files that name further files or addresses.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from nares.base.errors import Unusable

if TYPE_CHECKING:
    from av.audio.stream import AudioStream
    from av.container import InputContainer
    from av.video.stream import VideoStream

FORMATS = ("mov", "matroska", "ogg", "wav", "mp3", "aac", "flac", "avi")
_GIVE = "Give an mp4, mov, m4a, webm, mkv, ogg, wav or mp3."


def require_file(path: Path) -> None:
    """Refuse what is not a file with something in it.

    Raises:
        Unusable: If there is no such file, it is a folder, or it is empty.
    """
    if path.is_dir():
        raise Unusable(f"{path.name} is a folder, not a recording. Name one file in it.")
    if not path.is_file():
        raise Unusable(f"There is no file {path}. Check the name and the folder.")
    if path.stat().st_size == 0:
        raise Unusable(f"{path.name} is empty (0 bytes). Copy it from the phone again.")


@contextmanager
def opened(path: Path) -> Iterator[InputContainer]:
    """Open a recording for decoding and close it whatever happens.

    Raises:
        Unusable: If it is not a recording, is broken off before its index, or may not be read.
    """
    require_file(path)
    container = _open(path)
    try:
        yield container
    finally:
        container.close()


def _open(path: Path) -> InputContainer:
    import av

    allowed = {"format_whitelist": ",".join(FORMATS), "protocol_whitelist": "file"}
    try:
        return av.open(f"file:{path}", options=allowed, metadata_errors="replace")
    except PermissionError:
        raise Unusable(f"{path.name} may not be read. Give yourself the right to read it.") from None
    except (av.error.FFmpegError, OSError, ValueError):
        raise Unusable(_why_not(path)) from None


def _why_not(path: Path) -> str:
    with path.open("rb") as file:
        head = file.read(12)
    if head[4:8] in (b"ftyp", b"mdat", b"moov", b"wide"):
        return (
            f"{path.name} breaks off before its index, so nothing in it can be read. "
            "Copy it again, or record again and let the phone finish saving."
        )
    return f"{path.name} is not a recording. {_GIVE}"


def video_of(container: InputContainer) -> VideoStream | None:
    """The moving pictures: never the cover picture that a sound file may carry."""
    import av

    cover = av.stream.Disposition.attached_pic
    return next((s for s in container.streams.video if not s.disposition & cover), None)


def audio_of(container: InputContainer) -> AudioStream | None:
    """The first sound track that can be decoded, else the first."""
    tracks = container.streams.audio
    return next((s for s in tracks if can_decode(s)), tracks[0] if tracks else None)


def can_decode(stream: VideoStream | AudioStream) -> bool:
    """Whether the decoder knows this stream's coding at all."""
    # PyAV types the context as always there; it is None where no decoder is known.
    return getattr(stream, "codec_context", None) is not None
