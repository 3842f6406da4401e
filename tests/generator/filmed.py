"""A whole session, sound and picture on one clock: a rendered scene, and the sounds that belong to it.

The dog sniffs while its nose is in; the trainer marks a visit a moment before the hand comes with the pay,
marks some others and pays outside, marks now and then with nobody in, presses twice now and then. Truth of
reps: one for each visit of the nose, one for each mark that fell outside all of them.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from scipy.signal import fftconvolve
from tests.generator.breaths import breath, draw_dog
from tests.generator.clickers import Clicker, draw_clicker
from tests.generator.noises import EVENTS
from tests.generator.rooms import draw_room
from tests.generator.scene import Scene, drawn
from tests.generator.soundcraft import RATE_HZ, Chance, Sound, add, coloured, level, slow

from nares.measure.inputs import SoundBlock

Spans = list[tuple[float, float]]
SEAM_S = 0.25
"""Marks keep this away from a visit's own edges, so that the truth of who ended a rep is plain."""


@dataclass(frozen=True)
class TrueRep:
    """What happened in one rep."""

    nose_in_s: float | None
    nose_out_s: float | None
    mark_s: float | None
    ended_by: str
    pay_s: float | None


@dataclass(frozen=True)
class Filmed:
    """A scene with its sound and its truth."""

    scene: Scene
    sound: Sound
    marks_s: list[float]
    inhales: Spans
    reps: list[TrueRep]

    def blocks(self) -> Iterator[SoundBlock]:
        """The sound in blocks of a second."""
        for first in range(0, self.sound.size, RATE_HZ):
            yield SoundBlock(self.sound[first : first + RATE_HZ].astype(np.float32), first, RATE_HZ)


def filmed(
    seed: int,
    condition: str,
    *,
    length_s: float = 20.0,
    click_db: float = 35.0,
    breath_db: float = 14.0,
    events_a_minute: float = 8.0,
) -> Filmed:
    """One session of a condition from a seed."""
    scene = drawn(seed, condition, length_s=length_s)
    chance = np.random.default_rng([seed, 4711])
    reps = _script(chance, scene)
    marks_s = sorted(at for rep in reps for at in _presses(chance, rep))
    sound, inhales = _sounded(chance, scene, marks_s, click_db, breath_db, events_a_minute)
    return Filmed(scene, sound, marks_s, inhales, reps)


def _script(chance: Chance, scene: Scene) -> list[TrueRep]:
    """Who ended each visit, and when the marks fell."""
    reps = [_visit(chance, start, end, scene) for start, end in scene.nose]
    gaps = zip([0.0, *(end for _, end in scene.nose)], [start for start, _ in scene.nose], strict=False)
    for left, came in gaps:
        if came - left > 2.5 and chance.random() < 0.25:
            reps.append(TrueRep(None, None, float(chance.uniform(left + 1.0, came - 1.0)), "unknown", None))
    return sorted(reps, key=lambda rep: rep.mark_s if rep.nose_in_s is None else rep.nose_in_s)  # type: ignore[arg-type, return-value]


def _visit(chance: Chance, start: float, end: float, scene: Scene) -> TrueRep:
    came = [a for a, b in scene.hand if start < a < end and b - a < scene.length_s / 2]
    earliest, latest = start + SEAM_S, end - SEAM_S
    whole = start > 0.0 and end < scene.length_s
    if came:
        mark = came[0] - float(chance.uniform(0.3, 0.7))
        if mark > earliest:
            return TrueRep(start, end, mark, "mark", came[0])
    if latest > earliest and chance.random() < 0.6 and not came:
        mark = float(chance.uniform(earliest, latest))
        return TrueRep(start, end, mark, "mark", None)
    return TrueRep(start, end, None, "dog" if whole and not came else "unknown", None)


def _presses(chance: Chance, rep: TrueRep) -> list[float]:
    if rep.mark_s is None:
        return []
    again = chance.random() < 0.2 and rep.nose_out_s is not None and rep.mark_s + 0.6 < rep.nose_out_s
    return [rep.mark_s, rep.mark_s + float(chance.uniform(0.42, 0.6))] if again else [rep.mark_s]


def _sounded(
    chance: Chance, scene: Scene, marks_s: list[float], click_db: float, breath_db: float, a_minute: float
) -> tuple[Sound, Spans]:
    length = int(scene.length_s * RATE_HZ)
    background = coloured(chance, length, chance.uniform(2, 5)) * slow(chance, length, 0.3, 1.5)
    background *= 1.0 / level(background, 1000, 16_000)
    clicker, room = draw_clicker(chance), draw_room(chance)
    first = clicker.snap(chance)[: int(0.005 * RATE_HZ)]
    loud = 10 ** (click_db / 20) / float(np.sqrt(np.mean(first**2)))
    clicks, breaths = np.zeros(length), np.zeros(length)
    for at_s in marks_s:
        _press(chance, clicker, clicks, at_s)
    inhales = _sniffed(chance, scene.nose, breaths)
    parts = [breaths[int(a * RATE_HZ) : int(b * RATE_HZ)] for a, b in inhales]
    if parts:
        size = level(np.concatenate(parts), 1000, 8000)
        breaths *= 10 ** (breath_db / 20) * level(background, 1000, 8000) / max(size, 1e-9)
    others = np.zeros(length)
    for _ in range(chance.poisson(a_minute * scene.length_s / 60)):
        event = EVENTS[str(chance.choice(list(EVENTS)))](chance)
        quiet = loud * 10 ** (chance.uniform(-18, 0) / 20) / np.abs(event).max()
        add(others, event * quiet, chance.uniform(0, scene.length_s))
    wet = np.asarray(fftconvolve(clicks * loud + others, room)[:length]) + breaths + background
    return wet * 0.4 / float(np.abs(wet).max()), inhales


def _press(chance: Chance, clicker: Clicker, into: Sound, at_s: float) -> None:
    add(into, clicker.snap(chance), at_s)
    if clicker.double:
        after_s = clicker.spacing_s * float(np.exp(clicker.spacing_sd * chance.standard_normal()))
        add(into, clicker.snap(chance, release=True), at_s + float(np.clip(after_s, 0.06, 0.38)))


def _sniffed(chance: Chance, nose: Spans, into: Sound) -> Spans:
    dog, inhales = draw_dog(chance), []
    for start, end in nose:
        if end - start < 0.4:
            continue
        sound, own = breath(chance, dog, end - start - 0.2)
        add(into, sound, start + 0.1)
        inhales += [(start + 0.1 + a, start + 0.1 + b) for a, b in own]
    return inhales
