"""Sharing the marks out: to the visit they fall in, to the mark they repeat, or to a rep of their own.

Conventions
-----------
A mark belongs to a visit from `EARLY_S` before the nose was seen in to `LATE_S` after it was seen out: sound
and picture of a phone differ by some hundredths of a second, and a picture edge by a frame or two. Marks that
follow each other within `DOUBLE_S` are one mark pressed again; the first counts. A visit less likely than
`BELIEVED` makes a rep only when a mark fell in it.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

from nares.base.vocab import Mark, Span
from nares.measure.reps.lanes import Lanes

EARLY_S, LATE_S = 0.15, 0.10
DOUBLE_S = 1.0
FLICKER_S = 0.15
"""A nose seen out for less than this, with no mark meanwhile, did not leave; for longer, it did."""
BELIEVED = 0.5


@dataclass(slots=True)
class Draft:
    """A rep being put together: a visit, its marks (the first counts), or only marks."""

    visit: Span | None
    marks: list[Mark] = field(default_factory=list)

    @property
    def starts_s(self) -> float:
        """When it begins: the nose, or without one the mark."""
        return self.visit.start_s if self.visit else self.marks[0].at_s

    @property
    def mark(self) -> Mark | None:
        """The mark that counts: the first."""
        return self.marks[0] if self.marks else None


def draft_reps(lanes: Lanes) -> list[Draft]:
    """One draft a rep, in time order."""
    drafts = [Draft(visit) for visit in whole_visits(lanes)]
    loose: list[Draft] = []
    latest: Draft | None = None
    for mark in lanes.marks:
        owner = _visit_of(lanes.seen_s(mark.at_s), drafts)
        if owner is None and latest is not None and mark.at_s - latest.marks[-1].at_s <= DOUBLE_S:
            owner = latest
        if owner is None:
            owner = Draft(None)
            loose.append(owner)
        owner.marks.append(mark)
        latest = owner
    drafts = [one for one in drafts if one.marks or (one.visit and one.visit.sure >= BELIEVED)]
    return sorted(drafts + loose, key=lambda draft: draft.starts_s)


def whole_visits(lanes: Lanes) -> list[Span]:
    """Visits in time order, with overlaps and flickers joined."""
    marks_s = [lanes.seen_s(mark.at_s) for mark in lanes.marks]
    joined: list[Span] = []
    for span in lanes.nose_in or ():
        last = joined[-1] if joined else None
        if last is not None and _is_flicker(last, span, marks_s):
            joined[-1] = _joined(last, span)
        else:
            joined.append(span)
    return joined


def _joined(before: Span, after: Span) -> Span:
    last = after if after.end_s >= before.end_s else before
    sure = min(before.sure, after.sure)
    return Span(before.start_s, last.end_s, sure, before.start_within_s, last.end_within_s)


def _is_flicker(before: Span, after: Span, marks_s: Sequence[float]) -> bool:
    marked = any(before.end_s < at_s < after.start_s for at_s in marks_s)
    return after.start_s <= before.end_s or (after.start_s - before.end_s <= FLICKER_S and not marked)


def _visit_of(at_s: float, drafts: Sequence[Draft]) -> Draft | None:
    """The visit a moment falls in; the nearer one when slack makes it fit two."""
    fitting = [
        (max(d.visit.start_s - at_s, at_s - d.visit.end_s, 0.0), d.visit.start_s, d)
        for d in drafts
        if d.visit and d.visit.start_s - EARLY_S <= at_s <= d.visit.end_s + LATE_S
    ]
    return min(fitting, key=lambda one: one[:2])[2] if fitting else None
