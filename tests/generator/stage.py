"""A stage with a known play: a textured box, two openings, a snout, a hand, and what can go wrong.

Everything is drawn with numpy from a seed. Times of entry are those at which the tip is 55 % of the way
across the opening; pictures are 320 x 180 with colour planes of half that size.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from nares.base.times import MediaTime
from nares.base.vocab import Region, Span
from nares.measure.inputs import Picture
from nares.measure.picture.eye import Eye, Watched

HEIGHT, WIDTH, RATE = 180, 320, 30
FRONT = Region(108 / WIDTH, 62 / HEIGHT, 28 / WIDTH, 40 / HEIGHT)
SIDE = Region(206 / WIDTH, 70 / HEIGHT, 24 / WIDTH, 30 / HEIGHT)
DEEP = 0.55
"""Tip this far across the opening counts as in."""

Floats = NDArray[np.float64]

PANEL, INTERIOR = (130.0, -14.0, 10.0), (70.0, -6.0, 4.0)
SNOUT, SKIN, BODY, FLOOR = (38.0, -2.0, 2.0), (165.0, -16.0, 24.0), (95.0, -12.0, 12.0), (105.0, 2.0, -2.0)


@dataclass(frozen=True)
class Play:
    """What happens, in seconds; and what the phone and the light do."""

    length_s: float = 8.0
    nose: tuple[tuple[float, float], ...] = ((1.5, 3.5), (5.0, 6.5))
    hand: tuple[tuple[float, float], ...] = ((2.5, 3.4), (5.6, 6.3))
    body: tuple[tuple[float, float], ...] = ()
    hand_beside: bool = False
    hand_always: bool = False
    shadow: bool = False
    shake_px: float = 0.0
    drift: float = 0.0
    flicker: float = 0.0
    noise: float = 1.5
    light: float = 1.0
    snout: tuple[float, float, float] = SNOUT
    away: tuple[tuple[float, float], ...] = ()
    texture: float = 12.0
    move: tuple[int, int] = (0, 0)
    seed: int = 7


@dataclass
class Scene:
    """The picture under construction: brightness and two colour differences."""

    planes: Floats

    def paint(self, where: NDArray[np.bool_], colour: tuple[float, float, float], grain: Floats) -> None:
        for plane, value in zip(self.planes, colour, strict=True):
            plane[where] = value
        self.planes[0][where] += grain[where]


def performed(play: Play) -> Iterator[Picture]:
    """The pictures of a play, in order."""
    chance = np.random.default_rng(play.seed)
    count = round(play.length_s * RATE)
    shake = _shake(chance, count, play.shake_px) + np.array(play.move, float)
    gains = play.light * (1 + play.drift * np.sin(np.arange(count) / count * 9))
    gains *= 1 + play.flicker * np.sin(np.arange(count) * 2.1)
    grain = ndimage.gaussian_filter(chance.normal(size=(HEIGHT, WIDTH)), 1.0)
    grain *= play.texture / grain.std()
    fur = ndimage.gaussian_filter(chance.normal(size=(HEIGHT, WIDTH)), 0.8) * 30
    empty = _empty(grain, fur)
    specks = chance.normal(size=(5, 3, HEIGHT, WIDTH)).astype(np.float32)
    for index in range(count):
        at_s = index / RATE
        planes = _drawn(play, at_s, empty, fur)
        if any(a <= at_s < b for a, b in play.away):
            planes[:] = 60
        yield _picture(index, _moved(planes, *shake[index]) * gains[index], play.noise * specks[index % 5])


def watched(play: Play, *, front: Region | None = FRONT, side: Region | None = SIDE) -> Watched:
    """What the eye makes of a play."""
    eye = Eye(front, side)
    for picture in performed(play):
        eye.see(picture)
    return eye.finish()


def frame_f1(found: tuple[Span, ...], truth: tuple[tuple[float, float], ...], length_s: float) -> float:
    """F1 over pictures; 1 when both say nothing ever."""
    at = np.arange(round(length_s * RATE)) / RATE
    seen = np.zeros(len(at), bool)
    true = np.zeros(len(at), bool)
    for span in found:
        seen |= (at >= span.start_s) & (at <= span.end_s)
    for a, b in truth:
        true |= (at >= a) & (at <= b)
    total = int(seen.sum() + true.sum())
    return 1.0 if total == 0 else 2 * int((seen & true).sum()) / total


ROWS, COLS = (axis.astype(float) for axis in np.mgrid[0:HEIGHT, 0:WIDTH])


def _empty(grain: Floats, fur: Floats) -> Floats:
    scene = Scene(np.zeros((3, HEIGHT, WIDTH)))
    scene.paint(np.ones((HEIGHT, WIDTH), bool), FLOOR, 0.6 * fur)
    scene.paint((COLS > 70) & (COLS < 250) & (ROWS > 25) & (ROWS < 165), PANEL, grain)
    for region in (FRONT, SIDE):
        scene.paint(_opening(region, ROWS, COLS), INTERIOR, 0.1 * grain)
    return scene.planes


def _drawn(play: Play, at_s: float, empty: Floats, fur: Floats) -> Floats:
    scene = Scene(empty.copy())
    if play.shadow:
        scene.planes[:, (np.abs(COLS - 60 - 22 * at_s) < 25) & (ROWS > 40)] *= 0.6
    _draw_nose(play, scene, at_s, ROWS, COLS, fur)
    _draw_hand(play, scene, at_s, ROWS, COLS, fur)
    if any(a <= at_s < b for a, b in play.body):
        scene.paint((COLS > 40) & (COLS < 185) & (ROWS > 30), BODY, fur)
    return scene.planes


def _moved(planes: Floats, col: float, row: float) -> Floats:
    """The picture moved by a fraction of pixels, linearly between neighbours."""
    for axis, by in ((1, row), (2, col)):
        whole = int(np.floor(by))
        share = by - whole
        planes = np.roll(planes, whole, axis) if whole else planes
        planes = (1 - share) * planes + share * np.roll(planes, 1, axis) if share else planes
    return planes


def _draw_nose(play: Play, scene: Scene, at_s: float, rows: Floats, cols: Floats, fur: Floats) -> None:
    reach = _reach(play.nose, at_s)
    if reach is None:
        return
    left, width = FRONT.x * WIDTH, FRONT.w * WIDTH
    tip, row = left + reach * width, 84 + 2 * np.sin(9 * at_s)
    scene.paint((cols < tip) & (cols > tip - 40) & (np.abs(rows - row) < 9), play.snout, 0.1 * fur)
    head = np.hypot((cols - (tip - 34)) / 18, (rows - row) / 17) < 1
    scene.paint(head, BODY, fur)
    scene.paint((cols < tip - 40) & (np.abs(rows - row - 12) < 20), BODY, fur)


def _draw_hand(play: Play, scene: Scene, at_s: float, rows: Floats, cols: Floats, fur: Floats) -> None:
    reach = 0.9 + 0.05 * np.sin(3 * at_s) if play.hand_always else _reach(play.hand, at_s)
    if reach is None and play.hand_beside:
        reach = -0.35
    if reach is None:
        return
    right, width = (SIDE.x + SIDE.w) * WIDTH, SIDE.w * WIDTH
    tip = right - reach * width
    scene.paint((cols > tip) & (np.abs(rows - 86) < 6 + np.minimum((cols - tip) / 8, 4)), SKIN, 0.15 * fur)


def _reach(visits: tuple[tuple[float, float], ...], at_s: float) -> float | None:
    """How far across the opening the tip is; None when nothing is near. Eight openings a second."""
    for start, end in visits:
        if start - 0.4 <= at_s <= end + 0.4:
            inward, outward = DEEP + 8 * (at_s - start), DEEP + 8 * (end - at_s)
            return float(min(inward, outward, 0.95))
    return None


def _opening(region: Region, rows: Floats, cols: Floats) -> NDArray[np.bool_]:
    across = (cols + 0.5 - (region.x + region.w / 2) * WIDTH) / (region.w * WIDTH / 2)
    down = (rows + 0.5 - (region.y + region.h / 2) * HEIGHT) / (region.h * HEIGHT / 2)
    return np.asarray(np.hypot(across, down) < 1)


def _shake(chance: np.random.Generator, count: int, amount_px: float) -> Floats:
    """A hand: slow wandering and a tremor, starting at rest."""
    if not amount_px:
        return np.zeros((count, 2))
    slow = ndimage.gaussian_filter1d(chance.normal(size=(count, 2)), 14, axis=0)
    fast = ndimage.gaussian_filter1d(chance.normal(size=(count, 2)), 1.5, axis=0)
    moved = amount_px * (slow / slow.std() + 0.2 * fast / fast.std())
    return np.asarray(moved - moved[0])


def _picture(index: int, planes: Floats, noise: NDArray[np.float32]) -> Picture:
    small = planes[1:, ::2, ::2] + 0.5 * noise[1:, ::2, ::2]
    levels = [
        np.clip(p + 0.5, 0, 255).astype(np.uint8)
        for p in (planes[0] + noise[0], 128 + small[0], 128 + small[1])
    ]
    return Picture(MediaTime(index, Fraction(1, RATE)), levels[0], levels[1], levels[2])
