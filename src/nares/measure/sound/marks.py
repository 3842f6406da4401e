"""From snaps to marks: which snaps are this clicker's, and which of them begin a mark.

Conventions
-----------
A box clicker snaps when pressed and, mostly, when let go; the mark is the first of the two. The clicker is
known from a short recording of it (`ClickerPrint`) or, failing that, from the snap that keeps coming back
in the session itself. Judgements follow one another: of each snap by itself, among the likely snaps of its
session, against the print, then once more among those that have become plain, with their roles; at last of
each press with its release.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nares.base.vocab import Mark
from nares.measure.sound.judge import judge, log_odds
from nares.measure.sound.kin import SPREAD_KNOWN, Known, join_known, kin_rows, likely_kin, spread
from nares.measure.sound.likeness import Rows, alone_rows, risen_db
from nares.measure.sound.presses import LEAST, RELEASE_S, Press, Rhythm, learn_rhythm, read_presses
from nares.measure.sound.snaps import Snaps

LIKELY = 0.4
"""From this chance on a press is a mark."""
DOUBTFUL = 0.15
"""From this chance on a person is asked."""
WORTH = 0.002
"""Below this chance by itself a snap is nothing and is not looked at again."""
PLAIN = 0.5
"""From this chance on a snap is a witness in the second round."""


@dataclass(frozen=True, slots=True)
class ClickerPrint:
    """What one clicker sounds like in one room: its snaps, which are presses, and how it is pressed."""

    snaps: Snaps
    pressed: NDArray[np.bool_]
    rhythm: Rhythm

    @property
    def snap_count(self) -> int:
        """How many snaps, presses and releases together, the print rests on."""
        return len(self.snaps)

    @property
    def known(self) -> Known:
        """The same as witnesses, each fully trusted."""
        return Known(self.snaps, np.ones(len(self.snaps)), self.pressed, self.rhythm)


@dataclass(frozen=True, slots=True)
class Judged:
    """Each snap's chance to be the clicker's, its log odds to be a press, and what it was judged by."""

    chances: Rows
    leans: Rows
    rows: Rows
    rhythm: Rhythm


@dataclass(frozen=True, slots=True)
class Presses:
    """Presses proposed in one session: the readings, their rows for the last judgement, shape (n, 26)."""

    read: list[Press]
    rows: Rows


def alone_chances(snaps: Snaps) -> Rows:
    """The chance of each snap to be a clicker's by itself, shape (n,)."""
    return judge("marks/alone").chance(alone_rows(snaps))


def judge_snaps(snaps: Snaps, alone: Rows, known: ClickerPrint | None) -> Judged:
    """Judge every snap of a session among the others.

    Args:
        snaps: All snaps in time order.
        alone: Their chances by themselves, shape (n,).
        known: The print, when there is one.
    """
    worth = np.flatnonzero(alone >= WORTH)
    chosen, alone = snaps.take(worth), alone[worth]
    first = judge("marks/untold").chance(untold_rows(chosen, alone))
    if known is not None:
        first = judge("marks/told").chance(told_rows(chosen, alone, first, known))
    rows, rhythm = again_rows(chosen, alone, first, known)
    chances, leans = judge("marks/again").chance(rows), log_odds(judge("marks/role").chance(rows))
    return Judged(
        _among(snaps, worth, chances), _among(snaps, worth, leans), _among(snaps, worth, rows), rhythm
    )


def _among(snaps: Snaps, worth: NDArray[np.intp], values: Rows) -> Rows:
    """Values of the snaps worth judging among those of all; 0 for the rest."""
    every = np.zeros((len(snaps), *values.shape[1:]))
    every[worth] = values
    return every


def untold_rows(snaps: Snaps, alone: Rows) -> Rows:
    """Each snap among the likely snaps of its own session."""
    return np.column_stack(
        [log_odds(alone), risen_db(snaps), kin_rows(snaps, alone, likely_kin(snaps, alone))]
    )


def told_rows(snaps: Snaps, alone: Rows, untold: Rows, known: ClickerPrint) -> Rows:
    """Each snap among those of the print, and what the session itself says of it."""
    rows = kin_rows(snaps, untold, known.known)
    return np.column_stack([log_odds(alone), risen_db(snaps), log_odds(untold), rows])


def again_rows(snaps: Snaps, alone: Rows, first: Rows, known: ClickerPrint | None) -> tuple[Rows, Rhythm]:
    """Each snap among those the first round made plain, presses and releases apart."""
    plain = plain_kin(snaps, first, known)
    told = np.full(len(snaps), float(known is not None))
    rows = kin_rows(snaps, first, plain)
    return np.column_stack([log_odds(alone), risen_db(snaps), log_odds(first), told, rows]), plain.rhythm


def plain_kin(snaps: Snaps, chances: Rows, known: ClickerPrint | None) -> Known:
    """The plain presses of a session with their releases, together with the print."""
    which = np.flatnonzero(chances >= LEAST)
    times, likely = snaps.at_s[which], chances[which]
    rhythm = _rhythm(times, likely, known)
    read = read_presses(times, log_odds(likely), rhythm)
    sure = [one for one in read if likely[one.press] >= PLAIN]
    chosen = spread(np.arange(len(sure)), SPREAD_KNOWN)
    presses = np.array([sure[i].press for i in chosen], dtype=np.intp)
    releases = [sure[i].release for i in chosen]
    let_go = np.array([one for one in releases if one is not None and likely[one] >= PLAIN], dtype=np.intp)
    both = np.concatenate([presses, let_go])
    own = Known(snaps.take(which[both]), likely[both], np.arange(both.size) < presses.size, rhythm)
    return own if known is None else join_known(known.known, _unknown_to(own, known))


def _unknown_to(own: Known, known: ClickerPrint) -> Known:
    """Those not already in the print, which may come from the same recording."""
    new = ~np.isin(own.snaps.at_s, known.snaps.at_s)
    return Known(own.snaps.take(new), own.weights[new], own.pressed[new], own.rhythm)


def _rhythm(times: Rows, likely: Rows, known: ClickerPrint | None) -> Rhythm:
    rhythm = learn_rhythm(times, likely)
    return known.rhythm if known is not None and rhythm.spacing_s is None else rhythm


def marks_from(snaps: Snaps, judged: Judged, *, told: bool) -> tuple[tuple[Mark, ...], tuple[Mark, ...]]:
    """The marks among all snaps of a session and the doubtful ones, each with its chance.

    Args:
        snaps: All snaps in time order.
        judged: What each was judged to be.
        told: Whether there was a print.
    """
    presses = propose_presses(snaps, judged, told=told)
    sure = judge("marks/press").chance(presses.rows)
    both = [
        Mark(round(float(snaps.at_s[one.press]), 5), round(float(likely), 4))
        for one, likely in zip(presses.read, sure, strict=True)
        if likely >= DOUBTFUL
    ]
    return tuple(m for m in both if m.sure >= LIKELY), tuple(m for m in both if m.sure < LIKELY)


def propose_presses(snaps: Snaps, judged: Judged, *, told: bool) -> Presses:
    """Every press that is worth judging."""
    which = np.flatnonzero(judged.chances >= LEAST)
    times, likely, leans = snaps.at_s[which], judged.chances[which], judged.leans[which]
    rhythm = learn_rhythm(times, likely)
    if rhythm.spacing_s is None:
        rhythm = judged.rhythm
    odds = log_odds(likely)
    read = read_presses(times, odds, rhythm, leans)
    rows = _press_rows(times, odds, leans, read, rhythm, told=told)
    if read:
        pressed = which[[one.press for one in read]]
        rows = np.column_stack([rows, risen_db(snaps)[pressed], judged.rows[pressed][:, 11:20]])
    back = [int(i) for i in which]
    return Presses(
        [Press(back[one.press], None if one.release is None else back[one.release]) for one in read], rows
    )


def _press_rows(
    times: Rows, odds: Rows, leans: Rows, read: list[Press], rhythm: Rhythm, *, told: bool
) -> Rows:
    if not read:
        return np.zeros((0, 26))
    pressed = [one.press for one in read]
    at, likely = times[pressed], 1 / (1 + np.exp(-odds[pressed]))
    release = np.array([odds[one.release] if one.release is not None else -7.0 for one in read])
    gone = np.array([leans[one.release] if one.release is not None else 0.0 for one in read])
    gaps = np.array(
        [times[one.release] - times[one.press] if one.release is not None else 0.0 for one in read]
    )
    fits = np.array([rhythm.fit(float(gap)) if gap else -7.0 for gap in gaps])
    before = np.diff(at, prepend=at[0] - 5.0)
    after = np.diff(at, append=at[-1] + 5.0)
    session = [
        np.log(rhythm.heard / (1 - rhythm.heard)), float(rhythm.spacing_s is not None),
        np.log1p(min(len(read), 20)), float(np.median(likely)), float(told),
        np.log10(float((1 / (1 + np.exp(-odds))).sum()) / (times[-1] - times[0] + 5.0) + 0.01),
    ]  # fmt: skip
    return np.column_stack(
        [odds[pressed], release, gaps > 0, fits, gaps,
         np.log(np.clip(before, 0.04, 3)), np.log(np.clip(after, 0.04, 3)),
         leans[pressed], gone, _passed_over(times, odds, read, rhythm),
         np.tile(session, (len(read), 1))]
    )  # fmt: skip


def _passed_over(times: Rows, odds: Rows, read: list[Press], rhythm: Rhythm) -> Rows:
    """The best case for each press being the release of a snap passed over before it, log odds."""
    used = {i for one in read for i in (one.press, one.release)}
    free = np.array([i for i in range(times.size) if i not in used], dtype=np.intp)
    best = np.full(len(read), -12.0)
    for place, one in enumerate(read):
        gap = times[one.press] - times[free]
        near = (gap >= RELEASE_S[0]) & (gap <= RELEASE_S[1])
        if near.any():
            best[place] = float((odds[free][near] + np.log(rhythm.likely(gap[near]) + 1e-3)).max())
    return best
