"""Putting marks, breath, nose and hand together into reps, each value with its uncertainty.

What cannot be measured is None, with a note that says why. Which mark belongs to which visit is `drafts`; the
fields of a rep are in the file of their subject.
"""

from collections.abc import Sequence

from nares.base.vocab import Bout, Mark, MeasuredRep, Span
from nares.measure.reps.doubt import doubt_of
from nares.measure.reps.drafts import Draft, draft_reps
from nares.measure.reps.holding import end_notes, ending_of, held_of
from nares.measure.reps.lanes import SAME_S, Lanes, distinct, ordered, require_within
from nares.measure.reps.pay import pay_of
from nares.measure.reps.sniffing import sniffing_of

SKEW_WITHIN_S = 0.024
"""How far sound and picture of a phone may lie apart where no start block showed it: a spread of 12 ms is
assumed, not measured. [s]"""
EDGE_WITHIN_S = 0.045
"""How far an edge seen may be off that states nothing of its own: a frame and a half at 30 a second. [s]"""


def assemble_reps(
    *,
    marks: Sequence[Mark],
    inhales: Sequence[Span] | None,
    bouts: Sequence[Bout] | None,
    nose_in: Sequence[Span] | None,
    hand_in: Sequence[Span] | None,
    duration_s: float,
    lost: Sequence[Span] = (),
    doubtful_marks: Sequence[Mark] = (),
    start_block_s: Sequence[float] = (),
    skew_s: float | None = None,
    skew_within_s: float | None = None,
    edge_within_s: float = EDGE_WITHIN_S,
) -> tuple[MeasuredRep, ...]:
    """Put marks, breath, nose and hand together into reps, in time order, numbered from 1.

    Args:
        marks: The marks heard.
        inhales: Intakes of breath; None where the sound cannot carry them.
        bouts: Sniffing bouts; None where the sound cannot carry them.
        nose_in: Visits of the nose; None where no front opening was watched.
        hand_in: Visits of the hand; None where no side opening was watched.
        duration_s: Length of the recording. [s]
        lost: Stretches in which the box was not in the picture.
        doubtful_marks: Sounds that may be marks and are more likely not.
        start_block_s: When marks were heard that only show the marker: no rep begins with them. [s]
        skew_s: How much later the picture is than the sound; None where it is not known. Taken out of every
            delay only where it is plainly not nothing. [s]
        skew_within_s: Half-width of a 95 % interval for it. [s]
        edge_within_s: The same for an edge seen that states none of its own. [s]

    Raises:
        OutOfRange: If something lies outside the recording.
    """
    plain = skew_s is not None and skew_within_s is not None and abs(skew_s) > skew_within_s
    lanes = Lanes(
        marks=tuple(mark for mark in distinct(marks) if not _shown(mark, start_block_s)),
        inhales=ordered(inhales),
        bouts=None if bouts is None else tuple(sorted(bouts, key=lambda bout: bout.start_s)),
        nose_in=ordered(nose_in),
        hand_in=ordered(hand_in),
        lost=tuple(lost),
        doubtful=tuple(doubtful_marks),
        duration_s=duration_s,
        skew_s=skew_s if plain and skew_s is not None else 0.0,
        skew_within_s=SKEW_WITHIN_S if skew_within_s is None else skew_within_s,
        edge_within_s=edge_within_s,
    )
    require_within(lanes)
    drafts = draft_reps(lanes)
    ends = [*(draft.starts_s for draft in drafts), duration_s][1:]
    return tuple(
        _rep(number, draft, until_s, lanes)
        for number, (draft, until_s) in enumerate(zip(drafts, ends, strict=True), start=1)
    )


def _rep(number: int, draft: Draft, until_s: float, lanes: Lanes) -> MeasuredRep:
    at_s = draft.mark.at_s if draft.mark else None
    held = held_of(draft, lanes)
    pay = pay_of(draft, until_s, lanes)
    sniffing = sniffing_of(draft, held, lanes)
    ended_by, hold_s = ending_of(draft, held, lanes, paid_unmarked=pay.unmarked)
    doubt = doubt_of(draft, held, ended_by, pay, sniffing, lanes)
    again = _marked_again(draft)
    ending = end_notes(ended_by, draft, held)
    return MeasuredRep(
        rep=number,
        nose_in_s=held.in_s,
        nose_out_s=held.out_s,
        mark_s=at_s,
        mark_delay_s=held.mark_delay_s,
        hold_s=hold_s,
        ended_by=ended_by,
        inhales_before_mark=sniffing.before_mark,
        sniffing_at_mark=sniffing.at_mark,
        inhaling_at_mark=sniffing.inhaling,
        pay_s=pay.at_s,
        pay_delay_s=None if pay.at_s is None or at_s is None else pay.at_s - lanes.seen_s(at_s),
        pay_place=pay.place,
        sure=doubt.sure,
        notes=(*again, *held.notes, *pay.notes, *sniffing.notes, *ending),
        within_s=doubt.within_s,
        sure_of=doubt.sure_of,
        sniffing_s=sniffing.for_s,
        sniff_rate_hz=sniffing.rate_hz,
    )


def _shown(mark: Mark, start_block_s: Sequence[float]) -> bool:
    return any(abs(mark.at_s - at_s) < SAME_S for at_s in start_block_s)


def _marked_again(draft: Draft) -> tuple[str, ...]:
    if len(draft.marks) < 2:
        return ()
    times = ", ".join(f"{mark.at_s:.2f}" for mark in draft.marks[1:])
    return (f"Marked again at {times} s: the first mark counts.",)
