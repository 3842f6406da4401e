"""How far each time of a rep may be off, and how sure each thing said of it is.

Conventions
-----------
Half-widths are of 95 % intervals in seconds, chances run from 0 to 1; both are keyed by the names of
`MeasuredRep`. Errors of different origin are taken as independent: a delay between sound and picture
carries the edge seen, the mark heard and the skew between the two clocks.
"""

from dataclasses import dataclass
from math import erf, hypot, prod, sqrt

from nares.base.vocab import Bout, EndedBy
from nares.measure.reps.drafts import Draft
from nares.measure.reps.holding import Held
from nares.measure.reps.lanes import Lanes
from nares.measure.reps.pay import Pay
from nares.measure.reps.sniffing import Sniffing

MARK_WITHIN_S = 0.003
"""A click's own moment: 95 % of those found on invented sessions lie nearer to the truth. [s]"""
NORMAL_95 = 1.96
"""Half-width of a 95 % interval in standard deviations."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """``within_s``: half-widths by field; ``sure_of``: chances by field; ``sure``: of the rep as told."""

    within_s: dict[str, float]
    sure_of: dict[str, float]
    sure: float


def doubt_of(
    draft: Draft, held: Held, ended_by: EndedBy, pay: Pay, sniffing: Sniffing, lanes: Lanes
) -> Doubt:
    """The uncertainty of one rep, field by field."""
    sure_of = {}
    if draft.visit:
        sure_of["nose_in_s"] = draft.visit.sure
    if draft.mark:
        sure_of["mark_s"] = draft.mark.sure
    end_sure = _end_sure(draft, held, ended_by, lanes)
    if end_sure is not None:
        sure_of["ended_by"] = end_sure
    if sniffing.at_mark == "yes" and draft.mark:
        sure_of["sniffing_at_mark"] = _bout_sure(draft.mark.at_s, lanes.bouts or ())
    if pay.hand is not None:
        sure_of["pay_place"] = pay.hand.sure
    visit_sure = draft.visit.sure if draft.visit else 1.0
    told = end_sure if end_sure is not None else (draft.mark.sure if draft.mark else 1.0)
    return Doubt(_widths(draft, held, ended_by, pay, lanes), sure_of, visit_sure * told)


def _widths(draft: Draft, held: Held, ended_by: EndedBy, pay: Pay, lanes: Lanes) -> dict[str, float]:
    """Half-widths of every time that the rep states."""
    widths: dict[str, float] = {}
    start = _edge(draft.visit.start_within_s if draft.visit else None, lanes)
    end = _edge(draft.visit.end_within_s if draft.visit else None, lanes)
    if draft.visit:
        widths["nose_in_s"] = start
    if held.out_s is not None:
        widths["nose_out_s"] = end
    if ended_by == "dog":
        widths["hold_s"] = hypot(start, end)
    if draft.mark:
        widths["mark_s"] = heard = draft.mark.within_s or MARK_WITHIN_S
        if held.mark_delay_s is not None and draft.visit:
            widths["mark_delay_s"] = hypot(start, heard, lanes.skew_within_s)
            late = lanes.seen_s(draft.mark.at_s) > draft.visit.end_s
            widths["hold_s"] = hypot(start, end) if late else widths["mark_delay_s"]
    if pay.at_s is not None and pay.hand is not None:
        widths["pay_s"] = _edge(pay.hand.start_within_s, lanes)
        if draft.mark:
            widths["pay_delay_s"] = hypot(widths["pay_s"], widths["mark_s"], lanes.skew_within_s)
    return widths


def _edge(stated_s: float | None, lanes: Lanes) -> float:
    return lanes.edge_within_s if stated_s is None else stated_s


def _end_sure(draft: Draft, held: Held, ended_by: EndedBy, lanes: Lanes) -> float | None:
    """The chance that the hold ended as told; None where nothing is told."""
    visit = draft.visit
    if visit is None or ended_by == "unknown":
        return None
    if ended_by == "dog":
        missed = [m.sure for m in lanes.doubtful if visit.start_s <= lanes.seen_s(m.at_s) <= visit.end_s]
        return prod(1.0 - sure for sure in missed)
    mark = draft.marks[0]
    at_s, heard = lanes.seen_s(mark.at_s), mark.within_s or MARK_WITHIN_S
    after = _chance_after(at_s - visit.start_s, _edge(visit.start_within_s, lanes), heard, lanes)
    if not held.begun:
        after = 1.0
    before = _chance_after(visit.end_s - at_s, _edge(visit.end_within_s, lanes), heard, lanes)
    return mark.sure * after * (before if held.out_s is not None else 1.0)


def _chance_after(by_s: float, edge_s: float, heard_s: float, lanes: Lanes) -> float:
    """The chance that something seen to be later by so much really is."""
    spread_s = hypot(edge_s, heard_s, lanes.skew_within_s) / NORMAL_95
    return 0.5 * (1.0 + erf(by_s / spread_s / sqrt(2.0)))


def _bout_sure(at_s: float, bouts: tuple[Bout, ...]) -> float:
    near = [bout.sure for bout in bouts if bout.start_s - 0.5 <= at_s <= bout.end_s + 0.5]
    return max(near, default=0.5)
