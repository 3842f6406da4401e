"""What is in an opening, from its own pictures over the session.

Conventions
-----------
*Cover* (``cover``) is the share of the opening that looks different from the empty opening beyond noise, 0
to 1. *Hidden* (``hidden``) is the share of the panel tiles around the rim that do not match, 0 to 1: a snout
comes across one side of the rim, a body in front hides most of it. Where both say so there are two plain
states (``two_states``) and visits (``visits``); what looks unlike the other visits is sorted out
(``unlike``).

Nothing here knows which opening it looks at, nor what a nose is: something that reaches across the rim
into the opening is in it.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from nares.base.vocab import Span
from nares.measure.picture.cover import Looks, densest_looks, judged
from nares.measure.picture.hidden import hidden_share, unhidden
from nares.measure.picture.patch import CELLS, Cells, cells
from nares.measure.picture.rim import crosses_rim, fitted
from nares.measure.picture.track import Track, carried_over, in_view, step_s
from nares.measure.picture.two_states import (
    comes_and_goes,
    is_turned_about,
    the_other_state,
    two_states,
    usual_cover,
)
from nares.measure.picture.unlike import sort_out, unlike_the_rest
from nares.measure.picture.visits import ENTER, span_of, visits

Floats = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Occupancy:
    """When the opening was occupied, and what could not be told."""

    spans: tuple[Span, ...]
    notes: tuple[str, ...]
    cover: Floats
    hidden: Floats


def occupancy(track: Track, *, what: str) -> Occupancy:
    """Tell when something was in the opening.

    Args:
        track: The opening through the session.
        what: The word for what goes in, for the notes: ``"nose"`` or ``"hand"``.
    """
    if len(track.at_s) == 0:
        return Occupancy((), (f"No picture shows the opening for the {what}.",), _none(), _none())
    drawn = cells(CELLS)
    hidden = carried_over(track, hidden_share(track))
    seen, first = track, densest_looks(track, drawn, unhidden(track, hidden))
    looks, cover = judged(track, first, drawn, hidden)
    usual = usual_cover(cover, hidden)
    if usual is not None and is_turned_about(track, looks, drawn, cover, hidden, usual):
        changed = np.flatnonzero((cover > ENTER * usual) & in_view(track))
        first = densest_looks(track, drawn, changed)
        track = replace(track, match=track.match[:, :0])  # the tiles were learned with something in front
        hidden = hidden_share(track)
    where = fitted(first.value)
    if track is not seen or not where.same_as(drawn):
        looks, cover = judged(track, first, where, hidden)
        usual = usual_cover(cover, hidden)
    plain = usual is not None and comes_and_goes(cover, hidden, usual)
    if usual is not None and not plain and crosses_rim(looks.value, where):
        other = the_other_state(track, cover, hidden, usual, where)
        if other is None:
            return _always(track, cover, hidden, what)
        looks, cover, usual, plain = *other, True
    if usual is None:
        return _one_state(track, looks, where, cover, hidden, what)
    runs = visits(track, cover, hidden, usual)
    strange = unlike_the_rest(track, looks, where, runs)
    spans = [span_of(track, cover, hidden, usual, a, b) for a, b in runs]
    kept, notes = sort_out(spans, strange, what)
    if kept and not two_states(cover, hidden, usual):
        kept = tuple(Span(s.start_s, s.end_s, 0.5 * s.sure) for s in kept)
        notes += (f"In and out are not told apart plainly for the {what}: check these spans by eye.",)
    return Occupancy(kept, notes, cover, hidden)


def _one_state(
    track: Track, looks: Looks, where: Cells, cover: Floats, hidden: Floats, what: str
) -> Occupancy:
    if crosses_rim(looks.value, where):
        return _always(track, cover, hidden, what)
    return Occupancy((), (f"No {what} was seen in the opening.",), cover, hidden)


def _always(track: Track, cover: Floats, hidden: Floats, what: str) -> Occupancy:
    start, end = float(track.at_s[0]), float(track.at_s[-1]) + step_s(track.at_s)
    note = f"The {what} is in the opening in every picture: judged by what crosses the rim, not by change."
    return Occupancy((Span(start, end, 0.8),), (note,), cover, hidden)


def _none() -> Floats:
    return np.zeros(0, np.float32)
