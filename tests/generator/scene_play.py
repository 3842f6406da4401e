"""What happens in a scene, drawn from a seed: where the dog's nose and the trainer's finger tips are, when.

Truth: the nose is in while its tip is 2 cm past the front panel, the hand while the finger tips are 2 cm
inside the side opening. A pose is four points: tip of the nose, where the muzzle points from, shoulder, hip.
"""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from tests.generator.scene_box import BoxPlan

Vector = NDArray[np.float64]
IN_M = 0.02


@dataclass(frozen=True)
class Conduct:
    """How the dog and the hand behave."""

    length_s: float = 20.0
    hand: str = "beside"  # "beside", "always", "away"
    at_hand: float = 0.3
    refusal: float = 0.12
    peek: float = 0.12
    graze: float = 0.15
    pays: float = 0.8


@dataclass
class Play:
    """Key poses in time and the truth that follows from them."""

    nose_keys: list[tuple[float, Vector]] = field(default_factory=list)
    hand_keys: list[tuple[float, float]] = field(default_factory=list)
    sway: Vector = field(default_factory=lambda: np.zeros((3, 4)))

    def pose(self, at_s: float) -> Vector:
        """The dog's four points, (4, 3)."""
        pose = between(self.nose_keys, at_s)
        rate, size, phase = self.sway
        for i, (hz, m, turn) in enumerate(zip(rate, size, phase, strict=True)):
            pose[0 if i < 3 else 2, i % 3] += m * np.sin(2 * np.pi * hz * at_s + turn)
        return pose

    def reach(self, at_s: float) -> float:
        """How far the finger tips are inside the side panel; negative outside. [m]"""
        return float(between(self.hand_keys, at_s)) + 0.002 * float(np.sin(2.3 * at_s))


def between(keys: list[tuple[float, Vector]] | list[tuple[float, float]], at_s: float) -> Vector:
    """A smooth way from key to key, at rest in each."""
    times = [k[0] for k in keys]
    i = int(np.clip(np.searchsorted(times, at_s) - 1, 0, len(keys) - 2))
    (t0, one), (t1, two) = keys[i], keys[i + 1]
    share = float(np.clip((at_s - t0) / max(t1 - t0, 1e-6), 0, 1))
    smooth = share * share * share * (10 - 15 * share + 6 * share * share)
    return np.asarray(one, float) * (1 - smooth) + np.asarray(two, float) * smooth


def draw_play(chance: np.random.Generator, plan: BoxPlan, conduct: Conduct, muzzle_m: float) -> Play:
    """One session of tries: waiting, going in (or not, or only to the hand), mark, pay, out."""
    made = Play()
    made.sway = np.array([chance.uniform(0.4, 1.4, 4), [0.004, 0.006, 0.005, 0.01], chance.uniform(0, 6, 4)])
    made.sway[0, 0] = chance.uniform(1.0, 5.0)
    draw = _Drawer(chance, plan, muzzle_m, made)
    rest = 0.06 if conduct.hand == "always" else -chance.uniform(0.015, 0.09)
    if conduct.hand == "away":
        rest = -0.5
    draw.hand_at(-1.0, rest)
    draw.go(-1.0, draw.off())
    at = chance.uniform(0.3, 1.5)
    draw.stay(at)
    while at < conduct.length_s - 2.5:
        at = _try(chance, draw, conduct, at, rest)
    draw.go(at + 60, draw.off())
    draw.hand_at(at + 60, rest)
    return made


def _try(chance: np.random.Generator, draw: "_Drawer", conduct: Conduct, at: float, rest: float) -> float:
    """One rep, from coming to leaving; when it is over. [s]"""
    at += chance.uniform(0.4, 0.9)
    if chance.random() < conduct.at_hand:
        draw.go(at, draw.corner())
        at += chance.uniform(0.35, 0.6)
        draw.go(at, draw.at_hand())
        at += chance.uniform(0.4, 2.0)
        draw.stay(at)
        at += chance.uniform(0.35, 0.6)
        draw.go(at, draw.corner())
        at += chance.uniform(0.25, 0.5)
    draw.go(at, draw.near())
    if chance.random() < conduct.refusal:
        at += chance.uniform(0.3, 0.6)
        draw.go(at, draw.near(grazing=True))
        draw.stay(at + chance.uniform(0.1, 0.8))
        return _leave(chance, draw, at + 0.8)
    at += chance.uniform(0.22, 0.6)
    draw.go(at, draw.inside())
    if chance.random() < conduct.peek:
        at += chance.uniform(0.15, 0.3)
        draw.stay(at)
        at += chance.uniform(0.2, 0.4)
        draw.go(at, draw.near())
        return _leave(chance, draw, at)
    for _ in range(int(chance.integers(1, 4))):
        at += chance.uniform(0.3, 1.0)
        draw.go(at, draw.inside())
    if chance.random() < conduct.graze:
        at += chance.uniform(0.2, 0.4)
        draw.go(at, draw.near(grazing=True))
        at += chance.uniform(0.2, 0.4)
        draw.go(at, draw.inside())
        at += 0.4
        draw.stay(at)
    if chance.random() < conduct.pays and conduct.hand != "always":
        at = _pay(chance, draw, at, rest)
    at += chance.uniform(0.22, 0.6)
    draw.go(at, draw.near())
    return _leave(chance, draw, at)


def _pay(chance: np.random.Generator, draw: "_Drawer", at: float, rest: float) -> float:
    draw.hand_at(at + 0.1, rest)
    if rest < -0.2:
        draw.hand_at(at + 0.4, -0.05)
        at += 0.3
    at += chance.uniform(0.35, 0.7)
    draw.hand_at(at, chance.uniform(0.045, 0.09))
    at += chance.uniform(0.4, 1.2)
    draw.hand_at(at, chance.uniform(0.045, 0.09))
    draw.stay(at)
    draw.hand_at(at + chance.uniform(0.3, 0.6), rest)
    return at


def _leave(chance: np.random.Generator, draw: "_Drawer", at: float) -> float:
    draw.stay(at)
    if chance.random() < 0.7:
        at += chance.uniform(0.4, 0.9)
        draw.go(at, draw.off())
        at += chance.uniform(0.2, 1.5)
        draw.stay(at)
    return at


class _Drawer:
    """Draws poses and appends them to a play, in order of time."""

    def __init__(self, chance: np.random.Generator, plan: BoxPlan, muzzle_m: float, play: Play) -> None:
        self._chance, self._plan, self._play = chance, plan, play
        self._muzzle_m = muzzle_m
        self._yaw = chance.uniform(-0.35, 0.5)

    def go(self, at_s: float, pose: Vector) -> None:
        if self._play.nose_keys and at_s <= self._play.nose_keys[-1][0]:
            at_s = self._play.nose_keys[-1][0] + 0.05
        self._play.nose_keys.append((at_s, pose))

    def stay(self, at_s: float) -> None:
        self.go(at_s, self._play.nose_keys[-1][1])

    def hand_at(self, at_s: float, reach_m: float) -> None:
        if self._play.hand_keys and at_s <= self._play.hand_keys[-1][0]:
            at_s = self._play.hand_keys[-1][0] + 0.05
        self._play.hand_keys.append((at_s, reach_m))

    def _at_front(self, x: float, off: float) -> Vector:
        mid_y, mid_z, radius = self._plan.front
        nose = np.array(
            [
                x,
                mid_y + off * radius * self._chance.uniform(-1, 1),
                mid_z + off * radius * self._chance.uniform(-1, 0.8),
            ]
        )
        back = nose + np.array([-1.0, 0.25 * self._yaw, self._chance.uniform(-0.05, 0.15)])
        shoulder = nose + np.array([-0.42, 0.42 * self._yaw, self._chance.uniform(-0.02, 0.1)])
        hip = shoulder + np.array([-0.6, 0.8 * self._yaw, 0.0])
        return np.array([nose, back, shoulder, hip])

    def inside(self) -> Vector:
        return self._at_front(self._chance.uniform(0.04, max(0.05, self._muzzle_m - 0.015)), 0.3)

    def near(self, *, grazing: bool = False) -> Vector:
        if grazing:
            return self._at_front(-self._chance.uniform(0.005, 0.04), 0.6)
        return self._at_front(-self._chance.uniform(0.07, 0.2), 0.6)

    def off(self) -> Vector:
        return self._at_front(-self._chance.uniform(0.9, 1.6), 2.0)

    def corner(self) -> Vector:
        z = self._plan.side[1]
        nose = np.array([-0.22, -0.2, z])
        shoulder = np.array([-0.5, -0.1, z + 0.08])
        return np.array(
            [nose, nose + np.array([-0.9, 0.2, 0.1]), shoulder, shoulder + np.array([-0.6, 0.2, 0])]
        )

    def at_hand(self) -> Vector:
        x, z, _ = self._plan.side
        nose = np.array(
            [
                x + self._chance.uniform(-0.05, 0.03),
                -self._chance.uniform(0.035, 0.07),
                z + self._chance.uniform(-0.05, 0.02),
            ]
        )
        shoulder = np.array([-0.05 + self._chance.uniform(-0.12, 0.05), -0.34, z + 0.08])
        hip = shoulder + np.array([-0.62, self._chance.uniform(0.05, 0.3), 0.0])
        return np.array([nose, nose + np.array([-0.7, -0.6, 0.15]), shoulder, hip])


def truth_of(play: Play, length_s: float) -> tuple[list[tuple[float, float]], list[tuple[float, float]]]:
    """Stretches of nose in and of hand in, to a millisecond; those at the ends are cut off there."""
    at = np.arange(0, length_s, 0.002)
    tips = np.array([play.pose(t)[0] for t in at])
    nose = (tips[:, 0] > IN_M) & (tips[:, 1] > 0)  # beside the box, at the hand, is not in it
    hand = np.array([play.reach(t) for t in at]) > IN_M
    return _stretches(at, nose, length_s), _stretches(at, hand, length_s)


def _stretches(at: Vector, held: NDArray[np.bool_], length_s: float) -> list[tuple[float, float]]:
    edges = np.flatnonzero(np.diff(np.concatenate([[False], held, [False]]).astype(np.int8))).reshape(-1, 2)
    return [(float(at[a]), float(at[b]) if b < len(at) else length_s) for a, b in edges]
