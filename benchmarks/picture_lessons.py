"""The rendered sessions that watching is learned from, followed once and kept: both openings, and truth.

Seeds 1 to 9,999 are learned from; every figure quoted comes from seeds of 10,000 and up. No recording
takes part. They are rendered at 15 pictures a second, to save time, and coded as H.264. Each opening is also
learned from twice more, darkened and made noisier as by a phone in poor light, and once with its visits cut.
"""

import pickle
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from benchmarks.scene_clips import clip, drawn_by_hand, pictures
from numpy.typing import NDArray
from scipy.ndimage import binary_dilation
from tests.generator.scene import CONDITIONS

from nares.measure.picture.eye import Eye
from nares.measure.picture.opening import Opening, opening_of
from nares.measure.picture.signs import SIGNS
from nares.measure.picture.track import Track

RATE = 15
COPIES = 2

Bools = NDArray[np.bool_]
Times = list[tuple[float, float]]


@dataclass(frozen=True)
class Lesson:
    """One opening of one session. ``inside``: (n,) truth of pictures; ``known``: (n,) not looked away."""

    seed: int
    condition: str
    what: str
    truth: Times
    length_s: float
    opening: Opening
    signs: NDArray[np.float32]
    inside: Bools
    known: Bools
    darker: list[NDArray[np.float32]]
    nobody: NDArray[np.float32]


def followed(folder: Path, seed: int, condition: str) -> dict[str, object]:
    """The tracks of a session and its truth, rendered and followed unless kept."""
    kept = folder / "tracks" / f"{condition}-{seed}.pkl"
    if kept.exists():
        with kept.open("rb") as file:
            return dict(pickle.load(file))
    kept.parent.mkdir(parents=True, exist_ok=True)
    scene, path = clip(folder / "clips", seed, condition, rate=RATE)
    eye = Eye(*drawn_by_hand(scene))
    for picture in pictures(path):
        eye.see(picture)
    made: dict[str, object] = {
        "nose": scene.nose,
        "hand": scene.hand,
        "away": scene.away,
        "length": scene.length_s,
        "tracks": [eye._track(0), eye._track(1)],
    }
    with kept.open("wb") as file:
        pickle.dump(made, file)
    return made


def lessons(folder: Path, seeds: range, *, kept_only: bool = False) -> Iterator[Lesson]:
    """Both openings of every session, condition by condition."""
    for seed in seeds:
        for condition in CONDITIONS:
            if kept_only and not (folder / "tracks" / f"{condition}-{seed}.pkl").exists():
                continue
            made = followed(folder, seed, condition)
            for index, what in enumerate(("nose", "hand")):
                yield _lesson(seed, condition, what, index, made)


def _lesson(seed: int, condition: str, what: str, index: int, made: dict[str, object]) -> Lesson:
    track = made["tracks"][index]  # type: ignore[index]
    truth: Times = made[what]  # type: ignore[assignment]
    away: Times = made["away"]  # type: ignore[assignment]
    inside, looked = np.zeros(len(track.at_s), bool), np.zeros(len(track.at_s), bool)
    for a, b in truth:
        inside |= (track.at_s >= a) & (track.at_s <= b)
    for a, b in away:
        looked |= (track.at_s >= a - 0.3) & (track.at_s <= b + 0.3)
    opening = opening_of(track)
    chance = np.random.default_rng([seed, CONDITIONS.index(condition), index])
    darker = [opening_of(_darker(track, chance)).signs() for _ in range(COPIES)]
    length_s = float(made["length"])  # type: ignore[arg-type]
    return Lesson(
        seed,
        condition,
        what,
        truth,
        length_s,
        opening,
        opening.signs(),
        inside,
        ~looked,
        darker,
        _nobody(track, inside),
    )


def _nobody(track: Track, inside: Bools) -> NDArray[np.float32]:
    """The same session without its visits: what passes, shades and comes near is all there is."""
    near = binary_dilation(inside, iterations=3)
    if (~near).sum() < 4 * RATE:
        return np.zeros((0, len(SIGNS)), np.float32)
    kept = {
        name: getattr(track, name)[~near] for name in ("at_s", "luma", "colour", "gain", "match", "followed")
    }
    return opening_of(replace(track, **kept)).signs()


def _darker(track: Track, chance: np.random.Generator) -> Track:
    light, noise = chance.uniform(0.3, 0.9), chance.uniform(0, 1.5)
    luma = track.luma * light + chance.normal(0, noise, track.luma.shape)
    colour = (track.colour - 128.0) * light + 128.5 + chance.normal(0, 0.5 * noise, track.colour.shape)
    return replace(
        track, luma=np.clip(luma, 0, 255).astype(np.uint8), colour=np.clip(colour, 0, 255).astype(np.uint8)
    )
