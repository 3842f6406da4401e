"""Whether an opening is plainly in or out, which of the two is the empty one, and how much a visit covers.

Conventions
-----------
The *usual* cover is that of this session's usual visit, 0 to 1. Two states are plain when hardly a picture
lies between them and the rim is hidden in one and not in the other; else the opening stands in one only.
"""

import numpy as np
from numpy.typing import NDArray

from nares.measure.picture.cover import COVERED, Looks, densest_looks, judged
from nares.measure.picture.hidden import BODY
from nares.measure.picture.patch import Cells
from nares.measure.picture.rim import crosses_rim, foreign_on_panel
from nares.measure.picture.track import Track, in_view

Floats = NDArray[np.float32]

ENTER, EDGE = 0.55, 0.7
"""Shares of the usual cover from which something is in, and well in."""

LOW, BLURRED = 0.25, 0.33
"""Cover below 0.25 of the usual is none. With a third of the others in between there are not two states."""

TURNED = 1.5
"""The commoner state is the occupied one when this much more of its panel looks foreign."""


def usual_cover(cover: Floats, hidden: Floats) -> float | None:
    """The cover of this session's usual visit; None when nothing ever went in."""
    seen = cover[hidden < BODY]
    level = 0.3
    usual = 0.0
    for _ in range(6):
        high = seen[seen > max(level, COVERED)]
        if len(high) < 3:
            return None
        usual = float(np.median(high))
        level = 0.5 * usual
    return usual


def comes_and_goes(cover: Floats, hidden: Floats, usual: float) -> bool:
    """Whether there are two plain states, and the rim is hidden in the covered one and not in the other."""
    seen = hidden < BODY
    off, covered = seen & (cover < LOW * usual), seen & (cover >= LOW * usual)
    if not off.any() or not covered.any():
        return False
    more = float(np.median(hidden[covered])) - float(np.median(hidden[off]))
    return more >= 0.1 and two_states(cover, hidden, usual)


def two_states(cover: Floats, hidden: Floats, usual: float) -> bool:
    """Whether little lies between covered and not.

    A hand that stays and moves about gives every cover there is; one that comes and goes gives two.
    """
    changed = cover[(hidden < BODY) & (cover >= LOW * usual)]
    return bool(len(changed)) and float((changed < EDGE * usual).mean()) < BLURRED


def is_turned_about(
    track: Track, looks: Looks, where: Cells, cover: Floats, hidden: Floats, usual: float
) -> bool:
    """Whether the commoner of two plain states is the occupied one: it has more on the panel at the rim."""
    if not two_states(cover, hidden, usual) or not crosses_rim(looks.value, where):
        return False
    changed = np.flatnonzero((cover > ENTER * usual) & (hidden < BODY) & in_view(track))
    other = densest_looks(track, where, changed)
    here, there = foreign_on_panel(looks.value, where), foreign_on_panel(other.value, where)
    return here > TURNED * there and not crosses_rim(other.value, where)


def the_other_state(
    track: Track, cover: Floats, hidden: Floats, usual: float, where: Cells
) -> tuple[Looks, Floats, float] | None:
    """The state that differs from the commonest, if it is a plain empty opening; with its cover and usual."""
    changed = np.flatnonzero((cover > ENTER * usual) & (hidden < BODY) & in_view(track))
    looks, turned = judged(track, densest_looks(track, where, changed), where, hidden)
    again = usual_cover(turned, hidden)
    if again is None or crosses_rim(looks.value, where) or not comes_and_goes(turned, hidden, again):
        return None
    return looks, turned, again
