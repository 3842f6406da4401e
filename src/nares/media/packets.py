"""The coded pieces of a file in its own order: read to the end, or to where it breaks off."""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from nares.media.clock import Stamps, believable
from nares.media.container import opened
from nares.media.header import Header
from nares.media.report import PictureTally, SoundTally

if TYPE_CHECKING:
    from av.container import InputContainer

REORDERED = 32


def packets(container: InputContainer, indices: list[int]) -> Iterator[Any]:
    """Packets in the order of the file, up to its end or to where it breaks off."""
    import av

    if not indices:  # the decoder would take none for all
        return
    try:
        for packet in container.demux([container.streams[i] for i in indices]):
            if packet.size:
                yield packet
    except (av.error.FFmpegError, OSError, IndexError):  # IndexError: a stream that was not there before
        return  # the shortfall shows in the report as an early end


class Shares:
    """Tells how far the file has been read, by bytes: a length in seconds is not always stated."""

    def __init__(self, path: Path, progress: Callable[[float], None]) -> None:
        self._size = path.stat().st_size
        self._progress = progress
        self._told = 0.0

    def at(self, packet: Any) -> None:
        """Tell where this packet lies, if that is news."""
        share = min(1.0, (packet.pos or 0) / self._size)
        if share >= self._told + 0.005:
            self._told = share
            self._progress(share)


def scan(path: Path, header: Header) -> tuple[PictureTally, SoundTally]:
    """Tallies from the time stamps of the packets alone."""
    pictures, sound = PictureTally(), SoundTally()
    waiting: list[float] = []
    with opened(path) as container:
        for packet in packets(container, [i for i in (header.video, header.audio) if i is not None]):
            if packet.pts is None:
                continue
            at_s = Stamps(packet.time_base, header.zero).at(packet.pts).seconds
            if not believable(at_s, max(pictures.last_s, sound.end_s), header.declared_s):
                continue
            if packet.stream_index != header.video:
                sound.end_s = max(sound.end_s, at_s + float((packet.duration or 0) * packet.time_base))
            elif at_s >= 0:
                # Packets come in decoding order; a short queue puts them in order of time.
                heapq.heappush(waiting, at_s)
                if len(waiting) > REORDERED:
                    pictures.seen(heapq.heappop(waiting))
    while waiting:
        pictures.seen(heapq.heappop(waiting))
    return pictures, sound
