"""When and where the pay of a rep came."""

from collections.abc import Sequence
from dataclasses import dataclass

from nares.base.vocab import PayPlace, Span
from nares.measure.reps.drafts import Draft
from nares.measure.reps.lanes import Lanes

PAY_WITHIN_S = 6.0
"""A hand that comes later than this after the mark is not this rep's pay."""


@dataclass(frozen=True, slots=True)
class Pay:
    """When and where the pay came, and by which visit of the hand.

    ``unmarked``: a hand came to a nose that was never marked.
    """

    at_s: float | None
    place: PayPlace | None
    hand: Span | None = None
    unmarked: bool = False
    notes: tuple[str, ...] = ()


def pay_of(draft: Draft, until_s: float, lanes: Lanes) -> Pay:
    """The pay of a rep, looked for until the next one begins. [s]"""
    if lanes.hand_in is None:
        return Pay(None, None, notes=("The side opening was not watched: the pay is unknown.",))
    if draft.mark is None:
        return _without_mark(draft, lanes.hand_in)
    mark_s = lanes.seen_s(draft.mark.at_s)
    last_s = min(until_s, mark_s + PAY_WITHIN_S)
    already = [span for span in lanes.hand_in if span.start_s < mark_s <= span.end_s]
    entered = [span for span in lanes.hand_in if mark_s <= span.start_s < last_s]
    if entered and not already:
        return Pay(entered[0].start_s, "inside", entered[0])
    if already:
        note = "The hand was inside before the mark: the moment of pay cannot be seen."
        return Pay(None, "inside", already[0], notes=(note,))
    if draft.visit is None or draft.visit.end_s >= last_s:
        return Pay(None, None, notes=("No hand went in after the mark.",))
    return Pay(None, "outside", notes=("No hand went in after the mark: paid outside, or not paid.",))


def _without_mark(draft: Draft, hands: Sequence[Span]) -> Pay:
    visit = draft.visit
    came = [hand for hand in hands if visit and visit.start_s < hand.start_s < visit.end_s]
    if not came:
        return Pay(None, None)
    note = f"A hand went in at {came[0].start_s:.2f} s though no mark was heard: a mark may have been missed."
    return Pay(came[0].start_s, "inside", came[0], True, (note,))
