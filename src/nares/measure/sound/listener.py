"""A learned listener: what each frame of sound is, from the second and a quarter around it.

Conventions
-----------
A listener is a few layers that each look at three frames: their own, and one on either side at a distance
that doubles from layer to layer, so that the last one knows of 127 frames before and after. Its settings
are in ``settings/``: whole numbers and one scale a layer, learned on invented sessions only
(``benchmarks/learn_breath.py``). Sound is heard in pieces that overlap by what a frame knows of, so the
answer does not depend on where they are cut.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any, cast

import numpy as np
from numpy.typing import NDArray

Layer = NDArray[np.float32]

PIECE = 4096
"""Frames heard at once: small enough to stay near the processor."""


@dataclass(frozen=True, slots=True)
class Listener:
    """The settings of one listener.

    ``reach``: frames to the sides each layer looks, shape (l,). ``into``: l matrices, the first (3 f, h), the
    others (3 h, h). ``at``: l rows of shape (h,). ``out``: (h, k), ``base``: (k,), for k kinds of frame.
    """

    reach: tuple[int, ...]
    into: tuple[Layer, ...]
    at: tuple[Layer, ...]
    out: Layer
    base: Layer

    def chances(self, rows: NDArray[np.float32]) -> NDArray[np.float32]:
        """The chance of each kind for each frame, shape (t, f) to (t, k)."""
        knows, told = sum(self.reach), []
        for first in range(0, rows.shape[0], PIECE):
            from_ = max(first - knows, 0)
            piece = self._heard(rows[from_ : first + PIECE + knows])
            told.append(piece[first - from_ : first - from_ + PIECE])
        return np.concatenate(told) if told else np.zeros((0, self.base.size), dtype=np.float32)

    def _heard(self, rows: NDArray[np.float32]) -> NDArray[np.float32]:
        for number, (reach, into, at) in enumerate(zip(self.reach, self.into, self.at, strict=True)):
            answer = np.tanh(beside(rows, reach) @ into + at)
            rows = rows + answer if number else answer
        odds = rows @ self.out + self.base
        odds = np.exp(odds - odds.max(axis=1, keepdims=True))
        return np.asarray(odds / odds.sum(axis=1, keepdims=True), dtype=np.float32)


def beside(rows: NDArray[np.float32], reach: int) -> NDArray[np.float32]:
    """Each frame between those ``reach`` before and after it (0 beyond the ends), (t, f) to (t, 3 f)."""
    frames, size = rows.shape
    three = np.zeros((frames, 3 * size), dtype=np.float32)
    if frames > reach:
        three[reach:, :size] = rows[:-reach]
        three[:-reach, 2 * size :] = rows[reach:]
    three[:, size : 2 * size] = rows
    return three


def listener_from(settings: Mapping[str, Any]) -> Listener:
    """Read one listener from its settings."""
    into = tuple(_scaled(layer) for layer in cast(Sequence[Mapping[str, Any]], settings["into"]))
    at = tuple(_scaled(layer) for layer in cast(Sequence[Mapping[str, Any]], settings["at"]))
    reach = tuple(int(frames) for frames in settings["reach"])
    return Listener(reach, into, at, _scaled(settings["out"]), _scaled(settings["base"]))


@cache
def listener(name: str) -> Listener:
    """The shipped listener of that name: subject and listener, such as ``"breath/air"``."""
    subject, kind = name.split("/")
    text = (resources.files("nares.measure.sound") / "settings" / f"{subject}.json").read_text("utf-8")
    return listener_from(json.loads(text)[kind])


def _scaled(layer: Mapping[str, Any]) -> Layer:
    return np.asarray(layer["whole"], dtype=np.float32) * np.float32(layer["scale"])
