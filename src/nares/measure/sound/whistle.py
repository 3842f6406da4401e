"""A whistle as the marker: a blast is one mark, at its first sound.

Conventions
-----------
Blasts come from `tones` and `blasts`. Three learned judges follow one another: of each blast by itself, of
each among the likely blasts of its session, and, where there is a print of the whistle, of each among those
of the print. A trill of pips less than 0.15 s apart is one blast; a tone of more than 3 s is none.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nares.base.errors import NotEnoughData
from nares.base.vocab import Mark
from nares.measure.inputs import SoundBlock
from nares.measure.sound.blasts import Blasts, Rows, blasts_of
from nares.measure.sound.judge import judge, log_odds
from nares.measure.sound.stream import Stretches
from nares.measure.sound.tones import HOP_S, MOST, Tones, tones

LIKELY = 0.5
DOUBTFUL = 0.1
"""Between this chance and `LIKELY` a blast is put to a person."""
LEAST_BLASTS = 2
FAINTER_DB = 14.0
TOGETHER_S = 0.05
SAME_PITCH = 0.12
NEAR_PITCH = 0.05
SPREAD_KNOWN = 24
LIKENESS = (3, 4, 5, 6, 7, 8, 12)
"""Columns of a row that tell one whistle from another: how its pitch and level move, and its overtones."""


@dataclass(frozen=True, slots=True)
class WhistlePrint:
    """What one whistle sounds like: its blasts, alone."""

    blasts: Blasts


def learn_whistle(blocks: Iterable[SoundBlock]) -> WhistlePrint:
    """Learn a whistle from a short recording of it: a few blasts with pauses, little else.

    Raises:
        NotEnoughData: If fewer than two usable blasts are heard.
    """
    found = blasts_of(_tones_of(blocks))
    known = print_of(found)
    if known is None:
        heard = (
            "No tone was heard" if not len(found) else f"{len(found)} tones were heard, fewer than two alike,"
        )
        raise NotEnoughData(
            f"{heard} in this recording of the whistle. "
            "Blow it three or four times as you do in training, a second apart, with nothing else sounding."
        )
    return known


def print_of(found: Blasts) -> WhistlePrint | None:
    """The print of the loud alike blasts among these; None with fewer than two."""
    if not len(found):
        return None
    belief = alone_chances(found) * 10 ** ((found.level_db - found.level_db.max()) / 30)
    apart = np.abs(found.pitch[:, None] - found.pitch[None, :])
    middle = int(np.argmax(((apart < SAME_PITCH) * belief).sum(axis=1) * belief))
    loud = found.level_db > found.level_db[middle] - FAINTER_DB
    chosen = found.take((apart[middle] < SAME_PITCH) & loud)
    return WhistlePrint(chosen) if len(chosen) >= LEAST_BLASTS else None


def find_whistles(found: Blasts, known: WhistlePrint | None) -> tuple[tuple[Mark, ...], tuple[Mark, ...]]:
    """Marks, and blasts that may be marks and are more likely not, each in time order."""
    if not len(found):
        return (), ()
    alone = alone_chances(found)
    chances = judge("whistle/untold").chance(untold_rows(found, alone))
    if known is not None:
        chances = judge("whistle/told").chance(told_rows(found, alone, chances, known))
    marks = [Mark(float(at_s), round(float(sure), 4)) for at_s, sure in zip(found.at_s, chances, strict=True)]
    marks = _apart(sorted(marks, key=lambda mark: mark.at_s))
    likely = tuple(mark for mark in marks if mark.sure >= LIKELY)
    return likely, tuple(mark for mark in marks if DOUBTFUL <= mark.sure < LIKELY)


def _apart(marks: list[Mark]) -> list[Mark]:
    """Of blasts that begin together the likelier."""
    kept: list[Mark] = []
    for mark in marks:
        if kept and mark.at_s - kept[-1].at_s < TOGETHER_S:
            if mark.sure > kept[-1].sure:
                kept[-1] = mark
        else:
            kept.append(mark)
    return kept


def alone_chances(found: Blasts) -> Rows:
    """The chance of each blast by itself, shape (n,)."""
    return judge("whistle/alone").chance(found.rows)


def untold_rows(found: Blasts, alone: Rows) -> Rows:
    """Each blast among the likely ones of its session, shape (n, 7), each number higher for a mark."""
    likely = np.argsort(-alone)[:SPREAD_KNOWN]
    likely = likely[alone[likely] > 0.15]
    return np.column_stack([log_odds(alone), _among(found, found.take(likely), alone[likely], same=likely)])


def told_rows(found: Blasts, alone: Rows, untold: Rows, known: WhistlePrint) -> Rows:
    """Each blast among those of the print, and what the session itself says of it, shape (n, 8)."""
    among = _among(found, known.blasts, np.ones(len(known.blasts)), same=None)
    return np.column_stack([log_odds(alone), log_odds(untold), among])


def _among(found: Blasts, known: Blasts, weights: Rows, *, same: NDArray[np.intp] | None) -> Rows:
    """How each blast stands to known ones, shape (n, 6), each number higher where they are alike."""
    if not len(known):
        return np.tile([-3.0, -0.5, -4.0, -2.0, 0.0, -10.0], (len(found), 1))
    pitch = np.abs(found.pitch[:, None] - known.pitch[None, :])
    spread = judge("whistle/alone").spread[list(LIKENESS)]
    ours, theirs = found.rows[:, LIKENESS] / spread, known.rows[:, LIKENESS] / spread
    unlike = np.sqrt(((ours[:, None, :] - theirs[None, :, :]) ** 2).mean(axis=2))
    length = np.abs(np.log(found.length_s)[:, None] - np.log(known.length_s)[None, :])
    if same is not None:  # a blast is no witness for itself
        for table in (pitch, unlike, length):
            table[same, np.arange(len(known))] = 9.0
    kin = np.exp(-0.5 * (pitch / NEAR_PITCH) ** 2 - 0.5 * unlike**2)
    usual = float(np.average(known.level_db, weights=weights + 1e-6))
    louder = np.clip(found.level_db - usual, -40.0, 40.0)
    other = 9.0 * (pitch > SAME_PITCH)
    return np.column_stack(
        [np.log10((kin * weights).sum(axis=1) / len(known) + 1e-3), -np.minimum(pitch.min(axis=1), 0.5),
         -np.minimum((unlike + other).min(axis=1), 4.0), -np.minimum((length + other).min(axis=1), 2.0),
         np.minimum(louder, 0.0), -np.maximum(louder - 10.0, 0.0)]
    )  # fmt: skip


def _tones_of(blocks: Iterable[SoundBlock]) -> Tones:
    stretches: Stretches | None = None
    parts: list[Tones] = []
    for block in blocks:
        stretches = stretches or Stretches(block.rate_hz)
        parts += [tones(stretch) for stretch in stretches.add(block)]
    if stretches is not None:
        parts += [tones(stretch) for stretch in stretches.rest()]
        return join_tones(parts, stretches.heard_s)
    return join_tones(parts, 0.0)


def join_tones(parts: list[Tones], heard_s: float) -> Tones:
    """Tones of consecutive stretches as one table, without what lies behind the end."""
    if not parts:
        return np.zeros((0, MOST, 7), dtype=np.float32)
    return np.concatenate(parts)[: int(heard_s / HOP_S)]
