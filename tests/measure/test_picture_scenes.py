"""Rendered sessions with exact truth: a box in perspective, a dog, a hand, light, a phone in a hand."""

from functools import cache

import numpy as np
import pytest
from tests.generator.scene import Scene, drawn, performed
from tests.generator.stage import frame_f1

from nares.measure.inputs import Picture
from nares.measure.picture.align import Follower
from nares.measure.picture.eye import Eye

RATE = 15


@cache
def session(seed: int, condition: str, length_s: float = 9.0) -> tuple[Scene, tuple[Picture, ...]]:
    scene = drawn(seed, condition, length_s=length_s, rate=RATE)
    return scene, tuple(performed(scene))


def test_the_same_seed_gives_the_same_pictures() -> None:
    scene = drawn(10_001, "stand", length_s=1, rate=RATE)
    once, again = (next(iter(performed(scene))).luma for _ in range(2))
    assert np.array_equal(once, again)


def test_what_is_drawn_fills_the_opening_while_the_truth_says_in() -> None:
    scene, pictures = session(10_002, "stand")
    region = scene.regions[0]
    rows, cols = pictures[0].luma.shape
    top, low = round(region.y * rows), round((region.y + region.h) * rows)
    left, right = round(region.x * cols), round((region.x + region.w) * cols)
    seen = np.array([p.luma[top:low, left:right] for p in pictures], float)
    change = np.abs(seen - seen[0]).mean(axis=(1, 2))
    at = np.arange(len(pictures)) / RATE
    inside = np.any([(at > a) & (at < b) for a, b in scene.nose], axis=0)
    assert inside.any()
    assert change[inside].min() > 2 * np.median(change[:5])


def test_a_nose_beside_the_box_at_the_hand_is_not_in() -> None:
    scene = drawn(10_003, "stand", length_s=20)
    at = np.arange(0, 20, 0.02)
    tips = np.array([scene.play.pose(float(t))[0] for t in at])
    inside = np.any([(at > a + 0.01) & (at < b - 0.01) for a, b in scene.nose], axis=0)
    assert (tips[inside, 1] > 0).all()
    assert (tips[inside, 0] > 0.0199).all()


@pytest.mark.parametrize("condition", ["stand", "hand-held", "sunny"])
def test_a_nose_is_seen_in_a_rendered_session(condition: str) -> None:
    scene, pictures = session(10_004, condition)
    eye = Eye(*scene.regions)
    for picture in pictures:
        eye.see(picture)
    assert frame_f1(eye.finish().nose_in, tuple(scene.nose), scene.length_s) >= 0.97


def test_a_body_in_front_does_not_carry_the_box_away() -> None:
    scene, pictures = session(10_027, "hand-always", 10.0)
    assert scene.way.still
    follower = Follower(scene.regions, pictures[0].luma)
    found = [follower.follow(picture.luma) for picture in pictures]
    assert all(np.abs(one.shift_px).max() < 2 for one in found if one.ok)
