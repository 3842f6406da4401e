"""Watching the two openings through a session: feed pictures in order, then finish.

Conventions
-----------
Regions are fractions of the picture, drawn on the first one. Per picture only a few hundred cells and one
number per panel tile are kept (under 2 kB), so memory grows by about 60 MB in half an hour. Times come from
the pictures' own clock, never from a count; edges are set between pictures where the cover passed its level.
``nares.measure.picture.align`` follows the box, ``patch`` cuts the cells, ``occupancy`` judges them.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nares.base.errors import OutOfRange
from nares.base.vocab import Region, Span
from nares.measure.inputs import Picture
from nares.measure.picture.align import Followed, Follower
from nares.measure.picture.occupancy import occupancy
from nares.measure.picture.patch import CELLS, COLOUR_CELLS, Sampler
from nares.measure.picture.sight import Box, box_around
from nares.measure.picture.track import Track

LOST_S = 0.5
"""A box not found for this long is reported as lost."""

SMALLEST_PX = 6
"""An opening fewer pixels wide or high than this holds too little to see."""


@dataclass(frozen=True, slots=True)
class Watched:
    """What was seen. ``lost``: stretches in which the box could not be followed."""

    nose_in: tuple[Span, ...]
    hand_in: tuple[Span, ...]
    lost: tuple[Span, ...]
    notes: tuple[str, ...]


class Eye:
    """Sees nothing when neither region is given; either may be left out."""

    def __init__(self, front: Region | None, side: Region | None) -> None:
        self._names = tuple(n for n, r in (("nose", front), ("hand", side)) if r is not None)
        self._regions = tuple(r for r in (front, side) if r is not None)
        self._follower: Follower | None = None
        self._samplers: list[tuple[Sampler, Sampler]] = []
        self._shape: tuple[int, ...] = ()
        self._looked_at: Box = (0.0, 0.0, 0.0, 0.0)
        self._at_s: list[float] = []
        self._cells = bytearray()
        self._match = bytearray()
        self._gain: list[float] = []

    def see(self, picture: Picture) -> None:
        """Take in one picture, later than the one before.

        Raises:
            OutOfRange: If its size changed, its time goes backwards, or an opening is a speck in it.
        """
        if not self._regions:
            return
        at_s = picture.at.seconds
        self._require(picture, at_s)
        if self._follower is None:
            picture = picture.whole() if picture.whole else picture
            self._begin(picture)
        if self._follower is not None:
            self._at_s.append(at_s)
            found = self._follower.glance(picture.luma) if picture.whole else None
            if found is None:
                picture = picture.whole() if picture.whole else picture
                found = self._follower.follow(picture.luma)
            self._keep(picture, found)

    def sight(self) -> Region | None:
        """The part of the next picture that will most likely do; None: all of it."""
        if self._follower is None or self._follower.lost:
            return None
        return self._follower.sight(self._looked_at)

    def finish(self) -> Watched:
        """Judge the session; call once, after the last picture."""
        if not self._regions:
            return Watched((), (), (), ("No opening was given: the picture was not used.",))
        if self._follower is None:
            return Watched((), (), (), ("There was no picture to look at.",))
        seen = {name: occupancy(self._track(i), what=name) for i, name in enumerate(self._names)}
        lost = lost_spans(np.array(self._at_s), np.isfinite(np.array(self._gain)))
        notes = [note for found in seen.values() for note in found.notes]
        notes += [f"The box was lost from {s.start_s:.1f} to {s.end_s:.1f} s." for s in lost]
        nose, hand = (seen[n].spans if n in seen else () for n in ("nose", "hand"))
        return Watched(nose, hand, lost, tuple(notes))

    def _require(self, picture: Picture, at_s: float) -> None:
        if self._shape and picture.luma.shape != self._shape:
            raise OutOfRange(
                f"The picture changed size from {self._shape} to {picture.luma.shape}. "
                "Measure the parts before and after the change as two recordings."
            )
        if self._at_s and at_s <= self._at_s[-1]:
            raise OutOfRange(
                f"A picture at {at_s:g} s follows one at {self._at_s[-1]:g} s. "
                "Give pictures in the order of their times."
            )

    def _begin(self, picture: Picture) -> None:
        height, width = picture.luma.shape
        for name, region in zip(self._names, self._regions, strict=True):
            if min(region.w * width, region.h * height) < SMALLEST_PX:
                raise OutOfRange(
                    f"The opening for the {name} is {region.w * width:.0f} x {region.h * height:.0f} pixels "
                    f"in a picture of {width} x {height}. Draw it larger, or film from nearer."
                )
        self._shape = picture.luma.shape
        self._follower = Follower(self._regions, picture.luma)
        self._samplers = [
            (Sampler(r, picture.luma.shape, CELLS), Sampler(r, picture.blue.shape, COLOUR_CELLS))
            for r in self._regions
        ]
        windows = [fine.window for fine, _ in self._samplers]
        self._looked_at = box_around([*windows, *self._follower.tiles.boxes])

    def _keep(self, picture: Picture, found: Followed) -> None:
        self._gain.append(found.gain)
        self._match += np.clip(found.match * 255, 0, 255).astype(np.uint8).tobytes()
        halving = picture.blue.shape[0] / picture.luma.shape[0]
        for (fine, coarse), shift in zip(self._samplers, found.shift_px, strict=True):
            row, col = float(shift[0]), float(shift[1])
            self._cells += fine.cut(picture.luma, row, col).tobytes()
            for plane in (picture.blue, picture.red):
                self._cells += coarse.cut(plane, row * halving, col * halving).tobytes()

    def _track(self, index: int) -> Track:
        assert self._follower is not None
        count, fine, coarse = len(self._at_s), CELLS**2, COLOUR_CELLS**2
        kept = np.frombuffer(self._cells, np.uint8).reshape(count, len(self._regions), fine + 2 * coarse)
        match = np.frombuffer(self._match, np.uint8).reshape(count, -1)
        rim = (self._follower.tiles.owner == index) & self._follower.tiles.near
        gain = np.array(self._gain, np.float32)
        region, (height, width) = self._regions[index], self._shape
        middle = np.array([(region.y + region.h / 2) * height, (region.x + region.w / 2) * width])
        arm = self._follower.tiles.corner[rim] + self._follower.tiles.size / 2 - middle
        wide, high = region.w * width, region.h * height
        return Track(
            at_s=np.array(self._at_s),
            luma=kept[:, index, :fine].reshape(count, CELLS, CELLS),
            colour=kept[:, index, fine:].reshape(count, 2, COLOUR_CELLS, COLOUR_CELLS),
            gain=_filled(gain),
            match=(match[:, rim] / np.float32(255)).astype(np.float32),
            followed=np.isfinite(gain),
            tile_angle=np.arctan2(arm[:, 0] / high, arm[:, 1] / wide).astype(np.float32),
            size_px=(wide + high) / 2,
            slant=wide / high,
            enters=self._enters(index),
        )

    def _enters(self, index: int) -> int:
        """Openings in neighbouring sides of a box, seen together, are entered towards each other."""
        if len(self._regions) < 2:
            return 0
        here, other = self._regions[index], self._regions[1 - index]
        apart = (other.x + other.w / 2) - (here.x + here.w / 2)
        return int(np.sign(apart)) if abs(apart) > (here.w + other.w) / 2 else 0


def lost_spans(at_s: NDArray[np.float64], followed: NDArray[np.bool_]) -> tuple[Span, ...]:
    """Stretches of at least `LOST_S` in which the box was not found."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], ~followed, [False]]).astype(np.int8)))
    stretches = [(float(at_s[a]), float(at_s[b - 1])) for a, b in edges.reshape(-1, 2)]
    return tuple(Span(a, b, 0.9) for a, b in stretches if b - a >= LOST_S)


def _filled(gain: NDArray[np.float32]) -> NDArray[np.float32]:
    """The gain where it is unknown, from the pictures around."""
    known = np.flatnonzero(np.isfinite(gain))
    if not len(known):
        return np.ones_like(gain)
    return np.interp(np.arange(len(gain)), known, gain[known]).astype(np.float32)
