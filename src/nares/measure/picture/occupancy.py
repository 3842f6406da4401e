"""What is in an opening, from its own pictures over the session.

Conventions
-----------
*Cover* (``cover``) is the share of the opening that looks different from the empty opening beyond noise, 0
to 1. *Hidden* (``hidden``) is the share of the panel tiles around the rim that do not match, 0 to 1.

The empty opening is found first (``opening``), what every picture shows against it is put in numbers
(``signs``), a learned judge gives each picture a chance (``judging``), neighbours steady each other
(``chances``), and the visits that come of it are judged once more as wholes (``visits``). Where the judge is
unsure and in and out are plain by change alone, change decides (``by_change``).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nares.base.vocab import Span
from nares.measure.picture.by_change import settled
from nares.measure.picture.judging import judge
from nares.measure.picture.opening import Opening, opening_of
from nares.measure.picture.track import Track, step_s
from nares.measure.picture.unlike import unlike_the_rest
from nares.measure.picture.visits import (
    Evidence,
    chance_of,
    evidence,
    held_on,
    odds_of,
    span_of,
    visit_row,
    visits,
)

Floats = NDArray[np.float32]

CONVINCING = 3.0
"""Mean log odds of a visit that shows that the opening is not filled all along."""

ALWAYS = 0.8
"""Certainty of what is there in every picture: judged without change to go by."""


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
    opening = opening_of(track)
    track = opening.track
    shown = opening.signs()
    odds = odds_of(track, shown, judge(what))
    seen = evidence(track, shown, odds)
    found = visits(track, seen)
    convinced = any(odds[a : b + 1].mean() > CONVINCING for a, b in found)
    if opening.filled and not convinced:
        return _always(opening, what)
    found = held_on(opening.cover, opening.hidden, seen.odds, found)
    spans, notes = _spans(opening, seen, found, what)
    spans = settled(opening, spans)
    notes += _maybe(track, seen, found, what)
    if not spans and not notes:
        notes = (f"No {what} was seen in the opening.",)
    return Occupancy(spans, notes, opening.cover, opening.hidden)


def _spans(
    opening: Opening, seen: Evidence, found: list[tuple[int, int]], what: str
) -> tuple[tuple[Span, ...], tuple[str, ...]]:
    if not found:
        return (), ()
    track = opening.track
    strange = unlike_the_rest(track, opening.looks, opening.where, found)
    rows = [
        visit_row(track, seen, a, b, is_hand=what == "hand", strange=bool(odd))
        for (a, b), odd in zip(found, strange, strict=True)
    ]
    chances = chance_of(np.array(rows))
    spans = [
        span_of(track, seen, a, b, sure=float(s), cover=opening.cover)
        for (a, b), s in zip(found, chances, strict=True)
    ]
    notes = tuple(
        f"What was in the opening at {span.start_s:.1f} s does not look like the usual {what}."
        for span, odd in zip(spans, strange, strict=True)
        if odd
    )
    return tuple(spans), notes


def _maybe(track: Track, seen: Evidence, found: list[tuple[int, int]], what: str) -> tuple[str, ...]:
    """Words for what may have been a visit and is not told as one."""
    likely = [
        (a, b)
        for a, b in visits(track, seen, maybe=True)
        if not any(a <= last and first <= b for first, last in found)
    ]
    return tuple(
        f"A {what} may have been in the opening from {track.at_s[a]:.1f} to {track.at_s[b]:.1f} s: look."
        for a, b in likely
    )


def _always(opening: Opening, what: str) -> Occupancy:
    at_s = opening.track.at_s
    start, end = float(at_s[0]), float(at_s[-1]) + step_s(at_s)
    note = f"The {what} is in the opening in every picture: judged by what crosses the rim, not by change."
    return Occupancy((Span(start, end, ALWAYS),), (note,), opening.cover, opening.hidden)


def _none() -> Floats:
    return np.zeros(0, np.float32)
