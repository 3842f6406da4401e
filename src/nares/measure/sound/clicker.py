"""Learning one clicker in one room from a short recording of it."""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from nares.base.errors import NotEnoughData
from nares.measure.inputs import SoundBlock
from nares.measure.sound.judge import judge
from nares.measure.sound.likeness import Rows, alone_rows, distances, risen_db
from nares.measure.sound.marks import ClickerPrint
from nares.measure.sound.presses import RELEASE_S, learn_rhythm
from nares.measure.sound.snaps import Snaps, find_snaps, join_snaps, no_snaps, without_echoes
from nares.measure.sound.stream import Stretches

ALIKE_DB = 7.0
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
    known = print_from(snaps, judge("marks/alone").chance(alone_rows(snaps)))
    if known is None:
        raise NotEnoughData(
            f"{_heard(len(snaps))} in this recording of the clicker, fewer than two that are alike. "
            "Record four clicks, one a second, within two metres of the phone and with nobody talking."
        )
    return known


def print_from(snaps: Snaps, chances: Rows) -> ClickerPrint | None:
    """The print of the loud alike snaps among these; None with fewer than two presses."""
    strong = np.flatnonzero((risen_db(snaps) > 8.0) & (chances > 0.02)) if len(snaps) else np.zeros(0, int)
    if strong.size < 2:
        return None
    apart = distances(snaps.take(strong), snaps.take(strong))
    loud = snaps.steps[strong, 0].astype(np.float64)
    belief = chances[strong] * 10 ** (np.minimum(loud - loud.max(), 0.0) / 30)
    middle = int(np.argmax(((apart < ALIKE_DB) * belief).sum(1) * belief))
    near = (apart[middle] < ALIKE_DB) & (loud > loud[middle] - FAINTER_DB)
    chosen = snaps.take(strong[_with_partners(snaps.at_s[strong], near, loud > loud[middle] - FAINTER_DB)])
    if _presses(chosen) < 2:
        return None
    return ClickerPrint(chosen, learn_rhythm(chosen.at_s, np.full(len(chosen), 0.9)))


def _with_partners(
    times_s: NDArray[np.float64], chosen: NDArray[np.bool_], loud: NDArray[np.bool_]
) -> NDArray[np.bool_]:
    """The chosen snaps and the loud ones that come as their press or release."""
    apart = np.abs(times_s[:, None] - times_s[chosen][None, :])
    return chosen | (loud & (apart <= RELEASE_S[1]).any(axis=1))


def _presses(snaps: Snaps) -> int:
    return int(np.count_nonzero(np.diff(snaps.at_s) > RELEASE_S[1])) + 1 if len(snaps) else 0


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
