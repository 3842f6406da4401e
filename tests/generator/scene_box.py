"""What stands still in a scene: ground, wall and the box with its two openings, cast ray by ray.

Lengths in metres, the world as in ``scene_shapes``. A *cast* says for every pixel how far its ray goes, which
look it meets, how bright that is without direct light and how much of the direct light it would get.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage
from tests.generator.scene_shapes import Camera, Light, dotted

Floats = NDArray[np.float32]

GROUND, WALL, PANEL, INTERIOR, SKY = 0, 1, 2, 3, 4
TEXELS, TEXEL_M = 1024, 0.0012


@dataclass(frozen=True)
class BoxPlan:
    """Size of the box, thickness of its panels, and its two round openings (middle and radius). [m]"""

    deep: float = 0.5
    wide: float = 0.45
    high: float = 0.5
    thick: float = 0.012
    front: tuple[float, float, float] = (0.22, 0.3, 0.065)
    side: tuple[float, float, float] = (0.28, 0.3, 0.055)
    wall_y: float = 2.0
    inside_light: float = 0.4
    seam: float = 0.75


@dataclass
class Cast:
    """Per pixel: distance, look, factor by texture, ambient and direct shares, and which is lit."""

    far: Floats
    look: NDArray[np.uint8]
    grain: Floats
    ambient: Floats
    direct: Floats
    shadowed: NDArray[np.intp]
    light_at: tuple[Floats, Floats, Floats]
    rays: tuple[Floats, Floats, Floats]
    interior: NDArray[np.bool_]


def textures(chance: np.random.Generator, grains: list[tuple[float, float, float]]) -> list[Floats]:
    """One square of texture per look: amount, size along and across in m; they repeat."""
    made = []
    for amount, along, across in grains:
        noise = chance.normal(size=(TEXELS // 2, TEXELS // 2)).astype(np.float32)
        smooth = ndimage.gaussian_filter(noise, (along / TEXEL_M / 2, across / TEXEL_M / 2), mode="wrap")
        blotch = ndimage.gaussian_filter(noise, 14, mode="wrap")
        mixed = smooth / smooth.std() + 0.35 * blotch / blotch.std()
        made.append((amount * mixed).repeat(2, 0).repeat(2, 1).astype(np.float32))
    return made


def looked_up(texture: Floats, u: Floats, v: Floats) -> Floats:
    """The texture at places in m."""
    at_u = (u * np.float32(1 / TEXEL_M)).astype(np.int32) & (TEXELS - 1)
    at_v = (v * np.float32(1 / TEXEL_M)).astype(np.int32) & (TEXELS - 1)
    return texture.ravel()[at_u * TEXELS + at_v]


def cast(plan: BoxPlan, camera: Camera, light: Light, texture: list[Floats]) -> Cast:
    """Everything that stands still, seen from the camera."""
    x, y, z = (ray.ravel() for ray in camera.rays())
    ox, oy, oz = (float(v) for v in camera.at)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        far = np.where(z < -1e-4, -oz / z, np.inf).astype(np.float32)
        to_wall = np.where(y > 1e-4, (plan.wall_y - oy) / y, np.inf).astype(np.float32)
    look = np.where(np.isfinite(far), GROUND, SKY).astype(np.uint8)
    look[to_wall < far] = WALL
    far = np.minimum(np.minimum(far, to_wall), np.float32(30))
    px, py, pz = ox + far * x, oy + far * y, oz + far * z
    look[(look == WALL) & (px > 3.5)] = SKY  # the wall ends
    u, v = px.copy(), py.copy()
    u[look == WALL], v[look == WALL] = px[look == WALL], pz[look == WALL]
    turned = np.where(look == WALL, max(-light.toward[1], 0.0), max(light.toward[2], 0.0)).astype(np.float32)
    ambient = np.full_like(far, light.ambient)
    interior = np.zeros(len(far), bool)
    for which in range(3):
        _panel(which, plan, (ox, oy, oz), (x, y, z), far, look, u, v, turned, ambient, interior, light)
    grain = np.ones_like(far)
    for index in range(4):
        here = np.flatnonzero(look == index)
        grain[here] += looked_up(texture[index], u[here], v[here])
    seam = (look == PANEL) & (np.abs(u - plan.seam * plan.deep) < 0.002) & (v < 5)
    grain[seam] *= np.float32(0.6)
    px, py, pz = ox + far * x, oy + far * y, oz + far * z
    lit_at = np.flatnonzero((turned > 0) & (look != SKY))
    e1, e2 = light.across
    ways = (e1, e2, light.toward)
    places = (px[lit_at], py[lit_at], pz[lit_at])
    at = tuple(dotted(way, places) for way in ways)
    _box_shadow(plan, light, look, (px, py, pz), turned)
    shape = (camera.height, camera.width)
    return Cast(
        far.reshape(shape), look.reshape(shape), np.maximum(grain, 0.15).reshape(shape),
        ambient.reshape(shape), (light.direct * turned).reshape(shape).astype(np.float32),
        lit_at, (at[0], at[1], at[2]), (x.reshape(shape), y.reshape(shape), z.reshape(shape)),
        interior.reshape(shape),
    )  # fmt: skip


def _panel(
    which: int,
    plan: BoxPlan,
    o: tuple[float, float, float],
    ray: tuple[Floats, Floats, Floats],
    far: Floats,
    look: NDArray[np.uint8],
    u: Floats,
    v: Floats,
    turned: Floats,
    ambient: Floats,
    interior: NDArray[np.bool_],
    light: Light,
) -> None:
    """Front (x = 0), side (y = 0) or lid (z = high) of the box, with what is seen through its opening."""
    axis, level = ((0, 0.0), (1, 0.0), (2, plan.high))[which]
    others = [(1, 2), (0, 2), (0, 1)][which]
    spans = ((plan.wide, plan.high), (plan.deep, plan.high), (plan.deep, plan.wide))[which]
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        t = ((level - o[axis]) / ray[axis]).astype(np.float32)
        one, two = (o[i] + t * ray[i] for i in others)
        hit = (t > 0) & (t < far) & (one >= 0) & (one <= spans[0]) & (two >= 0) & (two <= spans[1])
    here = np.flatnonzero(hit)
    if not len(here):
        return
    one, two, t = one[here], two[here], t[here]
    facing = (-light.toward[0], -light.toward[1], light.toward[2])[which]
    open_ = np.zeros(len(here), bool)
    if which < 2:
        mid_one, mid_two, radius = (plan.front, plan.side)[which]
        open_ = np.hypot(one - mid_one, two - mid_two) < radius
    solid = here[~open_]
    far[solid], look[solid] = t[~open_], PANEL
    turned[solid] = max(facing, 0.0)
    ambient[solid] = light.ambient * (1.0, 0.93, 1.1)[which]
    u[solid], v[solid] = one[~open_] + 0.31 * which, two[~open_] + 10 * (which != 1)
    hole = here[open_]
    if len(hole):
        _through(which, plan, o, ray, hole, t[open_], far, look, u, v, turned, ambient, interior, light)


def _through(
    which: int,
    plan: BoxPlan,
    o: tuple[float, float, float],
    ray: tuple[Floats, Floats, Floats],
    hole: NDArray[np.intp],
    entry: Floats,
    far: Floats,
    look: NDArray[np.uint8],
    u: Floats,
    v: Floats,
    turned: Floats,
    ambient: Floats,
    interior: NDArray[np.bool_],
    light: Light,
) -> None:
    """What a ray meets behind an opening: the cut edge of the panel, or the inside of the box."""
    axis = which
    mid_one, mid_two, radius = (plan.front, plan.side)[which]
    others = [(1, 2), (0, 2)][which]
    d = [ray[i][hole] for i in range(3)]
    behind = entry + np.float32(plan.thick) / d[axis]
    one, two = (o[i] + behind * d[i] for i in others)
    on_edge = np.hypot(one - mid_one, two - mid_two) >= radius
    low = (plan.thick, plan.thick, plan.thick)
    high = (plan.deep - plan.thick, plan.wide - plan.thick, plan.high - plan.thick)
    with np.errstate(divide="ignore", invalid="ignore"):
        ways = np.array(
            [np.where(d[i] > 0, (high[i] - o[i]) / d[i], (low[i] - o[i]) / d[i]) for i in range(3)]
        )
    ways[axis] = np.where(d[axis] > 0, ways[axis], np.inf)
    wall = np.argmin(ways, axis=0)
    t = ways.min(axis=0).astype(np.float32)
    t[on_edge] = ((entry + behind) / 2)[on_edge]
    far[hole] = t
    look[hole] = np.where(on_edge, PANEL, INTERIOR)
    p = [o[i] + t * d[i] for i in range(3)]
    u[hole] = np.where(wall == 0, p[1], p[0]) + 0.17 * wall
    v[hole] = np.where(wall == 2, p[1], p[2]) + 5
    turned[hole] = 0
    shade = np.array([0.9, 1.0, 0.75])[wall] * plan.inside_light
    ambient[hole] = light.ambient * np.where(on_edge, 1.25, shade)
    interior[hole] = ~on_edge


def _box_shadow(
    plan: BoxPlan, light: Light, look: NDArray[np.uint8], p: tuple[Floats, Floats, Floats], turned: Floats
) -> None:
    """The box's own shadow on ground and wall: rays toward the light that meet the box."""
    here = np.flatnonzero(((look == GROUND) | (look == WALL)) & (turned > 0))
    near, leave = np.zeros(len(here), np.float32), np.full(len(here), np.inf, np.float32)
    for i, size in enumerate((plan.deep, plan.wide, plan.high)):
        way = float(light.toward[i])
        way = way if abs(way) > 1e-4 else 1e-4
        a, b = -p[i][here] / way, (size - p[i][here]) / way
        near, leave = np.maximum(near, np.minimum(a, b)), np.minimum(leave, np.maximum(a, b))
    turned[here[leave > near + 1e-4]] = 0
