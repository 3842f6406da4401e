"""A start block: a recording that begins with quiet and then four marks about one second apart.

Conventions
-----------
People are no metronomes: a step may take 0.6 to 1.7 seconds, and the longest of three at most 1.7 times the
shortest. Before the first mark there is at least one second without any sound like it; talking does no harm.
The four marks make a print of the clicker as good as a recording of it alone.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nares.measure.sound.clicker import print_of_presses, unlike
from nares.measure.sound.judge import log_odds
from nares.measure.sound.likeness import FIRST_BAND, Rows, power, risen_db
from nares.measure.sound.marks import ClickerPrint
from nares.measure.sound.presses import RELEASE_S, learn_rhythm, read_presses
from nares.measure.sound.snaps import Snaps

MARKS = 4
QUIET_S = 1.0
LATEST_S = 12.0
STEP_S = (0.6, 1.7)
UNEVEN = 1.7
RISEN_DB = 6.0
ALIKE_DB = 7.5
"""The four are no further apart than this, in the middle of all pairs. [dB]"""
LOUDER_DB = 8.0
"""The loudest and the faintest of four marks differ by less. [dB]"""
MOST = 64
"""Of more early snaps only the likeliest are tried, so that a crackling fire does not take for ever."""
INTRUDERS = 2
"""More other sounds as loud and as like a clicker among the four are not quiet."""
FAINTER_DB = 14.0
PLAIN = 0.3
"""From this chance by itself on, a snap like the four before them says that they are no start block."""
LEAST = 0.05
"""A snap less likely than this by itself is left out."""


@dataclass(frozen=True, slots=True)
class StartBlock:
    """What a start block teaches.

    ``known``: the print of the clicker. ``presses_s``: when the four marks were pressed. ``floor_db``: the
    background before them above 1 kHz, dB of power against full scale.
    """

    known: ClickerPrint
    presses_s: tuple[float, ...]
    floor_db: float


def start_block_of(snaps: Snaps, alone: Rows) -> StartBlock | None:
    """What a start block teaches; None when the recording does not begin with one.

    Args:
        snaps: All snaps of the recording in time order.
        alone: Their chances to be a clicker's by themselves, shape (n,).
    """
    here = snaps.at_s < LATEST_S + 6 * STEP_S[1]
    early, chances = snaps.take(here), alone[here]
    fit = np.flatnonzero((risen_db(early) > RISEN_DB) & (chances > LEAST)) if len(early) else np.zeros(0, int)
    if fit.size < MARKS:
        return None
    if fit.size > MOST:
        fit = np.sort(fit[np.argsort(-chances[fit], kind="stable")[:MOST]])
    chosen = early.take(fit)
    apart, loud = unlike(chosen), chosen.steps[:, 0].astype(np.float64)
    best: tuple[float, list[int]] | None = None
    for four in _fours(chosen.at_s, apart, loud):
        cost = _cost(four, chosen.at_s, apart, chances[fit])
        if (best is None or cost < best[0]) and _first_heard(four, chosen, apart, loud, chances[fit]):
            best = (cost, four)
    if best is None:
        return None
    presses = _presses_of(best[1], chosen, loud, chances[fit])
    return None if presses is None else _learned(early, [int(fit[i]) for i in presses])


def _fours(at_s: Rows, apart: Rows, loud: Rows) -> Iterator[list[int]]:
    """Every four alike snaps that follow one another in about equal steps."""

    def longer(chain: list[int]) -> Iterator[list[int]]:
        if len(chain) == MARKS:
            yield chain
            return
        step = at_s - at_s[chain[-1]]
        alike = (apart[chain] < 1.3 * ALIKE_DB).all(axis=0) & (abs(loud - loud[chain[0]]) < LOUDER_DB)
        for i in np.flatnonzero((step >= STEP_S[0]) & (step <= STEP_S[1]) & alike):
            steps = np.diff(at_s[np.array([*chain, int(i)])])
            if steps.max() <= UNEVEN * steps.min():
                yield from longer([*chain, int(i)])

    for first in np.flatnonzero((at_s >= QUIET_S) & (at_s <= LATEST_S)):
        for four in longer([int(first)]):
            pairs = apart[np.ix_(four, four)][np.triu_indices(MARKS, 1)]
            if np.median(pairs) < ALIKE_DB:
                yield four


def _cost(four: list[int], at_s: Rows, apart: Rows, chances: Rows) -> float:
    """How unlike a start block: unlike or unlikely snaps, uneven steps, a later beginning."""
    unlike_db = float(np.median(apart[np.ix_(four, four)][np.triu_indices(MARKS, 1)]))
    uneven = float(np.std(np.log(np.diff(at_s[four]))))
    unlikely = -float(np.log(chances[four] + 1e-3).mean())
    return unlike_db + 10.0 * uneven + unlikely + 1.5 * float(at_s[four[0]])


def _presses_of(four: list[int], chosen: Snaps, loud: Rows, chances: Rows) -> list[int] | None:
    """The four presses behind four alike snaps, some maybe releases; None if they cannot be told."""
    at_s = chosen.at_s
    usual = float(np.median(loud[four]))
    inside = (at_s > at_s[four[0]] - RELEASE_S[1] - 0.01) & (at_s < at_s[four[-1]] + RELEASE_S[1] + 0.01)
    block = np.flatnonzero(inside & (loud > usual - FAINTER_DB))
    rhythm = learn_rhythm(at_s[block], np.full(block.size, 0.9))
    read = read_presses(at_s[block], log_odds(np.clip(chances[block], 0.3, 0.95)), rhythm)
    owner = {int(block[one]): int(block[pair.press]) for pair in read for one in (pair.press, pair.release)
             if one is not None}  # fmt: skip
    plain = block[(chances[block] > PLAIN) & (loud[block] > usual - LOUDER_DB)]
    presses = [owner.get(one, one) for one in four]
    meant = {one for one, press in owner.items() if press in presses} | set(four)
    if len(set(plain.tolist()) - meant) > INTRUDERS:
        return None
    steps = np.diff(at_s[presses])
    if steps.min() < STEP_S[0] or steps.max() > STEP_S[1] or steps.max() > UNEVEN * steps.min():
        return None
    return presses


def _first_heard(four: list[int], chosen: Snaps, apart: Rows, loud: Rows, chances: Rows) -> bool:
    """Whether nothing alike came before the first of them, save its own press if these are releases."""
    before = chosen.at_s < chosen.at_s[four[0]] - RELEASE_S[1]
    plain = (chances > PLAIN) & (loud > np.median(loud[four]) - LOUDER_DB)
    return not bool(np.any(before & plain & (apart[four].min(axis=0) < ALIKE_DB)))


def _learned(early: Snaps, presses: list[int]) -> StartBlock:
    known = print_of_presses(early, presses)
    at_s: NDArray[np.float64] = early.at_s[presses]
    before = power(early.before[presses])[:, FIRST_BAND:].sum(axis=1)
    floor_db = round(float(10.0 * np.log10(np.median(before))), 1)
    return StartBlock(known, tuple(round(float(one), 5) for one in at_s), floor_db)
