"""From snaps to marks: which snaps are this clicker's, and which of them begin a mark.

Conventions
-----------
A box clicker snaps when pressed and, mostly, when let go; the mark is the first of the two. The clicker is
known from a short recording of it (`ClickerPrint`) or, failing that, from the snap that keeps coming back
in the session itself. Three judgements follow one another: of each snap by itself, of each snap among the
known ones, of each press with its release.
"""

from dataclasses import dataclass

import numpy as np

from nares.base.vocab import Mark
from nares.measure.sound.judge import judge, log_odds
from nares.measure.sound.likeness import Rows, alone_rows, among_rows, pick_known, risen_db
from nares.measure.sound.presses import LEAST, Press, Rhythm, learn_rhythm, read_presses
from nares.measure.sound.snaps import Snaps

LIKELY = 0.5
"""From this chance on a press is a mark."""


@dataclass(frozen=True, slots=True)
class ClickerPrint:
    """What one clicker sounds like in one room: its snaps, and how it is pressed."""

    snaps: Snaps
    rhythm: Rhythm

    @property
    def snap_count(self) -> int:
        """How many snaps, presses and releases together, the print rests on."""
        return len(self.snaps)


@dataclass(frozen=True, slots=True)
class Presses:
    """Presses proposed in one session: the readings, their rows for the last judgement, shape (n, 14)."""

    read: list[Press]
    rows: Rows


def snap_chances(snaps: Snaps, known: ClickerPrint | None) -> Rows:
    """The chance of each snap to be the clicker's, shape (n,)."""
    alone = judge("marks/alone").chance(alone_rows(snaps))
    untold = judge("marks/untold").chance(untold_rows(snaps, alone))
    if known is None:
        return untold
    return judge("marks/told").chance(told_rows(snaps, alone, untold, known))


def untold_rows(snaps: Snaps, alone: Rows) -> Rows:
    """Each snap among the likely snaps of its own session, shape (n, 14)."""
    chosen, weights, where = pick_known(snaps, alone)
    among = among_rows(snaps, alone, chosen, weights, same=where.astype(np.float64))
    return np.column_stack([log_odds(alone), risen_db(snaps), among])


def told_rows(snaps: Snaps, alone: Rows, untold: Rows, known: ClickerPrint) -> Rows:
    """Each snap among those of the print, and what the session itself says of it, shape (n, 15)."""
    among = among_rows(snaps, untold, known.snaps, np.ones(len(known.snaps)), same=None)
    return np.column_stack([log_odds(alone), risen_db(snaps), among, log_odds(untold)])


def marks_from(snaps: Snaps, chances: Rows, known: ClickerPrint | None = None) -> tuple[Mark, ...]:
    """The marks among all snaps of a session, each with its chance.

    Args:
        snaps: All snaps in time order.
        chances: The chance of each to be the clicker's, shape (n,).
        known: The print, when there is one.
    """
    presses = propose_presses(snaps, chances, known)
    sure = judge("marks/press").chance(presses.rows)
    return tuple(
        Mark(round(float(snaps.at_s[one.press]), 5), round(float(likely), 4))
        for one, likely in zip(presses.read, sure, strict=True)
        if likely >= LIKELY
    )


def propose_presses(snaps: Snaps, chances: Rows, known: ClickerPrint | None) -> Presses:
    """Every press that is worth judging."""
    which = np.flatnonzero(chances >= LEAST)
    times, likely = snaps.at_s[which], chances[which]
    rhythm = learn_rhythm(times, likely)
    if known is not None and rhythm.spacing_s is None:
        rhythm = known.rhythm
    odds = log_odds(likely)
    read = read_presses(times, odds, rhythm)
    rows = _press_rows(times, odds, likely, read, rhythm, told=known is not None)
    if read:
        rows = np.column_stack([rows, risen_db(snaps)[which[[one.press for one in read]]]])
    back = [int(i) for i in which]
    return Presses(
        [Press(back[one.press], None if one.release is None else back[one.release]) for one in read], rows
    )


def _press_rows(
    times: Rows, odds: Rows, likely: Rows, read: list[Press], rhythm: Rhythm, *, told: bool
) -> Rows:
    if not read:
        return np.zeros((0, 14))
    at = times[[one.press for one in read]]
    release = np.array([odds[one.release] if one.release is not None else -7.0 for one in read])
    gaps = np.array(
        [times[one.release] - times[one.press] if one.release is not None else 0.0 for one in read]
    )
    fits = np.array([rhythm.fit(float(gap)) if gap else -7.0 for gap in gaps])
    press = odds[[one.press for one in read]]
    before = np.diff(at, prepend=at[0] - 5.0)
    after = np.diff(at, append=at[-1] + 5.0)
    session = [
        np.log(rhythm.heard / (1 - rhythm.heard)), float(rhythm.spacing_s is not None),
        np.log1p(min(len(read), 20)),
        float(np.median(likely[[one.press for one in read]])), float(told),
        np.log10(likely.sum() / (times[-1] - times[0] + 5.0) + 0.01),
    ]  # fmt: skip
    return np.column_stack(
        [press, release, gaps > 0, fits, gaps,
         np.log(np.clip(before, 0.04, 3)), np.log(np.clip(after, 0.04, 3)),
         np.tile(session, (len(read), 1))]
    )  # fmt: skip
