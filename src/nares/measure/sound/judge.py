"""A small learned judgement: numbers describing one thing in, the chance that it is what it seems out.

Conventions
-----------
A judge is one hidden layer with settings kept in ``settings/``, one file a subject. The settings were
learned on invented sessions only: ``benchmarks/learn_marks.py`` and ``learn_breath.py`` are the whole
recipes, with their seeds; no recording took part. A chance is the learned share of true ones among things
that look alike.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

Rows = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Judge:
    """The settings of one judgement.

    ``middle`` and ``spread``: shape (k,), of the inputs as learned. ``into``: (k, h), ``at``: (h,),
    ``out``: (h,), ``base``: the layer and its output.
    """

    middle: Rows
    spread: Rows
    into: Rows
    at: Rows
    out: Rows
    base: float

    def chance(self, rows: ArrayLike) -> Rows:
        """Chances for things described by rows, shape (n, k) to (n,)."""
        scaled = self.scaled(rows)
        if not scaled.shape[0]:
            return np.zeros(0)
        hidden = np.tanh(scaled @ self.into + self.at)
        return np.asarray(1.0 / (1.0 + np.exp(-(hidden @ self.out + self.base))))

    def scaled(self, rows: ArrayLike) -> Rows:
        """The rows in learned spreads from the learned middle, held within 4."""
        return np.clip((np.asarray(rows, dtype=np.float64) - self.middle) / self.spread, -4.0, 4.0)


def judge_from(settings: Mapping[str, object]) -> Judge:
    """Read one judge from its settings."""
    arrays = {key: np.asarray(value, dtype=np.float64) for key, value in settings.items()}
    base = float(arrays.pop("base"))
    return Judge(arrays["middle"], arrays["spread"], arrays["into"], arrays["at"], arrays["out"], base)


@cache
def judge(name: str) -> Judge:
    """The shipped judge of that name: subject and judgement, such as ``"marks/press"``."""
    subject, judgement = name.split("/")
    text = (resources.files("nares.measure.sound") / "settings" / f"{subject}.json").read_text("utf-8")
    return judge_from(json.loads(text)[judgement])


def log_odds(chance: NDArray[np.floating[Any]]) -> Rows:
    """Log odds of chances, held within 7."""
    held = np.clip(chance, 1e-3, 1 - 1e-3)
    return np.asarray(np.log(held / (1 - held)))
