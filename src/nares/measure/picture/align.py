"""Following the box: where the openings are in this picture, whatever the phone does.

Conventions
-----------
Positions are (row, column) in pixels of the picture. Small squares of panel (``tiles``) are remembered from
the first picture (``templates``, ``tile_memory``) and each new picture is matched to them, never to the
picture before it, so nothing creeps. A tile that is covered stops matching; the tiles that still agree carry
the motion (``motion``). A jump too large for that is found by a joint search, or by phase correlation of the
whole panel (``panel``), and believed only when the tiles then agree.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from nares.base.vocab import Region
from nares.measure.picture.motion import Motion, farther, fit_motion, middle
from nares.measure.picture.panel import Panel
from nares.measure.picture.sight import Box, sight_of
from nares.measure.picture.tile_memory import TileMemory
from nares.measure.picture.tiles import tiles_around

Floats = NDArray[np.float32]

DOUBTFUL = 0.6
"""A tile on the rim that matches less is looked at again without the strong edges in it."""

SEARCH_PX, SEARCH_TILES = 8, 16
"""How far, and with how many tiles, a shift is looked for when the linear step does not reach it."""

REACH_PX = 1.5
"""The linear step is trusted up to about this far."""

PLAIN = 0.5
"""With this share of the tiles agreeing the box is in plain sight, and where it stands is remembered."""

SHIFTED, JUMPED = 0.25, 0.4
"""Share of the tiles that must agree before a shift found by search, or a jump, is believed: a coat in front
of the box has places that look like a few of them."""

STRAYED_PX = 2.0
"""Further than this from where it was last in plain sight, that place is tried again."""


@dataclass(frozen=True, slots=True)
class Followed:
    """Where the box is in one picture.

    ``ok``: enough tiles agreed. ``shift_px``: (regions, 2), motion of each opening's centre since the
    first picture. ``match``: (tiles,) correlation of each tile with the remembered one. ``gain``:
    brightness of the panel against the first picture.
    """

    ok: bool
    shift_px: Floats
    match: Floats
    gain: float


@dataclass(frozen=True, slots=True)
class Found:
    """A motion and where it puts each tile (n, 2), each tile's match, which agree, the panel's brightness."""

    motion: Motion
    moved: Floats
    match: Floats
    inliers: NDArray[np.bool_]
    gain: float


class Follower:
    """Remembers the panel of the first picture and finds it again, by its ``tiles``, in every other."""

    def __init__(self, regions: tuple[Region, ...], luma: NDArray[np.uint8]) -> None:
        self.tiles = tiles_around(regions, luma.shape)
        centre = self.tiles.centre
        self._corner, self._centre = self.tiles.corner, (float(centre[0]), float(centre[1]))
        self._offset = (self._corner + self.tiles.size / 2 - centre).astype(np.float32)
        middles = [[(r.y + r.h / 2) * luma.shape[0], (r.x + r.w / 2) * luma.shape[1]] for r in regions]
        self._middle = np.array(middles, np.float32).reshape(-1, 2) - centre.astype(np.float32)
        self._memory = TileMemory(self.tiles, luma)
        self._panel = Panel(regions, luma)
        self._motion = Motion()
        self._plain = Motion()
        self._misses = 0

    @property
    def lost(self) -> bool:
        """Whether the box was not found in the last picture."""
        return self._misses > 0

    def sight(self, box: Box) -> Region | None:
        """Where a box of the first picture would lie in the next, and a little more."""
        return sight_of(box, self._motion, self._centre, self.tiles.shape)

    def glance(self, luma: NDArray[np.uint8]) -> Followed | None:
        """Find the box about where it was; None, and nothing remembered, when it takes a search."""
        if not len(self.tiles):
            return self.follow(luma)
        found = self._near(luma, self._motion)
        return None if found is None else self._taken(luma, found)

    def follow(self, luma: NDArray[np.uint8]) -> Followed:
        """Find the box in this picture."""
        if not len(self.tiles):
            return Followed(True, self._motion.at(self._middle), np.zeros(0, np.float32), 1.0)
        found = self._find(luma)
        if found is None:
            self._misses += 1
            match = self._match_at(luma, self._motion)
            return Followed(False, self._motion.at(self._middle), match, float("nan"))
        return self._taken(luma, found)

    def _taken(self, luma: NDArray[np.uint8], found: Found) -> Followed:
        """Believe what was found, and learn from it."""
        self._misses = 0
        self._motion = found.motion
        place = self._corner + found.moved
        self._look_twice(luma, place, found.match)
        self._memory.learn(luma, place, found.match, found.inliers)
        return Followed(True, self._motion.at(self._middle), found.match, found.gain)

    def _find(self, luma: NDArray[np.uint8]) -> Found | None:
        """Where it was; or where it was last in plain sight; or near there; or anywhere."""
        found = self._near(luma, self._motion)
        if found is not None and self._share(found) >= PLAIN:
            self._plain = found.motion
            return found
        if self._strayed():
            found = self._better(found, self._near(luma, self._plain))
        if found is not None or (self._misses > 5 and self._misses % 3):
            return found  # a long-lost box is looked for in every third picture
        return self._found_again(luma)

    def _found_again(self, luma: NDArray[np.uint8]) -> Found | None:
        found = self._near(luma, self._search(luma, self._motion))
        if found is not None and self._share(found) >= SHIFTED:
            return found
        row, col = self._panel.jump(luma)
        found = self._near(luma, self._search(luma, replace(self._motion, row=row, col=col)))
        return found if found is not None and self._share(found) >= JUMPED else None

    def _strayed(self) -> bool:
        """Whether it is now followed somewhere else than where it last was in plain sight."""
        now, then = self._motion.at(self._middle), self._plain.at(self._middle)
        return float(np.abs(now - then).max(initial=0.0)) > STRAYED_PX

    def _share(self, found: Found) -> float:
        return float(np.count_nonzero(found.inliers)) / len(self.tiles)

    def _better(self, one: Found | None, other: Found | None) -> Found | None:
        """The one on which more tiles agree."""
        if one is None or other is None:
            return one or other
        return other if np.count_nonzero(other.inliers) > np.count_nonzero(one.inliers) else one

    def _search(self, luma: NDArray[np.uint8], guess: Motion) -> Motion:
        """The shift within `SEARCH_PX` of a guess that suits the best tiles together."""
        best = np.argsort(-self._memory.usual)[:SEARCH_TILES]
        span = self.tiles.size + 2 * SEARCH_PX
        if min(luma.shape) < span:
            return guess
        corner = np.rint(self._corner + guess.at(self._offset)).astype(np.intp)[best] - SEARCH_PX
        held = np.clip(corner, 0, np.array(luma.shape) - span)
        wide = sliding_window_view(luma, (span, span))[held[:, 0], held[:, 1]].astype(np.float32)
        wide[(held != corner).any(axis=1)] = 0
        score = (np.maximum(self._memory.templates.maps(best, wide), 0) ** 2).sum(axis=0)
        row, col = np.unravel_index(int(np.argmax(score)), score.shape)
        return replace(guess, row=guess.row + int(row) - SEARCH_PX, col=guess.col + int(col) - SEARCH_PX)

    def _near(self, luma: NDArray[np.uint8], guess: Motion) -> Found | None:
        """Match the tiles from a first guess; None when too few agree."""
        guessed = guess.at(self._offset)
        for _ in range(4):
            corner = np.rint(self._corner + guessed).astype(np.intp)
            step, match, gain = self._memory.templates.compare(self.tiles.cut(luma, corner))
            match[self.tiles.outside(corner)] = 0
            usable = (match >= self._memory.agrees) & (farther(step) <= REACH_PX)
            if np.count_nonzero(usable) < self._quorum():
                return None
            moved = np.asarray(corner - self._corner + step, np.float32)
            guess, inliers = fit_motion(self._offset, moved, match, usable, guess, guessed)
            if np.count_nonzero(inliers) < self._quorum():
                return None
            before, guessed = guessed, guess.at(self._offset)
            if np.abs(guessed - before).max() < 0.6:
                break
        return Found(guess, guessed, match, inliers, float(middle(gain[inliers])))

    def _look_twice(self, luma: NDArray[np.uint8], place: NDArray[np.float64], match: Floats) -> None:
        """Give a tile on the rim that seems hidden the benefit of a shadow's edge lying across it."""
        doubtful = np.flatnonzero(self.tiles.near & (match < DOUBTFUL) & (match != 0))
        if len(doubtful):
            seen = self.tiles.cut(luma, np.rint(place[doubtful]).astype(np.intp))
            match[doubtful] = np.maximum(match[doubtful], self._memory.templates.weave(doubtful, seen))

    def _match_at(self, luma: NDArray[np.uint8], motion: Motion) -> Floats:
        corner = np.rint(self._corner + motion.at(self._offset)).astype(np.intp)
        _, match, _ = self._memory.templates.compare(self.tiles.cut(luma, corner))
        match[self.tiles.outside(corner)] = 0
        return match

    def _quorum(self) -> int:
        return max(3, len(self.tiles) // 6)
