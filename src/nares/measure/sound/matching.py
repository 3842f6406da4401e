"""How far a snap can be another snap of the same clicker, given the noise it came in.

Conventions
-----------
A template is what a known snap adds to the sound before it, in fine bands, at once and 11 ms later. It is
laid over the noise that was there just before the snap in question, at the loudness that fits best; bands
in which the noise hides what should be there say nothing. All differences are in dB; ``n`` snaps are held
against ``m`` templates.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nares.measure.sound.snaps import Snaps

Rows = NDArray[np.float32]
AT_ONCE = 400
"""So many snaps are held against the templates at one time."""
UNHEARD = 1e-5
"""What lies this far below the loudest band does not count, as a share of power."""
LATER_COUNTS = 0.15


@dataclass(frozen=True, slots=True)
class Templates:
    """What known snaps add: power in fine bands at once and later, shape (m, FINE) each."""

    now: Rows
    later: Rows

    def __len__(self) -> int:
        return int(self.now.shape[0])

    def middle(self) -> "Templates":
        """The middle of them, band by band, as one template."""
        return Templates(*(np.median(part, axis=0, keepdims=True) for part in (self.now, self.later)))

    def without(self, one: int) -> "Templates":
        """All but one."""
        return Templates(np.delete(self.now, one, axis=0), np.delete(self.later, one, axis=0))


@dataclass(frozen=True, slots=True)
class Match:
    """How snaps stand to templates, shape (n, m) each.

    ``now`` and ``later``: how far they are apart (dB). ``gain``: how much louder than the template (dB).
    ``seen``: share of the bands in which the template would be heard over the noise.
    """

    now: Rows
    later: Rows
    gain: Rows
    seen: Rows

    @property
    def apart(self) -> Rows:
        """Both differences as one, dB."""
        return np.sqrt(self.now**2 + LATER_COUNTS * self.later**2)


def templates_of(snaps: Snaps) -> Templates:
    """What each snap adds to the sound before it."""
    before = _power(snaps.fine_before)
    least = 1e-4 * _power(snaps.fine).max(axis=1, keepdims=True, initial=1e-9)
    return Templates(
        np.maximum(_power(snaps.fine) - before, least),
        np.maximum(_power(snaps.fine_later) - before, 0.1 * least),
    )


def match(snaps: Snaps, templates: Templates) -> Match:
    """Hold every snap against every template."""
    parts = [
        _matched(snaps.take(np.arange(first, min(first + AT_ONCE, len(snaps)))), templates)
        for first in range(0, len(snaps), AT_ONCE)
    ]
    if not parts:
        return Match(*(np.zeros((0, len(templates)), dtype=np.float32) for _ in range(4)))
    return Match(*(np.concatenate(columns) for columns in zip(*parts, strict=True)))


def _matched(snaps: Snaps, templates: Templates) -> tuple[Rows, Rows, Rows, Rows]:
    loudest = _power(snaps.fine).max(axis=1, keepdims=True)[:, None, :]
    floor = np.float32(UNHEARD) * loudest + np.float32(1e-12)
    heard, later, noise = (
        _power(part)[:, None, :] + floor for part in (snaps.fine, snaps.fine_later, snaps.fine_before)
    )
    now, after = templates.now[None], templates.later[None]
    added = np.maximum(heard - noise, 0)
    gain = (np.sqrt(added * now).sum(2) / now.sum(2)) ** 2 + np.float32(1e-9)
    for _ in range(2):
        off, weight = _off(heard, noise, gain[:, :, None] * now)
        step = (weight * off).sum(2) / weight.sum(2)
        gain = gain * 10 ** (np.clip(step, -12, 12) / 10)
    expected = gain[:, :, None] * now
    off, weight = _off(heard, noise, expected)
    off_later, weight_later = _off(later, noise, gain[:, :, None] * after)
    return (
        np.sqrt((weight * off**2).sum(2) / weight.sum(2)),
        np.sqrt((weight_later * off_later**2).sum(2) / (weight_later.sum(2) + 1)),
        10 * np.log10(gain),
        (expected / (expected + noise)).mean(axis=2),
    )


def _off(heard: Rows, noise: Rows, expected: Rows) -> tuple[Rows, Rows]:
    """How far what is heard is from noise and template together, and how much each band says of it."""
    off = 10 * np.log10(heard / (noise + expected))
    there = np.maximum(expected, heard - noise)
    return np.clip(off, -20, 20), there / (there + noise) + np.float32(1e-3)


def _power(db: Rows) -> Rows:
    return np.asarray(10 ** (db / 10), dtype=np.float32)
