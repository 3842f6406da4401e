"""From the chance of every single picture to stretches: what is in stays in for a while.

Conventions
-----------
Evidence is in natural log odds, positive for in. Pictures close in time tell nearly the same, so each counts
for the time it stands for and not for one. A stretch is a first and a last picture, both in it.
"""

import math

import numpy as np
from numpy.typing import NDArray

Times = NDArray[np.float64]
Odds = NDArray[np.float64]

CHANGES_HZ = 2.0
"""How readily in and out change places: a nose drawn back for a quarter of a second was out. [1/s]"""

TELLING_S = 0.1
"""Pictures closer than this tell the same thing."""


def steadied(odds: Odds, at_s: Times) -> Odds:
    """Log odds of every picture given all pictures: a chain of two states, forward and backward."""
    if not len(odds):
        return odds
    steps = np.diff(at_s, prepend=at_s[0] - (at_s[1] - at_s[0] if len(at_s) > 1 else TELLING_S))
    evidence = (odds * np.minimum(1.0, steps / TELLING_S)).tolist()
    stay = (1 - 0.5 * (1 - np.exp(-2 * CHANGES_HZ * steps))).tolist()
    count = len(evidence)
    ahead, back = [0.0] * count, [0.0] * count
    known = 0.0
    for i in range(count):
        known = ahead[i] = _carried(known, stay[i]) + evidence[i]
    known = 0.0
    for i in range(count - 1, 0, -1):
        known = back[i - 1] = _carried(known + evidence[i], stay[i])
    return np.asarray(np.array(ahead) + np.array(back))


def _carried(odds: float, stay: float) -> float:
    """Log odds one step on, when a state stays with this chance."""
    if odds > 30 or odds < -30:
        odds = math.copysign(30, odds)
    grown = math.exp(odds)
    return math.log((grown * stay + 1 - stay) / (grown * (1 - stay) + stay))


def crossing_s(odds: Odds, at_s: Times, i: int, j: int) -> float:
    """When the evidence passed even odds between two neighbouring pictures, else half-way. [s]"""
    low, high = float(odds[i]), float(odds[j])
    share = -low / (high - low) if low * high < 0 else 0.5
    return float(at_s[i] + share * (at_s[j] - at_s[i]))
