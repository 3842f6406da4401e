"""Rounded bodies of a scene: capsules, how rays meet them and where their shadows fall.

Lengths in metres. The world: the box's front panel is the plane x = 0 with the dog at x < 0, its side panel
the plane y = 0 with the hand at y < 0, the ground z = 0.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
Vector = NDArray[np.float64]


@dataclass(frozen=True)
class Capsule:
    """A rod with round ends. ``look``: which colour it has; not ``seen``: it casts a shadow only."""

    a: Vector
    b: Vector
    radius: float
    look: int
    seen: bool = True


@dataclass(frozen=True)
class Camera:
    """Where the phone is, its rows (right, down, forward) and its focal length in pixels."""

    at: Vector
    axes: Vector
    focal_px: float
    height: int
    width: int

    def project(self, point: Vector) -> tuple[float, float, float]:
        """Column, row and depth of a point."""
        right, down, ahead = self.axes @ (point - self.at)
        depth = max(float(ahead), 1e-3)
        return (
            self.width / 2 + self.focal_px * float(right) / depth,
            self.height / 2 + self.focal_px * float(down) / depth,
            float(ahead),
        )

    def rays(self) -> tuple[Floats, Floats, Floats]:
        """Unit directions of every pixel, (height, width) each."""
        col = (np.arange(self.width, dtype=np.float32) + 0.5 - self.width / 2) / self.focal_px
        row = (np.arange(self.height, dtype=np.float32) + 0.5 - self.height / 2) / self.focal_px
        long = 1 / np.sqrt(1 + col[None, :] ** 2 + row[:, None] ** 2)
        axes = self.axes.astype(np.float32)
        x, y, z = (
            (axes[0, i] * col[None, :] + axes[1, i] * row[:, None] + axes[2, i]) * long for i in range(3)
        )
        return x, y, z


def looking(at: Vector, toward: Vector, roll: float = 0.0) -> Vector:
    """Axes of a camera at one place that looks toward another."""
    ahead = (toward - at) / np.linalg.norm(toward - at)
    right = np.cross(ahead, np.array([0.0, 0.0, 1.0]))
    right /= np.linalg.norm(right)
    down = np.cross(ahead, right)
    turned = np.cos(roll) * right + np.sin(roll) * down
    return np.array([turned, np.cos(roll) * down - np.sin(roll) * right, ahead])


def box_of(capsule: Capsule, camera: Camera) -> tuple[slice, slice] | None:
    """The rows and columns that can show a capsule; None when it is out of the picture."""
    spots = [camera.project(end) for end in (capsule.a, capsule.b)]
    if min(depth for _, _, depth in spots) < 0.05:
        return slice(0, camera.height), slice(0, camera.width)
    reach = [1.25 * camera.focal_px * capsule.radius / depth + 2 for _, _, depth in spots]
    left = min(col - r for (col, _, _), r in zip(spots, reach, strict=True))
    right = max(col + r for (col, _, _), r in zip(spots, reach, strict=True))
    top = min(row - r for (_, row, _), r in zip(spots, reach, strict=True))
    low = max(row + r for (_, row, _), r in zip(spots, reach, strict=True))
    if right < 0 or low < 0 or left >= camera.width or top >= camera.height:
        return None
    return (
        slice(max(0, int(top)), min(camera.height, int(low) + 1)),
        slice(max(0, int(left)), min(camera.width, int(right) + 1)),
    )


def dotted(way: Vector, at: tuple[Floats, Floats, Floats]) -> Floats:
    """The part of places, or of rays, along a way; in single precision throughout."""
    return np.asarray(at[0] * np.float32(way[0]) + at[1] * np.float32(way[1]) + at[2] * np.float32(way[2]))


def meet(
    capsule: Capsule, origin: Vector, rays: tuple[Floats, Floats, Floats]
) -> tuple[Floats, tuple[Floats, Floats, Floats], Floats]:
    """Distance along each ray (infinite where it misses), the normal there, and the way along the rod. [m]"""
    rod, rest = capsule.b - capsule.a, origin - capsule.a
    rod_rod, rod_rest = float(rod @ rod) + 1e-9, float(rod @ rest)
    rod_ray = dotted(rod, rays)
    rest_ray = dotted(rest, rays)
    square = np.maximum(rod_rod - rod_ray**2, np.float32(1e-9))
    half = rod_rod * rest_ray - rod_rest * rod_ray
    free = rod_rod * float(rest @ rest) - rod_rest**2 - capsule.radius**2 * rod_rod
    inner = half**2 - square * np.float32(free)
    with np.errstate(invalid="ignore"):
        t = (-half - np.sqrt(inner)) / square
        along = rod_rest + t * rod_ray
        beyond = along > 0.5 * rod_rod
        off = np.where(beyond, np.float32(1), np.float32(0))
        end = (rest_ray - off * rod_ray).astype(np.float32)
        gone = float(rest @ rest) + off * (rod_rod - 2 * rod_rest) - capsule.radius**2
        cap = end**2 - gone
        on_rod = (inner >= 0) & (along > 0) & (along < rod_rod)
        t = np.where(on_rod, t, np.where(cap >= 0, -end - np.sqrt(cap), np.float32(np.inf)))
        t[~(t > 0.02)] = np.inf
        share = np.clip((rod_rest + t * rod_ray) / np.float32(rod_rod), 0, 1)
        normal = tuple(
            ((t * ray - share * np.float32(rod[i]) + np.float32(rest[i])) * np.float32(1 / capsule.radius))
            for i, ray in enumerate(rays)
        )
    return t, (normal[0], normal[1], normal[2]), np.asarray(share * np.float32(rod_rod**0.5), np.float32)


@dataclass(frozen=True)
class Light:
    """A far lamp or the sun. ``toward``: unit vector to it; ``direct``: its share; ``ambient``: the rest."""

    toward: Vector
    direct: float
    ambient: float
    soft_m: float

    @property
    def across(self) -> tuple[Vector, Vector]:
        """Two directions across the light."""
        one = np.cross(self.toward, np.array([0.0, 0.0, 1.0]))
        one /= np.linalg.norm(one)
        return one, np.cross(self.toward, one)


def lit(light: Light, at: tuple[Floats, Floats, Floats], casters: list[Capsule]) -> Floats:
    """Share of the direct light that reaches places ``at`` = (across, other way across, toward the light)."""
    one, other, up = at
    share = np.ones_like(one)
    if not len(one):
        return share
    spread = (float(one.min()), float(one.max()), float(other.min()), float(other.max()))
    e1, e2 = light.across
    for caster in casters:
        a, b = (np.array([p @ e1, p @ e2, p @ light.toward]) for p in (caster.a, caster.b))
        r = caster.radius + light.soft_m
        if (
            max(a[0], b[0]) + r < spread[0]
            or min(a[0], b[0]) - r > spread[1]
            or max(a[1], b[1]) + r < spread[2]
            or min(a[1], b[1]) - r > spread[3]
        ):
            continue
        rod = b - a
        long = float(rod[:2] @ rod[:2]) + 1e-9
        du, dv = one - np.float32(a[0]), other - np.float32(a[1])
        along = np.clip((du * np.float32(rod[0] / long) + dv * np.float32(rod[1] / long)), 0, 1)
        du -= along * np.float32(rod[0])
        dv -= along * np.float32(rod[1])
        far = np.sqrt(du * du + dv * dv)
        dark = np.clip((r - far) / np.float32(2 * light.soft_m), 0, 1)
        dark[up > np.float32(a[2]) + along * np.float32(rod[2])] = 0
        share *= 1 - dark
    return share
