"""Only the part of a frame that is looked at: cut out before it is reduced, which costs most.

Conventions
-----------
A part is asked for as fractions of the upright picture and cut on a grid on which whole pixels of the frame
meet whole pixels of the picture, colour planes included, so that every pixel of the part is the one that
reducing the whole frame would have given. A frame whose size knows no such grid is reduced whole. The cut
keeps its place while what is asked for stays inside, and copies nothing: it points into the frame.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import gcd
from typing import TYPE_CHECKING, Any

from nares.base.vocab import Region

if TYPE_CHECKING:
    from av.video.frame import VideoFrame

SLACK = 12
"""Pixels of the picture cut out beyond what is asked for, so that the cut need not move each time."""
COARSEST = 32
"""A grid with fewer meeting places is not worth cutting on. [pixels of the picture]"""
MOST = 0.75
"""A larger share of the picture is not worth cutting out."""


@dataclass(frozen=True, slots=True)
class Cut:
    """A part of the reduced picture, before it is turned upright. [pixels]"""

    left: int
    top: int
    width: int
    height: int

    def holds(self, other: Cut) -> bool:
        """Whether the other lies inside."""
        return (
            self.left <= other.left
            and self.top <= other.top
            and self.left + self.width >= other.left + other.width
            and self.top + self.height >= other.top + other.height
        )


class Cutter:
    """Cuts parts out of frames of one size and pixel format, to be reduced to one size."""

    def __init__(self, frame: VideoFrame, width: int, height: int) -> None:
        """Frames like ``frame``, whose reduced picture is ``width`` x ``height`` before it is turned."""
        self._kind = kind_of(frame)
        self._pixels = frame.format
        self._size = width, height
        self._steps = meeting_step(frame.width, width), meeting_step(frame.height, height)
        self._cut: Cut | None = None
        self._ends: tuple[Any, Any] | None = None
        self._kept: Any = None

    def suits(self, frame: VideoFrame) -> bool:
        """Whether this frame is like those it was made for."""
        return kind_of(frame) == self._kind

    def cut(self, frame: VideoFrame, region: Region) -> tuple[VideoFrame, Cut] | None:
        """The part of a frame, unreduced, and where it lies; None where cutting gains nothing.

        Args:
            frame: A frame that suits.
            region: The part as fractions of the frame as it is stored.
        """
        if max(self._steps) > COARSEST or any(s % k for s, k in zip(self._size, self._steps, strict=True)):
            return None
        wanted = self._on_grid(region, 0)
        if self._cut is None or not self._cut.holds(wanted):
            self._cut, self._ends = self._on_grid(region, SLACK), None
        if self._cut.width * self._cut.height > MOST * self._size[0] * self._size[1]:
            return None
        if self._ends is None:
            self._ends = self._graph(self._cut)
        source, sink = self._ends
        source.push(frame)
        return sink.pull(), self._cut

    def _on_grid(self, region: Region, slack: int) -> Cut:
        edges = []
        for low, span, size, step in (
            (region.x, region.w, self._size[0], self._steps[0]),
            (region.y, region.h, self._size[1], self._steps[1]),
        ):
            first = min(max(0, int(low * size) - slack), size - 1) // step * step
            last = min(size, -(-(int((low + span) * size) + 1 + slack) // step) * step)
            edges.append((first, last - first))
        (left, width), (top, height) = edges
        return Cut(left, top, width, height)

    def _graph(self, cut: Cut) -> tuple[Any, Any]:
        from av.filter import Graph

        width, height, _ = self._kind
        across, down = Fraction(width, self._size[0]), Fraction(height, self._size[1])
        place = (cut.width * across, cut.height * down, cut.left * across, cut.top * down)
        graph = Graph()
        graph.threads = 1
        source = graph.add_buffer(
            width=width, height=height, format=self._pixels, time_base=Fraction(1, 1000)
        )
        sink = graph.add("buffersink")
        graph.link_nodes(source, graph.add("crop", ":".join(map(str, place))), sink).configure()
        self._kept = graph  # its ends do not keep it
        return source, sink


def kind_of(frame: VideoFrame) -> tuple[int, int, str]:
    """What must not change from frame to frame."""
    return frame.width, frame.height, frame.format.name


def meeting_step(stored: int, shown: int) -> int:
    """Every how many pixels of the picture an even pixel of it begins on an even pixel of the frame.

    Examples:
        >>> meeting_step(1920, 640)
        2
        >>> meeting_step(1080, 360)
        2
        >>> meeting_step(1918, 640)
        640
    """
    step = shown // gcd(stored, shown)
    return step if step % 2 == 0 and (stored // gcd(stored, shown)) % 2 == 0 else 2 * step
