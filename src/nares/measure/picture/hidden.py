"""How much of the rim is hidden in each picture, told by the tiles of panel that touch it.

Conventions
-----------
*Hidden* is the share of the telling tiles around the rim that do not match, 0 to 1: a snout comes across
one side of the rim, a body in front hides most of it, a shadow none. A tile is judged against its own usual
match.
"""

import numpy as np
from numpy.typing import NDArray

from nares.measure.picture.track import Track, in_view

Floats = NDArray[np.float32]
Bools = NDArray[np.bool_]

BODY = 0.75
"""More of the rim hidden than this is something in front of the box, not something in the opening."""

SIGHTED = 92
"""Percentile of a tile's match taken as its match in plain sight: it may be hidden for most of a session."""

TELLING = 0.6
"""A tile that usually matches this well can tell."""


def hidden_share(track: Track) -> Floats:
    """Share of the rim's tiles that are hidden in each picture; 0 where no tile can tell."""
    telling = telling_tiles(track)
    if telling.sum() < 4:
        return np.zeros(len(track.at_s), np.float32)
    usual = np.percentile(track.match[:, telling], SIGHTED, axis=0)
    return np.asarray((track.match[:, telling] < 0.5 * usual).mean(axis=1), np.float32)


def telling_tiles(track: Track) -> Bools:
    """Tiles at the rim with enough texture to tell whether they are hidden."""
    if track.match.shape[1] == 0:
        return np.zeros(0, bool)
    return np.asarray(np.percentile(track.match, SIGHTED, axis=0) > TELLING)


def unhidden(track: Track, hidden: Floats) -> NDArray[np.intp]:
    """Pictures in which the box is in view and most of the rim to be seen, if there are enough of them."""
    in_sight = in_view(track)
    clear = in_sight & (hidden < 0.4)
    return np.flatnonzero(clear if clear.mean() >= 0.05 else in_sight)
