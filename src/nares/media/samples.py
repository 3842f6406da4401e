"""A few pictures of a recording: its start, and pictures spread over the rest, without decoding it all."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, cast

from nares.base.errors import Unusable
from nares.measure.inputs import Picture
from nares.media.clock import Stamps
from nares.media.container import opened
from nares.media.header import Header, read_header
from nares.media.picture import LONGER_SIDE, PictureReader
from nares.media.report import PictureTally

AT_START = 8
SPREAD = 40


@dataclass(frozen=True, slots=True)
class Samples:
    """``start``: the first pictures in order. ``later``: one picture near each of evenly spread moments."""

    start: tuple[Picture, ...]
    later: tuple[Picture, ...]


def sample_pictures(path: Path) -> Samples:
    """Look into a recording at its start and at `SPREAD` moments, each at the nearest key picture before.

    Raises:
        Unusable: If the file cannot be read or has no pictures.
    """
    import av

    with opened(path) as container:
        header = read_header(container, path)
        if header.video is None:
            raise Unusable(f"{path.name} has no pictures. Give a recording with pictures.")
        stream = cast(Any, container.streams[header.video])
        length_s = header.declared_s or 0.0
        container.seek(0)  # reading the header has read ahead
        start = tuple(_some(container, stream, header, AT_START))
        later: dict[float, Picture] = {}
        for number in range(1, SPREAD):
            at_s = float(header.zero) + number * length_s / SPREAD
            try:
                container.seek(int(at_s / stream.time_base), stream=stream)
                for picture in _some(container, stream, header, 1):
                    later[picture.at.seconds] = picture
            except (av.error.FFmpegError, OSError):
                continue  # a broken place tells nothing; the others do
    return Samples(start, tuple(later[at_s] for at_s in sorted(later)))


def _some(container: Any, stream: Any, header: Header, count: int) -> Iterator[Picture]:
    """The next pictures from where the file stands."""
    stamps = Stamps(stream.time_base, header.zero)
    reader = PictureReader(stamps, None, LONGER_SIDE, PictureTally(), header.turn)
    given = 0
    for frame in container.decode(stream):
        for picture in reader.read(frame):
            yield picture
            given += 1
            if given >= count:
                return
