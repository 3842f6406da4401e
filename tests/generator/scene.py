"""A rendered session: a box in perspective with an inside, a dog, a hand, light, a phone, and exact truth.

Everything is drawn from a seed and a condition by a small ray caster (``scene_box`` what stands still,
``scene_shapes`` capsules and shadows, ``scene_bodies`` dog and hand, ``scene_play`` what happens,
``scene_phone`` how the phone moves). Seeds below 10,000 are for learning and choosing, the rest for judging.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray
from tests.generator.scene_bodies import (
    CLOTHES,
    COAT,
    MUZZLE,
    NOSE,
    SKIN,
    SLEEVE,
    UNSEEN,
    Build,
    dog,
    hand,
    person,
)
from tests.generator.scene_box import GROUND, INTERIOR, PANEL, SKY, WALL, BoxPlan, Cast, cast, textures
from tests.generator.scene_phone import Hold, Way, draw_way
from tests.generator.scene_play import Conduct, Play, draw_play, truth_of
from tests.generator.scene_shapes import Camera, Capsule, Light, box_of, dotted, lit, looking, meet

from nares.base.times import MediaTime
from nares.base.vocab import Region
from nares.measure.inputs import Picture

Floats = NDArray[np.float32]
Vector = NDArray[np.float64]

WOODS = ((176, 138, 88), (196, 190, 178), (150, 110, 70), (205, 200, 195), (120, 118, 110), (60, 48, 40))
COATS = ((170, 120, 70), (70, 52, 40), (38, 34, 32), (205, 190, 165), (120, 96, 72))
SNOUTS = ((52, 40, 38), (24, 22, 24), (32, 28, 26), (150, 110, 75), (205, 190, 170))
SKINS = ((224, 172, 140), (190, 140, 105), (120, 82, 60), (90, 62, 48))
CLOTH = ((50, 76, 54), (26, 26, 28), (60, 66, 110), (150, 60, 54), (180, 180, 176))

CONDITIONS = (
    "stand", "hand-held", "sunny", "dim", "far", "low", "flicker", "drift", "walkers", "dark-on-dark",
    "hand-always", "put-down",
)  # fmt: skip
"""What a session is filmed under; ``drawn`` mixes a little of several into each."""


@dataclass(frozen=True)
class Sensor:
    """What the phone makes of the light: brightness, slow drift, flicker, noise of a grey level."""

    gain: float = 1.0
    drift: float = 0.0
    flicker: float = 0.0
    noise: float = 1.2


@dataclass(frozen=True)
class Scene:
    """One session, ready to be rendered. ``nose``, ``hand``, ``away``: the truth, in s."""

    seed: int
    condition: str
    rate: int
    length_s: float
    size: tuple[int, int]
    plan: BoxPlan
    build: Build
    light: Light
    colours: Floats
    texture: list[Floats]
    play: Play
    way: Way
    sensor: Sensor
    camera: Camera
    mirrored: bool
    lean: Vector
    walkers: int
    clouds: list[tuple[Vector, Vector, float, float]]
    nose: list[tuple[float, float]] = field(default_factory=list)
    hand: list[tuple[float, float]] = field(default_factory=list)
    away: list[tuple[float, float]] = field(default_factory=list)

    @property
    def regions(self) -> tuple[Region, Region]:
        """Front and side opening in the first picture, as a person would draw them."""
        camera = self.camera_at(0.0)
        front = _outline(camera, self.plan.front, 0)
        side = _outline(camera, self.plan.side, 1)
        if self.mirrored:
            front, side = (replace(r, x=1 - r.x - r.w) for r in (front, side))
        return front, side

    def camera_at(self, at_s: float) -> Camera:
        """Where the phone is."""
        turn, move = self.way.at(at_s)
        right, down, ahead = self.camera.axes
        aim = ahead + right * turn[0] / self.camera.focal_px + down * turn[1] / self.camera.focal_px
        here = self.camera.at + move
        roll = turn[2]
        return replace(self.camera, at=here, axes=looking(here, here + aim, roll))


def drawn(
    seed: int, condition: str, *, length_s: float = 20.0, size: tuple[int, int] = (184, 264), rate: int = 0
) -> Scene:
    """A session of one condition from a seed, as the part around the box of a picture of 360 rows."""
    chance = np.random.default_rng([seed, CONDITIONS.index(condition)])
    plan = _box(chance)
    low = condition == "low"
    far = condition == "far"
    build = Build(
        muzzle_r=chance.uniform(0.02, 0.032), muzzle_m=chance.uniform(0.085, 0.12),
        head_r=chance.uniform(0.055, 0.075), body_r=chance.uniform(0.12, 0.17),
        finger_r=chance.uniform(0.009, 0.014), palm_r=chance.uniform(0.02, 0.034),
    )  # fmt: skip
    sunny, dim = condition == "sunny", condition == "dim"
    light = _light(chance, sunny=sunny, dim=dim)
    dark = condition == "dark-on-dark"
    colours = _colours(chance, dark_box=dark or (dim and chance.random() < 0.3), dark_dog=dark or dim)
    habits = Conduct(
        length_s=length_s,
        hand="always" if condition == "hand-always" else str(chance.choice(["beside", "beside", "away"])),
    )
    play = draw_play(chance, plan, habits, build.muzzle_m)
    hole_px = chance.uniform(18, 25) if far else chance.uniform(34, 56)
    camera = _camera(chance, plan, hole_px, size, low=low)
    hold = Hold(shake_px=chance.uniform(1.5, 6), move_m=chance.uniform(0.003, 0.015), jolts=0.08)
    if condition not in ("hand-held", "put-down") and chance.random() < 0.75:
        still = chance.random() < 0.7
        hold = Hold() if still else Hold(shake_px=chance.uniform(0.2, 1.0), move_m=0.001)
    if condition == "put-down":
        hold = replace(hold, away=1)
    way = draw_way(chance, length_s, hold)
    sensor = Sensor(
        gain=chance.uniform(0.3, 0.5) if dim else chance.uniform(0.6 if dark else 0.8, 1.1),
        drift=chance.uniform(0.15, 0.35) if condition == "drift" else chance.uniform(0, 0.05),
        flicker=chance.uniform(0.03, 0.1) if condition == "flicker" else 0.0,
        noise=chance.uniform(2.5, 6.0) if dim else chance.uniform(0.8, 2.0),
    )
    made = Scene(
        seed, condition, rate or int(chance.choice([25, 30])), length_s, size, plan, build, light, colours,
        _texture(chance), play, way, sensor, camera, bool(chance.random() < 0.3),
        np.array([chance.uniform(0.1, 0.9), chance.uniform(-0.1, 0.35), chance.uniform(-0.015, 0.015)]),
        2 if condition == "walkers" else int(chance.random() < 0.6),
        _moving_shadows(chance, light) if sunny else [],
    )  # fmt: skip
    nose, touched = truth_of(play, length_s)
    return replace(made, nose=nose, hand=touched, away=way.away)


def performed(scene: Scene) -> Iterator[Picture]:
    """The pictures of a session, in order."""
    chance = np.random.default_rng([scene.seed, 77])
    rows, cols = scene.size
    specks = (chance.normal(size=(rows + 64, cols + 64)) * scene.sensor.noise).astype(np.float32)
    known: Cast | None = None
    for index in range(round(scene.length_s * scene.rate)):
        at_s = index / scene.rate
        camera = scene.camera_at(at_s)
        if known is None or not scene.way.still:
            known = cast(scene.plan, camera, scene.light, scene.texture)
        value, look = _painted(scene, known, camera, at_s)
        yield _exposed(scene, index, value, look, specks, chance)


def _painted(scene: Scene, known: Cast, camera: Camera, at_s: float) -> tuple[Floats, NDArray[np.uint8]]:
    """Brightness factor and look of every pixel."""
    bodies = dog(scene.play.pose(at_s), scene.build)
    bodies += hand(scene.play.reach(at_s), scene.plan, scene.build, scene.lean)
    for i in range(scene.walkers):
        moving = scene.condition == "walkers"
        x = 0.9 + 0.8 * i + (1.6 if moving else 0.05) * np.sin((0.6 + 0.25 * i) * at_s + 2 * i)
        bodies += person(float(x), 0.9 + 0.35 * i)
    bodies += [
        Capsule(
            a + np.array([d * np.sin(w * at_s), 0, 0]),
            b + np.array([d * np.sin(w * at_s), 0, 0]),
            0.08,
            UNSEEN,
            False,
        )
        for a, b, d, w in scene.clouds
    ]
    share = lit(scene.light, known.light_at, bodies)
    bright = known.ambient.copy()
    direct = known.direct.ravel().copy()
    direct[known.shadowed] *= share
    value = known.grain * (bright + direct.reshape(bright.shape))
    look = known.look.copy()
    _darken_inside(scene, known, value, at_s)
    near = known.far.copy()
    for body in bodies:
        if body.seen:
            _paint(scene, body, camera, known, near, value, look)
    return value, look


def _darken_inside(scene: Scene, known: Cast, value: Floats, at_s: float) -> None:
    """What fills an opening keeps light out of the box."""
    deep = float(np.clip(scene.play.pose(at_s)[0, 0] / 0.08, 0, 1))
    value[known.interior] *= np.float32(1 - 0.25 * deep)


def _paint(
    scene: Scene, body: Capsule, camera: Camera, known: Cast, near: Floats, value: Floats,
    look: NDArray[np.uint8],
) -> None:  # fmt: skip
    where = box_of(body, camera)
    if where is None:
        return
    rays = (known.rays[0][where], known.rays[1][where], known.rays[2][where])
    t, normal, along = meet(body, camera.at, rays)
    seen = t < near[where]
    if not seen.any():
        return
    t, along = t[seen], along[seen]
    n = [part[seen] for part in normal]
    sun = scene.light.toward
    facing = np.maximum(dotted(sun, (n[0], n[1], n[2])), 0)
    bright = scene.light.ambient * (0.85 + 0.15 * n[2]) + scene.light.direct * facing
    x, y, z = (float(o) + t * ray[seen] for o, ray in zip(camera.at, rays, strict=True))
    plan = scene.plan
    within = (x > 0) & (x < plan.deep) & (y > 0) & (y < plan.wide) & (z > 0) & (z < plan.high)
    bright[within] = (scene.light.ambient * plan.inside_light * (0.9 + 0.1 * n[2]))[within]
    texture = scene.texture[4]
    at_u = (along * 800).astype(np.int32) & 1023
    at_v = ((n[2] - n[0]) * np.float32(body.radius * 800)).astype(np.int32) & 1023
    bright = bright * np.maximum(1 + texture[at_u, at_v], 0.3)
    value[where][seen] = bright
    look[where][seen] = body.look
    near[where][seen] = t


def _exposed(
    scene: Scene, index: int, value: Floats, look: NDArray[np.uint8], specks: Floats,
    chance: np.random.Generator,
) -> Picture:  # fmt: skip
    at_s = index / scene.rate
    sensor = scene.sensor
    gain = sensor.gain * (1 + sensor.drift * np.sin(at_s * 0.9 + scene.seed))
    gain *= 1 + sensor.flicker * np.sin(index * 2.1)
    value = value * np.float32(gain)
    planes = []
    for plane, colour in enumerate(scene.colours):
        pick = (slice(None), slice(None)) if plane == 0 else (slice(None, None, 2), slice(None, None, 2))
        shown = colour[look[pick]] * value[pick]
        if plane == 0:
            shown = _lens(shown)
        r, c = chance.integers(0, 64, 2)
        noise = specks[r : r + shown.shape[0], c : c + shown.shape[1]]
        shown += noise if plane == 0 else np.float32(0.5) * noise
        if plane:
            shown += 128
        if scene.mirrored:
            shown = shown[:, ::-1]
        planes.append(np.ascontiguousarray(np.clip(shown + np.float32(0.5), 0, 255).astype(np.uint8)))
    return Picture(MediaTime(index, Fraction(1, scene.rate)), planes[0], planes[1], planes[2])


def _lens(shown: Floats) -> Floats:
    """A lens is not sharper than its pixels: a short blur each way."""
    soft = shown.copy()
    soft[:, 1:-1] = 0.5 * shown[:, 1:-1] + 0.25 * (shown[:, 2:] + shown[:, :-2])
    out = soft.copy()
    out[1:-1] = 0.5 * soft[1:-1] + 0.25 * (soft[2:] + soft[:-2])
    return out


def _outline(camera: Camera, hole: tuple[float, float, float], axis: int) -> Region:
    turn = np.linspace(0, 2 * np.pi, 33)
    one, two = hole[0] + hole[2] * np.cos(turn), hole[1] + hole[2] * np.sin(turn)
    level = np.zeros_like(one)
    points = np.stack([level, one, two] if axis == 0 else [one, level, two], 1)
    spots = np.array([camera.project(p)[:2] for p in points])
    left, top = spots.min(axis=0)
    right, low = spots.max(axis=0)
    left, right = max(float(left), 0.0), min(float(right), camera.width)
    top, low = max(float(top), 0.0), min(float(low), camera.height)
    wide, high = (right - left) / camera.width, (low - top) / camera.height
    return Region(left / camera.width, top / camera.height, wide, high)


def _box(chance: np.random.Generator) -> BoxPlan:
    deep, wide, high = chance.uniform(0.42, 0.6), chance.uniform(0.36, 0.5), chance.uniform(0.42, 0.58)
    front = (
        wide * chance.uniform(0.42, 0.58),
        high * chance.uniform(0.5, 0.66),
        chance.uniform(0.052, 0.075),
    )
    side = (deep * chance.uniform(0.5, 0.72), high * chance.uniform(0.5, 0.66), chance.uniform(0.048, 0.065))
    return BoxPlan(
        deep, wide, high, 0.012, front, side, chance.uniform(1.2, 2.5),
        inside_light=float(chance.choice([0.18, 0.35, 0.55, 0.9])), seam=chance.uniform(0.7, 0.95),
    )  # fmt: skip


def _light(chance: np.random.Generator, *, sunny: bool, dim: bool) -> Light:
    toward = np.array([-chance.uniform(0.1, 1), -chance.uniform(-0.4, 1), chance.uniform(0.6, 1.4)])
    toward /= np.linalg.norm(toward)
    direct = chance.uniform(0.9, 1.4) if sunny else chance.uniform(0.1, 0.6)
    ambient = chance.uniform(0.3, 0.45) if sunny else chance.uniform(0.55, 0.75)
    soft = 0.006 if sunny else chance.uniform(0.01, 0.06)
    return Light(toward, direct, ambient, soft)


def _moving_shadows(chance: np.random.Generator, light: Light) -> list[tuple[Vector, Vector, float, float]]:
    """A branch or somebody out of the picture whose shadow wanders over the box."""
    made = []
    for _ in range(int(chance.integers(1, 4))):
        middle = np.array([0.1, 0.1, 0.3]) + light.toward * chance.uniform(1.0, 1.6)
        middle += chance.uniform(-0.25, 0.25, 3)
        way = chance.normal(size=3)
        way /= np.linalg.norm(way)
        made.append(
            (middle - 0.5 * way, middle + 0.5 * way, chance.uniform(0.15, 0.6), chance.uniform(0.2, 1.2))
        )
    return made


def _colours(chance: np.random.Generator, *, dark_box: bool, dark_dog: bool) -> Floats:
    """Brightness and colour differences of every look, (3, looks)."""

    def pick(among: Sequence[tuple[int, int, int]]) -> Vector:
        return np.asarray(np.array(among, np.float64)[chance.integers(len(among))] * chance.uniform(0.9, 1.1))

    rgb = np.zeros((12, 3))
    rgb[GROUND] = chance.uniform(80, 150) * np.array([1.0, 0.98, 0.94])
    rgb[WALL] = chance.uniform(110, 190) * np.array([1.0, 0.98, 0.94])
    rgb[SKY] = (150, 160, 175)
    rgb[PANEL] = (62, 50, 42) if dark_box else pick(WOODS[:5])
    rgb[INTERIOR] = rgb[PANEL] * chance.uniform(0.8, 1.1)
    rgb[COAT] = (36, 31, 29) if dark_dog else pick(COATS)
    rgb[MUZZLE] = (30, 26, 25) if dark_dog else pick(SNOUTS)
    rgb[NOSE] = rgb[MUZZLE] * 0.6
    rgb[SKIN], rgb[SLEEVE], rgb[CLOTHES] = pick(SKINS), pick(CLOTH), pick(CLOTH)
    red, green, blue = rgb.T
    luma = 0.299 * red + 0.587 * green + 0.114 * blue
    return np.array([luma, 0.564 * (blue - luma), 0.713 * (red - luma)], np.float32)


def _texture(chance: np.random.Generator) -> list[Floats]:
    panel = (chance.uniform(0.04, 0.16), chance.uniform(0.0025, 0.006), chance.uniform(0.0025, 0.012))
    return textures(
        chance,
        [
            (0.12, 0.006, 0.012),
            (0.07, 0.01, 0.006),
            panel,
            (panel[0] * 0.8, *panel[1:]),
            (0.12, 0.003, 0.004),
        ],
    )


def _camera(
    chance: np.random.Generator, plan: BoxPlan, hole_px: float, size: tuple[int, int], *, low: bool
) -> Camera:
    middle = np.array([plan.deep * 0.4, plan.wide * 0.4, plan.high * 0.5])
    turn, far = np.deg2rad(chance.uniform(33, 58)), chance.uniform(1.5, 2.6)
    height = chance.uniform(0.12, 0.4) if low else chance.uniform(0.55, 1.2)
    at = middle + far * np.array([-np.cos(turn), -np.sin(turn), 0])
    at[2] = height
    hole = np.array([0, plan.front[0], plan.front[1]])
    focal = hole_px * float(np.linalg.norm(hole - at)) / (2 * plan.front[2])
    aim = middle + chance.uniform(-0.03, 0.03, 3)
    camera = Camera(at, looking(at, aim), focal, *size)
    spots = [_outline(camera, plan.front, 0), _outline(camera, plan.side, 1)]
    if min(min(r.x, 1 - r.x - r.w, r.y, 1 - r.y - r.h) for r in spots) < 0.12:  # as a person would frame it
        aim = 0.5 * np.array([plan.side[0], plan.front[0], plan.front[1] + plan.side[1]])
        camera = replace(camera, axes=looking(at, aim))
    return camera
