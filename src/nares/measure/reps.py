"""From lanes to reps: one rep for every visit of the nose, and one for every mark nobody was in for.

Conventions
-----------
Lanes may come in any order; times are seconds from the start of the recording. ``None`` for a lane means
it was not measured, an empty lane that nothing happened. A mark belongs to a visit from `EARLY_S` before the
nose was seen in to `LATE_S` after it was seen out: sound and picture of a phone differ by some hundredths
of a second, and a picture edge by a frame or two. Marks that follow each other within `DOUBLE_S` are one mark
pressed again; the first counts. What cannot be measured is None, with a note that says why.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

from nares.base.errors import OutOfRange
from nares.base.vocab import Bout, EndedBy, Mark, MeasuredRep, PayPlace, Span
from nares.measure.sound.phase import inhaling_at, sniffing_at

EARLY_S, LATE_S = 0.15, 0.10
DOUBLE_S = 1.0
SAME_S = 0.005
"""Two marks nearer than this are one event reported twice."""
FLICKER_S = 0.3
"""A nose seen out for less than this, with no mark meanwhile, did not leave."""
PAY_WITHIN_S = 6.0
"""A hand that comes later than this after the mark is not this rep's pay."""
EDGE_S = 0.1
"""A span that begins or ends this near the ends of the recording was cut off by them."""
ANTICIPATED_S = 0.13
"""A mark sooner than this after nose-in cannot have been a reaction to it: the detection part alone of a
simple human reaction takes about as long."""


@dataclass(frozen=True, slots=True)
class Lanes:
    """Everything measured, in time order."""

    marks: tuple[Mark, ...]
    inhales: tuple[Span, ...] | None
    bouts: tuple[Bout, ...] | None
    nose_in: tuple[Span, ...] | None
    hand_in: tuple[Span, ...] | None
    lost: tuple[Span, ...]
    duration_s: float


@dataclass(slots=True)
class Draft:
    """A rep being put together: a visit, its marks (the first counts), or only marks."""

    visit: Span | None
    marks: list[Mark] = field(default_factory=list)

    @property
    def starts_s(self) -> float:
        """When it begins: the nose, or without one the mark."""
        return self.visit.start_s if self.visit else self.marks[0].at_s


def assemble_reps(
    *,
    marks: Sequence[Mark],
    inhales: Sequence[Span] | None,
    bouts: Sequence[Bout] | None,
    nose_in: Sequence[Span] | None,
    hand_in: Sequence[Span] | None,
    duration_s: float,
    lost: Sequence[Span] = (),
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

    Raises:
        OutOfRange: If something lies outside the recording.
    """
    lanes = Lanes(
        marks=_distinct(sorted(marks, key=lambda m: m.at_s)),
        inhales=None if inhales is None else _ordered(inhales),
        bouts=None if bouts is None else tuple(sorted(bouts, key=lambda bout: bout.start_s)),
        nose_in=None if nose_in is None else _ordered(nose_in),
        hand_in=None if hand_in is None else _ordered(hand_in),
        lost=_ordered(lost),
        duration_s=duration_s,
    )
    _require_within(lanes)
    drafts = draft_reps(lanes)
    ends = [*(draft.starts_s for draft in drafts), duration_s][1:]
    return tuple(
        _rep(number, draft, until_s, lanes)
        for number, (draft, until_s) in enumerate(zip(drafts, ends, strict=True), start=1)
    )


def draft_reps(lanes: Lanes) -> list[Draft]:
    """Share the marks out: to the visit they fall in, to the mark they repeat, or to a rep of their own."""
    drafts = [Draft(visit) for visit in whole_visits(lanes.nose_in or (), lanes.marks)]
    loose: list[Draft] = []
    latest: Draft | None = None
    for mark in lanes.marks:
        owner = _visit_of(mark, drafts)
        if owner is None and latest is not None and mark.at_s - latest.marks[-1].at_s <= DOUBLE_S:
            owner = latest
        if owner is None:
            owner = Draft(None)
            loose.append(owner)
        owner.marks.append(mark)
        latest = owner
    return sorted(drafts + loose, key=lambda draft: draft.starts_s)


def whole_visits(spans: Sequence[Span], marks: Sequence[Mark]) -> list[Span]:
    """Visits in time order, with overlaps and flickers joined."""
    joined: list[Span] = []
    for span in spans:
        last = joined[-1] if joined else None
        if last is not None and _is_flicker(last, span, marks):
            joined[-1] = Span(last.start_s, max(last.end_s, span.end_s), min(last.sure, span.sure))
        else:
            joined.append(span)
    return joined


def _is_flicker(before: Span, after: Span, marks: Sequence[Mark]) -> bool:
    marked = any(before.end_s < mark.at_s < after.start_s for mark in marks)
    return after.start_s <= before.end_s or (after.start_s - before.end_s <= FLICKER_S and not marked)


def _visit_of(mark: Mark, drafts: Sequence[Draft]) -> Draft | None:
    """The visit a mark falls in; the nearer one when slack makes it fit two."""
    fitting = [
        (max(d.visit.start_s - mark.at_s, mark.at_s - d.visit.end_s, 0.0), d.visit.start_s, d)
        for d in drafts
        if d.visit and d.visit.start_s - EARLY_S <= mark.at_s <= d.visit.end_s + LATE_S
    ]
    return min(fitting, key=lambda one: one[:2])[2] if fitting else None


def _rep(number: int, draft: Draft, until_s: float, lanes: Lanes) -> MeasuredRep:
    mark = draft.marks[0] if draft.marks else None
    nose = _nose_fields(draft, lanes)
    pay = _pay_fields(draft, until_s, lanes)
    inhales, breath_notes = _inhales(draft, lanes)
    at_s = mark.at_s if mark else None
    ended_by, hold_s = _ending(draft, nose, pay, lanes)
    return MeasuredRep(
        rep=number,
        nose_in_s=draft.visit.start_s if draft.visit else None,
        nose_out_s=nose.out_s,
        mark_s=at_s,
        mark_delay_s=nose.mark_delay_s,
        hold_s=hold_s,
        ended_by=ended_by,
        inhales_before_mark=inhales,
        sniffing_at_mark="unclear" if at_s is None else sniffing_at(at_s, lanes.bouts, lanes.inhales),
        inhaling_at_mark="unclear" if at_s is None else inhaling_at(at_s, lanes.bouts, lanes.inhales),
        pay_s=pay.at_s,
        pay_delay_s=None if pay.at_s is None or at_s is None else pay.at_s - at_s,
        pay_place=pay.place,
        sure=(draft.visit.sure if draft.visit else 1.0) * (mark.sure if mark else 1.0),
        notes=(
            *_mark_notes(draft),
            *nose.notes,
            *pay.notes,
            *breath_notes,
            *_end_notes(ended_by, draft, nose),
        ),
    )


@dataclass(frozen=True, slots=True)
class NoseFields:
    """What the visit gives. ``whole``: both that it was seen to begin."""

    out_s: float | None
    mark_delay_s: float | None
    begun: bool
    notes: tuple[str, ...]


def _nose_fields(draft: Draft, lanes: Lanes) -> NoseFields:
    visit = draft.visit
    if visit is None:
        return NoseFields(None, None, False, (_why_no_nose(draft.marks[0].at_s, lanes),))
    begun = visit.start_s > EDGE_S
    ended = visit.end_s < lanes.duration_s - EDGE_S
    notes = [] if begun else ["The nose was in when the recording began: its entry was not seen."]
    if not ended:
        notes.append("The nose was in when the recording ended: its leaving was not seen.")
    delay = draft.marks[0].at_s - visit.start_s if draft.marks and begun else None
    return NoseFields(visit.end_s if ended else None, delay, begun, tuple(notes))


def _why_no_nose(at_s: float, lanes: Lanes) -> str:
    if lanes.nose_in is None:
        return "The front opening was not watched: nose, hold and delay are unknown."
    if any(span.start_s <= at_s <= span.end_s for span in lanes.lost):
        return "The box was not in the picture at the mark: nose, hold and delay are unknown."
    return "No nose was in at the mark."


def _ending(draft: Draft, nose: NoseFields, pay: "PayFields", lanes: Lanes) -> tuple[EndedBy, float | None]:
    """Who ended the hold, and how long it was."""
    visit = draft.visit
    if visit is None:
        return "unknown", None
    if draft.marks:
        hold_s = max(0.0, min(draft.marks[0].at_s, visit.end_s) - visit.start_s)
        return "mark", hold_s if nose.begun else None
    if nose.out_s is None or pay.unmarked:
        return "unknown", None
    if any(span.start_s < visit.end_s + EDGE_S and span.end_s > visit.start_s for span in lanes.lost):
        return "unknown", None
    return "dog", visit.end_s - visit.start_s if nose.begun else None


def _end_notes(ended_by: EndedBy, draft: Draft, nose: NoseFields) -> tuple[str, ...]:
    if ended_by == "unknown" and draft.visit and nose.out_s is not None:
        return ("What ended this hold could not be told.",)
    return ("No mark was heard: the dog ended this rep.",) if ended_by == "dog" else ()


@dataclass(frozen=True, slots=True)
class PayFields:
    """When and where the pay came. ``unmarked``: a hand came to a nose that was never marked."""

    at_s: float | None
    place: PayPlace | None
    unmarked: bool = False
    notes: tuple[str, ...] = ()


def _pay_fields(draft: Draft, until_s: float, lanes: Lanes) -> PayFields:
    if lanes.hand_in is None:
        return PayFields(None, None, notes=("The side opening was not watched: the pay is unknown.",))
    if not draft.marks:
        return _pay_without_mark(draft, lanes.hand_in)
    mark_s = draft.marks[0].at_s
    last_s = min(until_s, mark_s + PAY_WITHIN_S)
    already = [span for span in lanes.hand_in if span.start_s < mark_s <= span.end_s]
    entered = [span for span in lanes.hand_in if mark_s <= span.start_s < last_s]
    if entered and not already:
        return PayFields(entered[0].start_s, "inside")
    if already:
        note = "The hand was inside before the mark: the moment of pay cannot be seen."
        return PayFields(None, "inside", notes=(note,))
    if draft.visit is None or draft.visit.end_s >= last_s:
        return PayFields(None, None, notes=("No hand went in after the mark.",))
    return PayFields(None, "outside", notes=("No hand went in after the mark: paid outside, or not paid.",))


def _pay_without_mark(draft: Draft, hands: Sequence[Span]) -> PayFields:
    visit = draft.visit
    came = [h for h in hands if visit and visit.start_s < h.start_s < visit.end_s]
    if not came:
        return PayFields(None, None)
    note = f"A hand went in at {came[0].start_s:.2f} s though no mark was heard: a mark may have been missed."
    return PayFields(came[0].start_s, "inside", True, (note,))


def _inhales(draft: Draft, lanes: Lanes) -> tuple[int | None, tuple[str, ...]]:
    """Intakes that began between nose-in and the mark."""
    if not draft.marks or draft.visit is None or draft.visit.start_s <= EDGE_S:
        return None, ()
    if lanes.inhales is None:
        return None, ("The sound does not carry the breath: inhalations are unknown.",)
    start_s, mark_s = draft.visit.start_s, draft.marks[0].at_s
    return sum(start_s <= span.start_s < mark_s for span in lanes.inhales), ()


def _mark_notes(draft: Draft) -> list[str]:
    notes = []
    if len(draft.marks) > 1:
        times = ", ".join(f"{mark.at_s:.2f}" for mark in draft.marks[1:])
        notes.append(f"Marked again at {times} s: the first mark counts.")
    if draft.visit and draft.marks:
        delay_s = draft.marks[0].at_s - draft.visit.start_s
        if delay_s < ANTICIPATED_S and draft.visit.start_s > EDGE_S:
            notes.append("The mark came too soon after nose-in to be a reaction to it: anticipated.")
        if draft.marks[0].at_s > draft.visit.end_s:
            notes.append("The mark fell as the nose left.")
    return notes


def _distinct(marks: Sequence[Mark]) -> tuple[Mark, ...]:
    """Marks in time order, an event reported twice kept once with the greater certainty."""
    kept: list[Mark] = []
    for mark in marks:
        if kept and mark.at_s - kept[-1].at_s < SAME_S:
            kept[-1] = Mark(kept[-1].at_s, max(kept[-1].sure, mark.sure))
        else:
            kept.append(mark)
    return tuple(kept)


def _ordered(spans: Sequence[Span]) -> tuple[Span, ...]:
    return tuple(sorted(spans, key=lambda span: (span.start_s, span.end_s)))


def _require_within(lanes: Lanes) -> None:
    """Refuse times the recording does not have; half a second of grace for streams of unequal length."""
    times = [("mark", mark.at_s) for mark in lanes.marks]
    for what, spans in (("nose", lanes.nose_in), ("hand", lanes.hand_in), ("inhalation", lanes.inhales)):
        times += [(what, edge) for span in spans or () for edge in (span.start_s, span.end_s)]
    for what, at_s in times:
        if not -0.5 <= at_s <= lanes.duration_s + 0.5:
            raise OutOfRange(
                f"A {what} at {at_s:g} s lies outside the recording of {lanes.duration_s:g} s. "
                "Give times in seconds from the start of the same recording."
            )
