"""The opening of a session as it stands empty: its look, its rim, and what differs from it when."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from nares.measure.picture.cover import Looks, densest_looks, judged
from nares.measure.picture.hidden import hidden_share, unhidden
from nares.measure.picture.patch import CELLS, Cells, cells
from nares.measure.picture.rim import crosses_rim, crossing, fitted
from nares.measure.picture.signs import comes_from, signs
from nares.measure.picture.track import Track, carried_over, in_view
from nares.measure.picture.two_states import ENTER, is_turned_about, the_other_state, usual_cover

Floats = NDArray[np.float32]

WITHIN = -0.1
"""What reaches less far across an opening that looks the same all along rests beside it."""


@dataclass(frozen=True, slots=True)
class Opening:
    """An opening with its empty look and what is held against it.

    ``track``: without what cannot be trusted. ``where``: its cells. ``cover``, ``hidden``: (n,).
    ``enters``: 1 from the left, -1 from the right. ``filled``: whether something
    reaches into even this look.
    """

    track: Track
    looks: Looks
    where: Cells
    cover: Floats
    hidden: Floats
    enters: int
    filled: bool

    def signs(self) -> Floats:
        """What every picture shows, for the judge."""
        return signs(self.track, self.looks, self.where, self.cover, self.hidden, self.enters)


def opening_of(track: Track) -> Opening:
    """Find the empty opening of a session."""
    drawn = cells(CELLS)
    hidden = carried_over(track, hidden_share(track))
    seen, first = track, densest_looks(track, drawn, unhidden(track, hidden))
    looks, cover = judged(track, first, drawn, hidden)
    usual = usual_cover(cover, hidden)
    if usual is not None and is_turned_about(track, looks, drawn, cover, hidden, usual):
        changed = np.flatnonzero((cover > ENTER * usual) & in_view(track))
        first = densest_looks(track, drawn, changed)
        none = track.match[:, :0]  # the tiles were learned with something in front
        track = replace(track, match=none, tile_angle=track.tile_angle[:0])
        hidden = hidden_share(track)
    where = fitted(first.value)
    if track is not seen or not where.same_as(drawn):
        looks, cover = judged(track, first, where, hidden)
        usual = usual_cover(cover, hidden)
    enters = track.enters or comes_from(track, cover, hidden)
    reach, _ = crossing(looks.value, where, enters)
    filled = crosses_rim(looks.value, where) and reach >= WITHIN
    if filled and usual is not None:
        other = the_other_state(track, cover, hidden, usual, where)
        if other is not None:
            looks, cover, _ = other
            filled = False
    return Opening(track, looks, where, cover, hidden, enters, filled)
