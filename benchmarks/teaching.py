"""How a listener is taught: likelihood of every frame, small random pieces of many sessions, Adam.

A lesson is a pair: what is seen of each frame, shape (t, f), and the true share of each kind in it, shape
(t, k). Plain numpy; the slopes of the layers are written out by hand and checked against differences in
``tests/measure/test_sound_listener.py``.
"""

import time
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from nares.measure.sound.listener import Listener, beside

Layer = NDArray[np.float32]
Lessons = list[tuple[Layer, Layer]]

REACH = (1, 2, 4, 8, 16, 32, 64)
PIECE = 1500
PIECES = 4
RATE = 4e-3
SHRINK = 1e-4


@dataclass(slots=True)
class Pupil:
    """A listener while it learns: its settings by name."""

    reach: tuple[int, ...]
    settings: dict[str, Layer]
    mean: dict[str, Layer] = field(default_factory=dict)
    square: dict[str, Layer] = field(default_factory=dict)
    steps: int = 0

    def listener(self) -> Listener:
        """What it has learned so far."""
        layers = range(len(self.reach))
        into = tuple(self.settings[f"into{n}"] for n in layers)
        at = tuple(self.settings[f"at{n}"] for n in layers)
        return Listener(self.reach, into, at, self.settings["out"], self.settings["base"])


def new_pupil(seen: int, hidden: int, kinds: int, seed: int, reach: tuple[int, ...] = REACH) -> Pupil:
    chance, settings = np.random.default_rng(seed), {}
    for number in range(len(reach)):
        rows = 3 * (hidden if number else seen)
        size = (0.5 if number else 1.0) / np.sqrt(rows)
        settings[f"into{number}"] = chance.standard_normal((rows, hidden)).astype(np.float32) * size
        settings[f"at{number}"] = np.zeros(hidden, dtype=np.float32)
    settings["out"] = (chance.standard_normal((hidden, kinds)) / np.sqrt(hidden)).astype(np.float32)
    settings["base"] = np.zeros(kinds, dtype=np.float32)
    return Pupil(reach, {key: np.asarray(value, dtype=np.float32) for key, value in settings.items()})


def slopes(pupil: Pupil, rows: Layer, truth: Layer) -> tuple[float, dict[str, Layer]]:
    """Mean loss over the frames of one piece, and its slope by every setting."""
    kept, own, count = [], pupil.settings, rows.shape[0]
    for number, reach in enumerate(pupil.reach):
        three = beside(rows, reach)
        answer = np.tanh(three @ own[f"into{number}"] + own[f"at{number}"])
        kept.append((three, answer, rows.shape[1]))
        rows = rows + answer if number else answer
    odds = rows @ own["out"] + own["base"]
    odds = odds - odds.max(axis=1, keepdims=True)
    chances = np.exp(odds) / np.exp(odds).sum(axis=1, keepdims=True)
    loss = -float((truth * np.log(chances + 1e-9)).sum() / count)
    error = (chances - truth) / count
    found = {"out": rows.T @ error, "base": error.sum(axis=0)}
    back = error @ own["out"].T
    for number in reversed(range(len(pupil.reach))):
        three, answer, size = kept[number]
        turned = back * (1 - answer**2)
        found[f"into{number}"], found[f"at{number}"] = three.T @ turned, turned.sum(axis=0)
        if number:
            back = back + _gathered(turned @ own[f"into{number}"].T, pupil.reach[number], size)
    return loss, found


def _gathered(three: Layer, reach: int, size: int) -> Layer:
    """What `beside` spread out, brought back to its frames."""
    back = three[:, size : 2 * size].copy()
    if three.shape[0] > reach:
        back[:-reach] += three[reach:, :size]
        back[reach:] += three[:-reach, 2 * size :]
    return back


def step(pupil: Pupil, found: dict[str, Layer], rate: float) -> None:
    """One step of Adam, the slope held to length 1."""
    pupil.steps += 1
    length = np.sqrt(sum(float((slope**2).sum()) for slope in found.values()))
    for key, slope in found.items():
        held = slope * min(1.0, 1.0 / (length + 1e-9))
        mean, square = pupil.mean.setdefault(key, 0 * held), pupil.square.setdefault(key, 0 * held)
        mean += 0.1 * (held - mean)
        square += 0.002 * (held**2 - square)
        move = (mean / (1 - 0.9**pupil.steps)) / (np.sqrt(square / (1 - 0.998**pupil.steps)) + 1e-8)
        shrink = SHRINK * pupil.settings[key] if key.startswith("into") else 0.0
        pupil.settings[key] = (pupil.settings[key] - rate * (move + shrink)).astype(np.float32)


def teach(pupil: Pupil, lessons: Lessons, *, steps: int, seed: int, say: int = 500) -> Pupil:
    """Learn from random pieces of the lessons; the rate rises over 100 steps and falls along a cosine."""
    chance, began, losses = np.random.default_rng(seed), time.perf_counter(), []
    for number in range(steps):
        rate = RATE * min(1.0, number / 100 + 0.01) * (0.5 + 0.5 * np.cos(np.pi * number / steps)) + 1e-5
        total: dict[str, Layer] = {}
        for _ in range(PIECES):
            rows, truth = lessons[int(chance.integers(len(lessons)))]
            first = int(chance.integers(max(rows.shape[0] - PIECE, 0) + 1))
            loss, found = slopes(pupil, rows[first : first + PIECE], truth[first : first + PIECE])
            losses.append(loss)
            total = {
                key: total.get(key, 0 * slope) + slope / np.float32(PIECES) for key, slope in found.items()
            }
        step(pupil, total, rate)
        if number % say == say - 1:
            took_s = time.perf_counter() - began
            print(
                f"  {number + 1} steps, loss {np.mean(losses[-say * PIECES :]):.4f}, {took_s:.0f} s",
                flush=True,
            )
    return pupil


def settings_of_listener(listener: Listener) -> dict[str, object]:
    """The settings as whole numbers up to 999 and one scale a layer."""

    def whole(layer: Layer) -> dict[str, object]:
        scale = float(f"{np.abs(layer).max() / 999 or 1.0:.5g}")
        return {"scale": scale, "whole": np.round(layer / scale).astype(int).tolist()}

    return {
        "reach": list(listener.reach),
        "into": [whole(layer) for layer in listener.into],
        "at": [whole(layer) for layer in listener.at],
        "out": whole(listener.out),
        "base": whole(listener.base),
    }
