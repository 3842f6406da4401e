"""Rendered sessions written as H.264 and read back: what the picture benchmark and its recipe start from."""

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
from numpy.typing import NDArray
from tests.generator.filed import encode
from tests.generator.scene import Scene, drawn

from nares.base.times import MediaTime
from nares.base.vocab import Region
from nares.measure.inputs import Picture

LENGTH_S = 20.0


def clip(
    folder: Path, seed: int, condition: str, *, length_s: float = LENGTH_S, rate: int = 0
) -> tuple[Scene, Path]:
    """A session and its clip, rendered unless it lies there already."""
    scene = drawn(seed, condition, length_s=length_s, rate=rate)
    path = folder / f"{condition}-{seed}.mp4"
    if not path.exists():
        folder.mkdir(parents=True, exist_ok=True)
        encode(scene, path.with_suffix(".part"))
        path.with_suffix(".part").rename(path)
    return scene, path


def pictures(path: Path) -> Iterator[Picture]:
    """The clip's pictures, decoded."""
    with av.open(path) as source:
        stream = source.streams.video[0]
        stream.thread_count = 1
        rate = stream.average_rate or Fraction(30)
        for index, frame in enumerate(source.decode(stream)):
            flat = np.asarray(frame.to_ndarray(format="yuv420p"), np.uint8)
            rows, cols = frame.height, frame.width
            yield Picture(MediaTime(index, 1 / rate), flat[:rows], *_colour(flat, rows, cols))


def _colour(flat: NDArray[np.uint8], rows: int, cols: int) -> tuple[NDArray[np.uint8], NDArray[np.uint8]]:
    planes = flat[rows:].reshape(2, rows // 2, cols // 2)
    return planes[0], planes[1]


def drawn_by_hand(scene: Scene) -> tuple[Region, Region]:
    """The openings as a person would draw them: every other session a few per cent off."""
    if scene.seed % 2:
        return scene.regions
    chance = np.random.default_rng([scene.seed, 5])
    front, side = (_nudged(region, chance) for region in scene.regions)
    return front, side


def _nudged(region: Region, chance: np.random.Generator) -> Region:
    off = chance.normal(0, 0.04, 4)
    w, h = region.w * (1 + off[0]), region.h * (1 + off[1])
    x, y = region.x + off[2] * region.w, region.y + off[3] * region.h
    return Region(float(np.clip(x, 0, 1 - w)), float(np.clip(y, 0, 1 - h)), float(w), float(h))
