"""The learned judgements of watching: is something in; is this visit one; how far off is its edge.

Conventions
-----------
Settings are in ``settings/visits.json``, learned on rendered sessions only: ``benchmarks/learn_picture.py``
is the recipe, with its seeds. No recording took part. The judge itself is that of listening.
"""

import json
from functools import cache
from importlib import resources

import numpy as np
from numpy.typing import NDArray

from nares.measure.sound.judge import Judge, judge_from

Rows = NDArray[np.float64]


@cache
def _settings() -> dict[str, dict[str, object]]:
    text = (resources.files("nares.measure.picture") / "settings" / "visits.json").read_text("utf-8")
    read: dict[str, dict[str, object]] = json.loads(text)
    return read


@cache
def judge(name: str) -> Judge:
    """The shipped judge of that name: ``"nose"``, ``"hand"`` for single pictures, ``"visit"`` for visits."""
    return judge_from(_settings()[name])


@cache
def edge_weights() -> Rows:
    """How an edge's 95 % half-width grows with each number of ``visits.edge_row``. [-]"""
    return np.asarray(_settings()["edge"]["weights"], np.float64)
