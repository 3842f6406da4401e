"""Learning one clicker in one room from a short recording of it."""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from nares.base.errors import NotEnoughData
from nares.measure.inputs import SoundBlock
from nares.measure.sound.likeness import Rows, risen_db
from nares.measure.sound.marks import ClickerPrint, alone_chances
from nares.measure.sound.matching import match, templates_of
from nares.measure.sound.presses import RELEASE_S, learn_rhythm, read_presses
from nares.measure.sound.snaps import Snaps, find_snaps, join_snaps, no_snaps, without_echoes
from nares.measure.sound.stream import Stretches

ALIKE_DB = 7.0
UNEVEN = 0.4
"""A release whose time after the press is off the usual by more than this share is something else."""
RISEN_DB = 6.0
LIKE_A_CLICKER = 0.3
"""Presses of a print are at least this likely to be a clicker's by themselves, taken together."""
"""Snaps of one clicker differ by less than this. [dB]"""
FAINTER_DB = 14.0
"""A snap fainter than the usual one by more than this is an echo or something else. [dB]"""


def learn_clicker(blocks: Iterable[SoundBlock]) -> ClickerPrint:
    """Learn a clicker from a short recording: a few clicks, about one a second, little else.

    Args:
        blocks: The recording, in time order, at one rate.

    Raises:
        NotEnoughData: If fewer than two usable clicks are heard.
    """
    snaps = _all_snaps(blocks)
    known = print_from(snaps, alone_chances(snaps))
    if known is None:
        raise NotEnoughData(
            f"{_heard(len(snaps))} in this recording of the clicker, fewer than two that are alike "
            "and like a clicker. Record four clicks, one a second, within two metres of the phone and with "
            "nobody talking."
        )
    return known


def print_from(snaps: Snaps, chances: Rows) -> ClickerPrint | None:
    """The print of the loud alike snaps among these; None with fewer than two presses."""
    strong = np.flatnonzero((risen_db(snaps) > 8.0) & (chances > 0.02)) if len(snaps) else np.zeros(0, int)
    if strong.size < 2:
        return None
    apart = unlike(snaps.take(strong))
    loud = snaps.steps[strong, 0].astype(np.float64)
    belief = chances[strong] * 10 ** (np.minimum(loud - loud.max(), 0.0) / 30)
    middle = int(np.argmax(((apart < ALIKE_DB) * belief).sum(1) * belief))
    near = (apart[middle] < ALIKE_DB) & (loud > loud[middle] - FAINTER_DB)
    chosen = snaps.take(strong[_with_partners(snaps.at_s[strong], near, loud > loud[middle] - FAINTER_DB)])
    known = _as_print(chosen)
    if known is None:
        return None
    pressed = np.isin(snaps.at_s, known.snaps.at_s[known.pressed])
    return known if float(chances[pressed].mean()) >= LIKE_A_CLICKER else None


def unlike(snaps: Snaps) -> NDArray[np.float64]:
    """How far each snap is from each other, the same both ways, dB."""
    apart = match(snaps, templates_of(snaps)).apart.astype(np.float64)
    return np.asarray(0.5 * (apart + apart.T))


def _as_print(chosen: Snaps) -> ClickerPrint | None:
    """The snaps read as presses and releases; None with fewer than two presses."""
    rhythm = learn_rhythm(chosen.at_s, np.full(len(chosen), 0.9))
    read = read_presses(chosen.at_s, np.full(len(chosen), 3.0), rhythm)
    if _apart(chosen.at_s[[one.press for one in read]]) < 2:
        return None
    used = sorted(i for one in read for i in (one.press, one.release) if i is not None)
    pressed = np.isin(used, [one.press for one in read])
    return ClickerPrint(chosen.take(np.array(used, dtype=np.intp)), pressed, rhythm)


def print_of_presses(snaps: Snaps, presses: list[int]) -> ClickerPrint:
    """The print of presses whose places are known, with the releases that follow them alike in time.

    Args:
        snaps: All snaps around, in time order.
        presses: Which of them are the presses.
    """
    found = [_release_after(snaps, one, presses) for one in presses]
    gaps_s = np.array([snaps.at_s[j] - snaps.at_s[i] for i, j in zip(presses, found, strict=True) if j >= 0])
    usual_s = float(np.median(gaps_s)) if gaps_s.size else 0.0
    releases = [
        j
        for i, j in zip(presses, found, strict=True)
        if j >= 0 and abs(np.log((snaps.at_s[j] - snaps.at_s[i]) / usual_s)) < UNEVEN
    ]
    if len(releases) < 2:
        releases = []
    used = np.array(sorted([*presses, *releases]), dtype=np.intp)
    chosen = snaps.take(used)
    rhythm = learn_rhythm(chosen.at_s, np.full(len(chosen), 0.9))
    return ClickerPrint(chosen, np.isin(used, presses), rhythm)


def _release_after(snaps: Snaps, press: int, presses: list[int]) -> int:
    """The loudest snap where a release can be, or -1."""
    gap = snaps.at_s - snaps.at_s[press]
    near = (gap >= RELEASE_S[0]) & (gap <= RELEASE_S[1]) & (risen_db(snaps) > RISEN_DB)
    near &= snaps.steps[:, 0] > snaps.steps[press, 0] - FAINTER_DB
    near[presses] = False
    where = np.flatnonzero(near)
    return int(where[np.argmax(snaps.steps[where, 0])]) if where.size else -1


def _with_partners(
    times_s: NDArray[np.float64], chosen: NDArray[np.bool_], loud: NDArray[np.bool_]
) -> NDArray[np.bool_]:
    """The chosen snaps and the loud ones that come as their press or release."""
    apart = np.abs(times_s[:, None] - times_s[chosen][None, :])
    return chosen | (loud & (apart <= RELEASE_S[1]).any(axis=1))


def _apart(times_s: NDArray[np.float64]) -> int:
    """How many of these come later than a release would after the one before."""
    return int(np.count_nonzero(np.diff(times_s) > RELEASE_S[1])) + 1 if times_s.size else 0


def _all_snaps(blocks: Iterable[SoundBlock]) -> Snaps:
    stretches: Stretches | None = None
    tables = [no_snaps()]
    for block in blocks:
        stretches = stretches or Stretches(block.rate_hz)
        tables += [find_snaps(stretch) for stretch in stretches.add(block)]
    if stretches is not None:
        tables += [find_snaps(stretch) for stretch in stretches.rest()]
    return without_echoes(join_snaps(tables))


def _heard(count: int) -> str:
    return "No short sound was heard" if count == 0 else f"{count} short sounds were heard"
