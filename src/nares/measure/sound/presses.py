"""Which snaps are presses, which their releases.

Conventions
-----------
A press is followed by at most one release, after a time that one hand repeats within about a third. The
likeliest reading of the whole row of snaps is found at once, so that a clear release speaks for a press
half hidden by another sound, and a second press a moment later is not taken for a release.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nares.measure.sound.likeness import Rows

RELEASE_S = (0.040, 0.410)
"""A release follows its press within this time. [s]"""
SPREAD = 0.30
"""Spread of the logarithm of that time within one session, before it is known."""
LEAST_SPREAD = 0.08
FREE_S = 0.045
"""Nothing is pressed or released again sooner. [s]"""
LEAST = 0.03
"""Snaps less likely than this are left out."""
WELCOME = 1.0
"""Leaning towards a press, in log odds: doubtful presses are proposed and judged afterwards."""


@dataclass(frozen=True, slots=True)
class Rhythm:
    """How this clicker is pressed.

    ``spacing_s``: usual time from press to release, None while it is not known. ``heard``: how often a
    release is heard. ``spread``: of the logarithm of that time.
    """

    spacing_s: float | None
    heard: float
    spread: float = SPREAD

    def likely(self, gaps_s: Rows) -> Rows:
        """How much better gaps fit a release than chance would, shape (n,); 1 where nothing is known."""
        low, high = RELEASE_S
        inside = (gaps_s >= low) & (gaps_s <= high)
        if self.spacing_s is None:
            return inside.astype(np.float64)
        away = np.log(np.maximum(gaps_s, 1e-3) / self.spacing_s) / self.spread
        density = np.exp(-0.5 * away**2) / (np.maximum(gaps_s, 1e-3) * self.spread * np.sqrt(2 * np.pi))
        return np.asarray(np.where(inside, density * (high - low), 0.0))

    def fit(self, gap_s: float) -> float:
        """Log of how much better a gap fits a release than chance would."""
        low, high = RELEASE_S
        if not low <= gap_s <= high:
            return -20.0
        return float(max(np.log(self.likely(np.array([gap_s]))[0] + 1e-6), -6.0))


@dataclass(frozen=True, slots=True)
class Press:
    """Index of the snap pressed, and of its release (None: none heard)."""

    press: int
    release: int | None


def learn_rhythm(times_s: Rows, chances: Rows) -> Rhythm:
    """Learn the usual spacing from likely snaps in pairs.

    Args:
        times_s: Snap times in order, shape (n,). [s]
        chances: Their chances to be the clicker's, shape (n,).
    """
    gaps, weights = _pairs(times_s, chances)
    if weights.sum() < 1.0:
        return Rhythm(None, 0.3)
    logs = np.log(gaps)
    near = np.exp(-0.5 * ((logs[:, None] - logs[None, :]) / (SPREAD / 2)) ** 2)
    middle = logs[np.argmax(near @ weights)]
    together = weights * (np.abs(logs - middle) < 2 * SPREAD)
    usual = float(np.average(logs, weights=together))
    # A few gaps say little of their spread: it starts out as wide as any hand's and narrows with them.
    squares = float((together * (logs - usual) ** 2).sum()) + 3.0 * (0.5 * SPREAD) ** 2
    spread = float(np.clip(np.sqrt(squares / (together.sum() + 2.0)), LEAST_SPREAD, SPREAD))
    presses = max(float(chances[chances >= 0.4].sum()) - together.sum(), 1.0)
    heard = float(np.clip((together.sum() + 0.5) / (presses + 1.0), 0.05, 0.9))
    return Rhythm(float(np.exp(usual)), heard, spread) if together.sum() >= 1.5 else Rhythm(None, heard)


def read_presses(times_s: Rows, odds: Rows, rhythm: Rhythm, leans: Rows | None = None) -> list[Press]:
    """The likeliest reading of a row of snaps.

    Args:
        times_s: Snap times in order, shape (n,). [s]
        odds: Log odds of each snap to be the clicker's, shape (n,).
        rhythm: How this clicker is pressed.
        leans: Log odds of each to be a press rather than a release, shape (n,); None where nothing says.
    """
    n = times_s.size
    pressed, released = (np.zeros(n), np.zeros(n)) if leans is None else _roles(leans)
    best, choice = np.zeros(n + 1), [Press(-1, None)] * n
    after = np.searchsorted(times_s, times_s + FREE_S)
    single = 0.5 * float(np.log(1.0 - rhythm.heard)) + WELCOME
    for i in range(n - 1, -1, -1):
        best[i], choice[i] = best[i + 1], Press(-1, None)
        alone = odds[i] + pressed[i] + single + best[after[i]]
        if alone > best[i]:
            best[i], choice[i] = alone, Press(i, None)
        for j in range(after[i], int(np.searchsorted(times_s, times_s[i] + RELEASE_S[1]))):
            fits = rhythm.fit(float(times_s[j] - times_s[i])) + np.log(rhythm.heard)
            pair = odds[i] + pressed[i] + 0.8 * odds[j] + released[j] + fits + WELCOME + best[after[j]]
            if pair > best[i]:
                best[i], choice[i] = pair, Press(i, j)
    return _walk(choice, after)


def _roles(leans: Rows) -> tuple[Rows, Rows]:
    """Log of twice the chance of each to be a press, and to be a release."""
    return np.log(2.0) - np.logaddexp(0.0, -leans), np.log(2.0) - np.logaddexp(0.0, leans)


def _walk(choice: list[Press], after: NDArray[np.intp]) -> list[Press]:
    presses, i = [], 0
    while i < len(choice):
        chosen = choice[i]
        if chosen.press < 0:
            i += 1
            continue
        presses.append(chosen)
        i = int(after[chosen.press if chosen.release is None else chosen.release])
    return presses


def _pairs(times_s: Rows, chances: Rows) -> tuple[Rows, Rows]:
    """Gaps between likely snaps that could be press and release, and how likely both are."""
    gaps, weights = [0.1], [0.0]
    likely = np.flatnonzero(chances > 0.2)
    for place, i in enumerate(likely):
        for j in likely[place + 1 :]:
            gap = times_s[j] - times_s[i]
            if gap > RELEASE_S[1]:
                break
            if gap >= RELEASE_S[0]:
                gaps.append(float(gap))
                weights.append(float(chances[i] * chances[j]))
    return np.array(gaps), np.array(weights)
