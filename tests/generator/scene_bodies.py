"""The dog, the hand and the person of a scene as capsules, from their poses."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from tests.generator.scene_box import BoxPlan
from tests.generator.scene_shapes import Capsule

Vector = NDArray[np.float64]

COAT, MUZZLE, NOSE, SKIN, SLEEVE, CLOTHES, UNSEEN = 5, 6, 7, 8, 9, 10, 11


@dataclass(frozen=True)
class Build:
    """Size of one dog and one hand. [m]"""

    muzzle_r: float = 0.026
    muzzle_m: float = 0.1
    head_r: float = 0.065
    body_r: float = 0.15
    leg_m: float = 0.45
    finger_r: float = 0.011
    palm_r: float = 0.024


def dog(pose: Vector, build: Build) -> list[Capsule]:
    """A dog by the tip of its nose, where its muzzle points from, shoulder and hip."""
    tip, back, shoulder, hip = pose
    way = (tip - back) / np.linalg.norm(tip - back)
    r = build.muzzle_r
    end = tip - way * r
    root = tip - way * (build.muzzle_m + build.head_r * 0.6)
    brow = tip - way * (build.muzzle_m + build.head_r * 1.5) + np.array([0, 0, 0.02])
    across = np.cross(way, np.array([0.0, 0.0, 1.0]))
    across /= np.linalg.norm(across)
    made = [
        Capsule(tip - way * r * 0.9, tip - way * r * 0.95, r * 0.9, NOSE),
        Capsule(end, root, r, MUZZLE),
        Capsule(brow, brow - way * 0.04, build.head_r, COAT),
        Capsule(brow - way * 0.04, shoulder, build.head_r * 0.95, COAT),
        Capsule(shoulder, hip, build.body_r, COAT),
    ]
    for turn in (-1, 1):
        foot = brow - way * 0.03 + across * turn * build.head_r * 0.7
        made.append(Capsule(foot, foot + np.array([-0.02, 0, 0.11]), 0.018, COAT))
        for top in (shoulder, hip):
            joint = top + across * turn * build.body_r * 0.55 - np.array([0, 0, build.body_r * 0.5])
            made.append(Capsule(joint, np.array([joint[0], joint[1], 0.03]), 0.045, COAT))
    return made


def hand(reach_m: float, plan: BoxPlan, build: Build, lean: Vector) -> list[Capsule]:
    """Fingers, palm and forearm that come to the side opening; ``lean``: where the arm comes from."""
    x, z, _ = plan.side
    tip = np.array([x + lean[2], reach_m, z - 0.01])
    way = np.array([0.12 * lean[0], -1.0, 0.05])
    way /= np.linalg.norm(way)
    palm, wrist = tip + way * 0.07, tip + way * 0.13
    elbow = wrist + 0.24 * lean_way(lean)
    made = [
        Capsule(tip + way * build.finger_r + np.array([dx, 0, 0.0]), palm, build.finger_r, SKIN)
        for dx in (-0.012, 0.0, 0.012)
    ]
    made.append(Capsule(palm, wrist, build.palm_r, SKIN))
    made.append(Capsule(wrist, wrist + 0.14 * lean_way(lean), build.palm_r * 1.25, SKIN))
    made.append(
        Capsule(wrist + 0.12 * lean_way(lean), elbow + 0.5 * lean_way(lean), build.palm_r * 1.9, SLEEVE)
    )
    return made


def lean_way(lean: Vector) -> Vector:
    """The way the forearm goes off from the wrist."""
    way = np.array([lean[0], -1.0, lean[1]])
    return np.asarray(way / np.linalg.norm(way))


def person(x: float, y: float) -> list[Capsule]:
    """Somebody standing or walking behind the box."""
    return [
        Capsule(np.array([x - 0.1, y, 0.1]), np.array([x - 0.08, y, 0.9]), 0.08, CLOTHES),
        Capsule(np.array([x + 0.1, y, 0.1]), np.array([x + 0.08, y, 0.9]), 0.08, CLOTHES),
        Capsule(np.array([x, y, 1.0]), np.array([x, y, 1.45]), 0.18, CLOTHES),
        Capsule(np.array([x, y, 1.65]), np.array([x, y, 1.72]), 0.1, SKIN),
    ]
