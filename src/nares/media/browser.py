"""Which recordings a desktop browser plays as they are.

Judged by container and coding, on the cautious side: what the common desktop browsers all play. A mov with
H.264 and AAC counts, and is to be served as ``video/mp4``, by which name all of them take it.
"""

from __future__ import annotations

from pathlib import Path

from nares.media.container import opened
from nares.media.header import read_header

_PCM = frozenset({"pcm_s16le", "pcm_u8", "pcm_s24le", "pcm_f32le"})
_PICTURES = {
    "mp4": frozenset({"h264", "av1", "vp9"}),
    "webm": frozenset({"vp8", "vp9", "av1"}),
}
_SOUND = {
    "mp4": frozenset({"aac", "mp3", "mp3float", "opus", "flac"}),
    "webm": frozenset({"opus", "vorbis"}),
    "ogg": frozenset({"opus", "vorbis"}),
    "wav": _PCM,
    "mp3": frozenset({"mp3", "mp3float"}),
    "flac": frozenset({"flac"}),
}
_EIGHT_BIT = frozenset({"yuv420p", "yuvj420p"})


def plays_in_browser(path: Path) -> bool:
    """Whether a desktop browser shows and sounds this recording without a proxy.

    Raises:
        Unusable: If it cannot be read.
    """
    with opened(path) as container:
        header = read_header(container, path)
        kind = _kind(path, header.format)
        pictures = None if header.video is None else container.streams.video[0].codec_context.pix_fmt
    if header.video_codec and _coding(header.video_codec) not in _PICTURES.get(kind, frozenset()):
        return False
    if header.audio_codec and _coding(header.audio_codec) not in _SOUND.get(kind, frozenset()):
        return False
    return not header.undecodable and (pictures is None or pictures in _EIGHT_BIT)


def _coding(decoder: str) -> str:
    """The coding that a decoder reads: several libraries decode the same one."""
    return {"libdav1d": "av1", "libvpx": "vp8", "libvpx-vp9": "vp9", "libopus": "opus"}.get(decoder, decoder)


def _kind(path: Path, format_name: str) -> str:
    names = format_name.split(",")
    if "mov" in names:
        return "mp4"
    if "matroska" in names:
        # A webm is a Matroska that says so in its first bytes; only that name is played everywhere.
        with path.open("rb") as file:
            return "webm" if b"webm" in file.read(64) else "matroska"
    return names[0]
