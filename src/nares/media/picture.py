"""Decoded frames as small upright pictures with their own time stamps.

Conventions
-----------
A picture is reduced by area mean until its longer side is `LONGER_SIDE` or what was asked for, and never
enlarged. Levels stay as recorded: most phones use 16 to 235, some 0 to 255; deeper pixels become 8 bit.
The display matrix of the file says how to turn and mirror a frame so that it stands upright.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING, Any, cast

import numpy as np
from numpy.typing import NDArray

from nares.base.times import MediaTime
from nares.base.vocab import Region
from nares.measure.inputs import Picture
from nares.media.clock import Stamps, believable
from nares.media.part import Cut, Cutter
from nares.media.report import PictureTally

if TYPE_CHECKING:
    from av.video.frame import VideoFrame
    from av.video.plane import VideoPlane

LONGER_SIDE = 640
AS_THEY_ARE = ("yuv420p", "yuvj420p")

Plane = NDArray[np.uint8]
Sight = Callable[[], Region | None]
"""Says, before each picture, which part of it will be looked at; None: all of it."""


@dataclass(frozen=True, slots=True)
class Turn:
    """How a stored frame becomes upright: first swapped across its diagonal, then flipped."""

    swapped: bool = False
    flip_x: bool = False
    flip_y: bool = False

    @property
    def degrees(self) -> int:
        """The turn clockwise: 0, 90, 180 or 270. A mirrored frame counts by where its top edge goes."""
        if self.swapped:
            return 90 if self.flip_x else 270
        return 180 if self.flip_y else 0

    def stored(self, region: Region) -> Region:
        """Where a part of the upright picture lies in the frame as it is stored."""
        x = 1 - region.x - region.w if self.flip_x else region.x
        y = 1 - region.y - region.h if self.flip_y else region.y
        x, y = min(max(x, 0.0), 1 - region.w), min(max(y, 0.0), 1 - region.h)
        return Region(y, x, region.h, region.w) if self.swapped else Region(x, y, region.w, region.h)

    def upright(self, plane: Plane) -> Plane:
        """One plane turned, as an array of its own that keeps no frame alive."""
        turned = plane.T if self.swapped else plane
        turned = turned[:, ::-1] if self.flip_x else turned
        turned = turned[::-1] if self.flip_y else turned
        return np.array(turned, order="C")


def turn_of(frame: VideoFrame) -> Turn:
    """The turn that the file's display matrix asks for, to the nearest quarter.

    Ask one frame of a recording, not all: a frame that was asked holds itself in memory for a while.
    """
    try:
        matrix: Any = cast(Any, frame.side_data)["DISPLAYMATRIX"]
    except KeyError:
        return Turn()
    # Rows (a b u) (c d v) (x y w): a point goes to (a x + c y, b x + d y).
    a, b, _, c, d = np.frombuffer(matrix, dtype=np.int32)[:5].tolist()
    if abs(b) + abs(c) > abs(a) + abs(d):
        return Turn(swapped=True, flip_x=c < 0, flip_y=b < 0)
    return Turn(flip_x=a < 0, flip_y=d < 0)


class PictureReader:
    """Turns decoded frames into pictures. Feed every frame in order."""

    def __init__(
        self,
        stamps: Stamps,
        declared_s: float | None,
        longer_side: int,
        tally: PictureTally,
        turn: Turn,
        sight: Sight | None = None,
    ) -> None:
        """Start empty.

        Args:
            stamps: The stream's clock.
            declared_s: Length that the file states. [s]
            longer_side: Of a picture. [pixels]
            tally: Where what is read is counted.
            turn: What makes a frame upright.
            sight: Asked before each picture which part of it will be looked at.
        """
        self._stamps = stamps
        self._declared_s = declared_s
        self._longer_side = longer_side
        self._tally = tally
        self._turn = turn
        self._sight = sight
        self._cutter: Cutter | None = None
        self._whole, self._part = Reducer(), Reducer()

    def read(self, frame: VideoFrame) -> Iterator[Picture]:
        """The picture of one frame; none where it has no time or lies before time zero."""
        stamp = frame.pts if frame.pts is not None else frame.dts
        at = None if stamp is None else self._stamps.at(stamp)
        at_s = 0.0 if at is None else at.seconds
        if at is None or not believable(at_s, self._tally.last_s, self._declared_s):
            self._tally.without_time += 1
            return
        if at.ticks < 0:
            return
        self._tally.seen(at_s)
        region = self._sight() if self._sight else None
        seen = self._in_part(frame, at, region) if region else None
        yield seen or self._in_whole(frame, at)

    def _in_whole(self, frame: VideoFrame, at: MediaTime) -> Picture:
        size = reduced_size(frame.width, frame.height, self._longer_side)
        luma, blue, red = (self._turn.upright(p) for p in self._whole.planes(frame, *size))
        return Picture(at, luma, blue, red)

    def _in_part(self, frame: VideoFrame, at: MediaTime, region: Region) -> Picture | None:
        width, height = reduced_size(frame.width, frame.height, self._longer_side)
        if (width, height) == (frame.width, frame.height):
            return None
        if self._cutter is None or not self._cutter.suits(frame):
            self._cutter = Cutter(frame, width, height)
        part = self._cutter.cut(frame, self._turn.stored(region))
        if part is None:
            return None
        planes = self._part.planes(part[0], part[1].width, part[1].height)
        luma, blue, red = (
            self._turn.upright(_set_in(plane, part[1], width, height, 1 if index == 0 else 2))
            for index, plane in enumerate(planes)
        )
        return Picture(at, luma, blue, red, whole=lambda: self._in_whole(frame, at))


class Reducer:
    """Reduces frames, or parts of them, by area mean."""

    def __init__(self) -> None:
        """Each works best on frames of one size."""
        from av.video.reformatter import VideoReformatter

        self._reformatter = VideoReformatter()

    def planes(self, frame: VideoFrame, width: int, height: int) -> list[Plane]:
        """Brightness and the two colour differences; they last as long as the frame."""
        return [_pixels(plane) for plane in self._reduced(frame, width, height).planes]

    def _reduced(self, frame: VideoFrame, width: int, height: int) -> VideoFrame:
        if (width, height) == (frame.width, frame.height) and frame.format.name in AS_THEY_ARE:
            return frame
        levels = frame.color_range or None
        return self._reformatter.reformat(
            frame,
            width,
            height,
            format="yuv420p",
            interpolation="AREA",
            src_color_range=levels,
            dst_color_range=levels,
            threads=1,  # the decoder's own threads already use the processors
        )


def _set_in(plane: Plane, cut: Cut, width: int, height: int, coarser: int) -> Plane:
    """A part of a plane at its place in one of full size that is 0 elsewhere."""
    full = np.zeros((-(-height // coarser), -(-width // coarser)), np.uint8)
    top, left = cut.top // coarser, cut.left // coarser
    full[top : top + plane.shape[0], left : left + plane.shape[1]] = plane
    return full


@lru_cache(maxsize=8)
def reduced_size(width: int, height: int, longer_side: int) -> tuple[int, int]:
    """The size after reduction, in proportion and never larger than it was. [pixels]

    Examples:
        >>> reduced_size(1920, 1080, 640)
        (640, 360)
        >>> reduced_size(65, 49, 640)
        (65, 49)
    """
    scale = Fraction(longer_side, max(width, height))
    if scale >= 1:
        return width, height
    return max(2, round(width * scale)), max(2, round(height * scale))


def _pixels(plane: VideoPlane) -> Plane:
    rows: Plane = np.frombuffer(cast(Any, plane), dtype=np.uint8)
    return rows[: plane.height * plane.line_size].reshape(plane.height, plane.line_size)[:, : plane.width]
