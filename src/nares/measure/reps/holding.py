"""The visit of a rep: when the nose came and went, how long it held, and who ended it."""

from dataclasses import dataclass

from nares.base.vocab import EndedBy
from nares.measure.reps.drafts import Draft
from nares.measure.reps.lanes import Lanes

EDGE_S = 0.1
"""A span that begins or ends this near the ends of the recording was cut off by them."""
ANTICIPATED_S = 0.13
"""A mark sooner than this after nose-in cannot have been a reaction to it: the detection part alone of a
simple human reaction takes about as long."""


@dataclass(frozen=True, slots=True)
class Held:
    """What the visit gives. ``begun``: that it was seen to begin."""

    in_s: float | None
    out_s: float | None
    mark_delay_s: float | None
    begun: bool
    notes: tuple[str, ...]


def held_of(draft: Draft, lanes: Lanes) -> Held:
    """When the nose came and went, and how long after coming the mark fell."""
    visit, mark = draft.visit, draft.mark
    if visit is None:
        return Held(None, None, None, False, (_why_no_nose(draft.marks[0].at_s, lanes),))
    begun = visit.start_s > EDGE_S
    ended = visit.end_s < lanes.duration_s - EDGE_S
    notes = [] if begun else ["The nose was in when the recording began: its entry was not seen."]
    if not ended:
        notes.append("The nose was in when the recording ended: its leaving was not seen.")
    delay_s = lanes.seen_s(mark.at_s) - visit.start_s if mark and begun else None
    notes += _mark_notes(delay_s, draft, lanes)
    return Held(visit.start_s, visit.end_s if ended else None, delay_s, begun, tuple(notes))


def ending_of(draft: Draft, held: Held, lanes: Lanes, *, paid_unmarked: bool) -> tuple[EndedBy, float | None]:
    """Who ended the hold, and how long it was. [s]

    Args:
        draft: The rep.
        held: What its visit gives.
        lanes: Everything measured.
        paid_unmarked: A hand came to a nose that was never marked.
    """
    visit = draft.visit
    if visit is None:
        return "unknown", None
    if draft.mark:
        hold_s = max(0.0, min(lanes.seen_s(draft.mark.at_s), visit.end_s) - visit.start_s)
        return "mark", hold_s if held.begun else None
    if held.out_s is None or paid_unmarked:
        return "unknown", None
    if any(span.start_s < visit.end_s + EDGE_S and span.end_s > visit.start_s for span in lanes.lost):
        return "unknown", None
    return "dog", visit.end_s - visit.start_s if held.begun else None


def end_notes(ended_by: EndedBy, draft: Draft, held: Held) -> tuple[str, ...]:
    """What to say of an end that nobody heard."""
    if ended_by == "unknown" and draft.visit and held.out_s is not None:
        return ("What ended this hold could not be told.",)
    return ("No mark was heard: the dog ended this rep.",) if ended_by == "dog" else ()


def _mark_notes(delay_s: float | None, draft: Draft, lanes: Lanes) -> list[str]:
    notes = []
    if delay_s is not None and delay_s < ANTICIPATED_S:
        notes.append("The mark came too soon after nose-in to be a reaction to it: anticipated.")
    if draft.visit and draft.mark and lanes.seen_s(draft.mark.at_s) > draft.visit.end_s:
        notes.append("The mark fell as the nose left.")
    return notes


def _why_no_nose(at_s: float, lanes: Lanes) -> str:
    if lanes.nose_in is None:
        return "The front opening was not watched: nose, hold and delay are unknown."
    if any(span.start_s <= lanes.seen_s(at_s) <= span.end_s for span in lanes.lost):
        return "The box was not in the picture at the mark: nose, hold and delay are unknown."
    return "No nose was in at the mark."
