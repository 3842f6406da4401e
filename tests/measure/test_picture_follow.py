"""The box is followed through shifts, turns, zooms and jolts; what moves otherwise carries nothing along."""

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import ndimage

from nares.base.vocab import Region
from nares.measure.picture.align import Followed, Follower
from nares.measure.picture.motion import Motion, fit_motion
from nares.measure.picture.templates import Templates
from nares.measure.picture.tile_memory import RENEW
from nares.measure.picture.tiles import tiles_around

HEIGHT, WIDTH = 240, 360
REGIONS = (Region(0.3, 0.4, 0.1, 0.17), Region(0.6, 0.4, 0.1, 0.17))
MIDDLES = np.array([[(r.y + r.h / 2) * HEIGHT, (r.x + r.w / 2) * WIDTH] for r in REGIONS])
CENTRE = np.array([HEIGHT / 2, WIDTH / 2])

Floats = NDArray[np.float64]
Picture = NDArray[np.uint8]


def panel(seed: int = 3) -> Floats:
    grain: Floats = ndimage.gaussian_filter(np.random.default_rng(seed).normal(size=(HEIGHT, WIDTH)), 1.5)
    return np.asarray(120 + grain / grain.std() * 25)


def shown(scene: Floats) -> Picture:
    return np.asarray(np.clip(scene + 0.5, 0, 255), np.uint8)


def seen_through(scene: Floats, matrix: Floats, shift: tuple[float, float] = (0.0, 0.0)) -> Picture:
    """The picture when each place moves to ``matrix @ (place - CENTRE) + CENTRE + shift``."""
    back = np.linalg.inv(matrix)
    return shown(ndimage.affine_transform(scene, back, CENTRE - back @ (CENTRE + shift), mode="reflect"))


def expected(matrix: Floats, shift: tuple[float, float] = (0.0, 0.0)) -> Floats:
    return np.asarray((MIDDLES - CENTRE) @ matrix.T + CENTRE + shift - MIDDLES)


def turned(by_deg: float) -> Floats:
    """A turn from columns towards rows."""
    angle = np.deg2rad(by_deg)
    return np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])


def acquainted(first: Picture) -> Follower:
    """A follower that has learned how well its tiles match."""
    follower = Follower(REGIONS, first)
    for _ in range(60):
        follower.follow(first)
    return follower


def followed(pictures: list[Picture]) -> Followed:
    follower = acquainted(pictures[0])
    return [follower.follow(picture) for picture in pictures][-1]


@pytest.mark.parametrize("by_deg", [-6.0, 6.0])
def test_a_phone_that_turns_in_the_hand_is_followed(by_deg: float) -> None:
    scene = panel()
    found = followed([seen_through(scene, turned(a)) for a in np.linspace(0, by_deg, 25)])
    assert found.ok
    assert found.shift_px == pytest.approx(expected(turned(by_deg)), abs=0.4)


@pytest.mark.parametrize("size", [0.92, 1.09])
def test_a_phone_that_comes_nearer_or_backs_off_is_followed(size: float) -> None:
    scene = panel()
    found = followed([seen_through(scene, np.eye(2) * s) for s in np.linspace(1, size, 25)])
    assert found.ok
    assert found.shift_px == pytest.approx(expected(np.eye(2) * size), abs=0.4)


@pytest.mark.parametrize("shift", [(0.6, -0.4), (5.0, 3.0), (-7.0, 6.0), (26.0, -31.0), (-33.4, 18.3)])
def test_a_jolt_of_any_size_is_found_in_the_same_picture(shift: tuple[float, float]) -> None:
    scene = panel()
    found = followed([shown(scene), seen_through(scene, np.eye(2), shift)])
    assert found.ok
    assert found.shift_px == pytest.approx(expected(np.eye(2), shift), abs=0.15)


def test_a_shift_between_two_cells_of_the_panel_is_found() -> None:
    """The whole panel, seen in cells of eight pixels, tells nothing of a shift by half a cell."""
    scene = ndimage.gaussian_filter(np.random.default_rng(5).normal(size=(540, 960)), 1.0)
    scene = 120 + scene / scene.std() * 25
    found = followed([shown(scene), shown(np.roll(scene, (4, -4), (0, 1)))])
    assert found.ok
    assert found.shift_px == pytest.approx(np.array([[4.0, -4.0]] * 2), abs=0.15)


def test_a_part_of_the_picture_that_moves_by_itself_moves_nothing_else() -> None:
    scene = panel()
    other = scene.copy()
    other[:, 190:] = ndimage.shift(scene, (1.3, 1.3), mode="reflect")[:, 190:]
    other[:110] = scene[:110]
    found = followed([shown(scene), shown(other)])
    assert found.ok
    assert np.abs(found.shift_px).max() < 0.1


def test_the_motion_is_that_of_the_tiles_that_agree() -> None:
    offset = np.stack(np.meshgrid(np.arange(-40, 41, 20), np.arange(-60, 61, 20)), -1).reshape(-1, 2)
    places = offset.astype(np.float32)
    truth = Motion(2.0, -3.0, 0.01, 0.02)
    moved = truth.at(places)
    moved[::4] += [4.0, 5.0]
    count = len(places)
    fitted, inliers = fit_motion(
        places, moved, np.ones(count, np.float32), np.ones(count, bool), Motion(), np.zeros_like(places)
    )
    assert not inliers[::4].any()
    assert fitted.at(places) == pytest.approx(truth.at(places), abs=0.25)


def test_a_turn_goes_from_columns_to_rows() -> None:
    moved = Motion(turn=0.1).at(np.array([[0, 10], [10, 0]], np.float32))
    assert moved == pytest.approx(np.array([[-1, 0], [0, 1]]), abs=1e-6)


@pytest.mark.parametrize("contrast", [1.0, 0.5])
def test_a_tile_tells_how_far_it_moved_whatever_its_contrast(contrast: float) -> None:
    scene = ndimage.gaussian_filter(panel(), 1.5)
    tiles = tiles_around(REGIONS, scene.shape)
    corner = tiles.corner.astype(np.intp)
    memory = Templates(tiles.cut(shown(scene), corner))
    away = shown(40 + contrast * ndimage.shift(scene, (0.5, -0.7), mode="reflect"))
    step, match, _ = memory.compare(tiles.cut(away, corner))
    assert np.median(step, axis=0) == pytest.approx([0.5, -0.7], abs=0.12)
    assert match.min() > 0.8


def test_a_tile_covered_in_the_first_picture_is_learned_once_it_is_bare() -> None:
    scene = panel()
    covered = scene.copy()
    covered[:, 230:] = 0.5 * panel(8)[:, 230:]
    follower = Follower(REGIONS, shown(covered))
    behind = follower.tiles.corner[:, 1] > 230
    bare = shown(scene)
    before = follower.follow(bare).match
    for _ in range(RENEW + 61):
        follower.follow(bare)
    after = follower.follow(bare).match
    assert np.median(before[behind]) < 0.3
    assert np.median(before[~behind]) > 0.95
    assert after[behind].min() > 0.8


def test_a_tile_shifted_out_of_the_picture_is_not_matched() -> None:
    scene = panel()
    shift = (-78.0, 0.0)
    steps = [seen_through(scene, np.eye(2), (a, 0.0)) for a in np.linspace(0, shift[0], 40)]
    follower = acquainted(steps[0])
    found = [follower.follow(picture) for picture in steps][-1]
    top = follower.tiles.corner[:, 0] + shift[0]
    gone, here = top < -1, top > 1
    assert gone.any()
    assert found.ok
    assert (found.match[gone] == 0).all()
    assert found.match[here].min() > 0.5


def test_a_box_out_of_the_picture_is_said_to_be_lost_and_found_again() -> None:
    follower = acquainted(shown(panel()))
    assert not follower.follow(shown(panel(8))).ok
    assert np.isnan(follower.follow(shown(panel(8))).gain)
    assert follower.follow(shown(panel())).ok


def test_the_brightness_of_the_panel_is_measured() -> None:
    found = followed([shown(panel()), shown(0.6 * panel())])
    assert found.gain == pytest.approx(0.6, abs=0.01)
