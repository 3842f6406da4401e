"""Only the part that is looked at is reduced, and nothing that is measured can tell the difference."""

from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from tests.generator.stage import FRONT, SIDE, Play, performed
from tests.media.clips import pictures_of, set_matrix, write_clip

from nares.base.vocab import Region
from nares.measure.inputs import Picture
from nares.measure.picture.eye import Eye, Watched
from nares.media import open_recording
from nares.media.part import Cut

PART = Region(0.3, 0.4, 0.25, 0.3)


def noise(width: int, height: int, count: int = 3) -> list[NDArray[np.uint8]]:
    chance = np.random.default_rng(3)
    return [chance.integers(16, 235, (height * 3 // 2, width)).astype(np.uint8) for _ in range(count)]


def grainy(path: Path, width: int, height: int, pix_fmt: str = "yuv420p") -> Path:
    frames: Sequence[NDArray[np.generic]] = noise(width, height)
    if pix_fmt == "yuv420p10le":
        frames = [frame.astype(np.uint16) * 4 for frame in frames]
    return write_clip(
        path,
        sound=None,
        pictures="libx265" if pix_fmt == "yuv420p10le" else "libx264",
        frames=frames,  # type: ignore[arg-type]
        stamps_ms=[0, 33, 67],
        pix_fmt=pix_fmt,
    )


def box(region: Region, shape: tuple[int, ...]) -> tuple[slice, slice]:
    height, width = shape
    return (
        slice(int(region.y * height), int((region.y + region.h) * height)),
        slice(int(region.x * width), int((region.x + region.w) * width)),
    )


@pytest.mark.parametrize(
    ("width", "height", "pix_fmt", "off"),
    [
        (960, 540, "yuv420p", 0),
        (640, 480, "yuv420p", 0),
        (480, 640, "yuv420p", 0),
        (320, 240, "yuv420p10le", 1),  # fewer bits are rounded with a pattern that starts at the cut
    ],
)
def test_the_part_is_the_same_to_the_pixel(
    tmp_path: Path, width: int, height: int, pix_fmt: str, off: int
) -> None:
    path = grainy(tmp_path / "a.mp4", width, height, pix_fmt)
    whole = pictures_of(path, width=160)
    parts = pictures_of(path, width=160, sight=lambda: PART)
    assert [p.at for p in parts] == [p.at for p in whole]
    for part, full in zip(parts, whole, strict=True):
        assert part.whole is not None
        assert part.luma.shape == full.luma.shape
        assert part.blue.shape == full.blue.shape
        for seen, true in ((part.luma, full.luma), (part.blue, full.blue), (part.red, full.red)):
            where = box(PART, seen.shape)
            assert np.abs(seen[where].astype(int) - true[where]).max() <= off
        assert not part.luma[0].any()
        assert np.array_equal(part.whole().luma, full.luma)


TURNS = [(1, 0, 0, 1), (0, 1, -1, 0), (-1, 0, 0, -1), (0, -1, 1, 0), (-1, 0, 0, 1), (0, 1, 1, 0)]


@pytest.mark.parametrize("matrix", TURNS)
def test_the_part_is_of_the_upright_picture(tmp_path: Path, matrix: tuple[int, int, int, int]) -> None:
    path = grainy(tmp_path / "a.mp4", 640, 480)
    set_matrix(path, *matrix)
    full, part = pictures_of(path, width=160)[0], pictures_of(path, width=160, sight=lambda: PART)[0]
    assert part.whole is not None
    assert np.array_equal(part.luma[box(PART, part.luma.shape)], full.luma[box(PART, full.luma.shape)])
    assert np.array_equal(part.red[box(PART, part.red.shape)], full.red[box(PART, full.red.shape)])


@pytest.mark.parametrize(("width", "height", "longer"), [(640, 480, 640), (646, 482, 320), (640, 480, 160)])
def test_where_a_cut_gains_nothing_the_picture_is_whole(
    tmp_path: Path, width: int, height: int, longer: int
) -> None:
    most = Region(0.05, 0.05, 0.9, 0.9) if longer == 160 else PART
    path = grainy(tmp_path / "a.mp4", width, height)
    assert all(p.whole is None for p in pictures_of(path, width=longer, sight=lambda: most))


def test_a_part_that_moves_is_followed(tmp_path: Path) -> None:
    path = grainy(tmp_path / "a.mp4", 640, 480)
    wanted = [Region(0.1, 0.1, 0.2, 0.2), Region(0.15, 0.1, 0.2, 0.2), Region(0.75, 0.8, 0.25, 0.2)]
    asked = iter(wanted)
    whole, parts = pictures_of(path, width=160), pictures_of(path, width=160, sight=lambda: next(asked))
    for region, part, full in zip(wanted, parts, whole, strict=True):
        where = box(region, full.luma.shape)
        assert np.array_equal(part.luma[where], full.luma[where])


def test_a_cut_holds_what_lies_inside() -> None:
    assert Cut(2, 4, 10, 10).holds(Cut(2, 6, 10, 8))
    assert not Cut(2, 4, 10, 10).holds(Cut(0, 6, 4, 4))
    assert not Cut(2, 4, 10, 10).holds(Cut(4, 6, 10, 4))


@pytest.fixture(scope="module")
def shaken(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A hand-held session filmed from afar, with a stretch away from the box and a knock."""
    play = Play(shake_px=1.5, away=((1.6, 2.3),), length_s=4.0, nose=((0.7, 1.4), (2.9, 3.6)))
    frames = []
    for number, picture in enumerate(performed(play)):
        knock = 20 if number >= 80 else 0
        planes = [
            np.pad(np.roll(plane, knock // coarser, 1), around(coarser), "edge")
            for plane, coarser in ((picture.luma, 1), (picture.blue, 2), (picture.red, 2))
        ]
        large = [plane.repeat(2, 0).repeat(2, 1) for plane in planes]
        frames.append(np.concatenate([p.ravel() for p in large]).reshape(-1, large[0].shape[1]))
    path = tmp_path_factory.mktemp("shaken") / "a.mp4"
    return write_clip(path, sound=None, pictures="libx264", frames=frames)


def around(coarser: int) -> tuple[tuple[int, int], tuple[int, int]]:
    return (90 // coarser, 90 // coarser), (160 // coarser, 160 // coarser)


def afar(region: Region) -> Region:
    return Region(0.25 + region.x / 2, 0.25 + region.y / 2, region.w / 2, region.h / 2)


def watch(path: Path, *, in_part: bool) -> tuple[Watched, int]:
    eye, wholes = Eye(afar(FRONT), afar(SIDE)), 0
    with open_recording(path) as recording:
        for picture in recording.play(sound=False, sight=eye.sight if in_part else None):
            assert isinstance(picture, Picture)
            wholes += picture.whole is None
            eye.see(picture)
    return eye.finish(), wholes


def test_a_shaken_knocked_and_lost_box_is_read_alike_in_part_and_in_whole(shaken: Path) -> None:
    whole, every = watch(shaken, in_part=False)
    part, wholes = watch(shaken, in_part=True)
    assert part == whole
    assert whole.lost
    assert every == 120
    assert 15 < wholes < 35  # the first, and those while the box was away
