"""A rep as rows to read: each measured value with its certainty, and what a person kept beside it."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from nares.app.pages import RepLine
from nares.base.vocab import MeasuredRep, Reading, Rep, Span
from nares.web.sessions.lanes import SURE_ENOUGH, window_s
from nares.web.shell.words import ask, disturbance, metres, seconds, word, words, yes_no

SAME_S = 0.002
HEADS = (
    "Nose in",
    "Mark",
    "Mark after nose in",
    "Hold",
    "Ended by",
    "Inhalations before the mark",
    "Sniffing at the mark",
    "Inhaling at the mark",
    "Pay",
    "Pay after the mark",
    "Pay place",
)


@dataclass(frozen=True, slots=True)
class Measure:
    """One measured value: what it is, what it says, how sure, or why it is missing."""

    name: str
    said: str
    sure: float | None
    missing: bool

    @property
    def unsure(self) -> bool:
        """Whether the certainty is under what goes without a second look."""
        return self.sure is not None and self.sure < SURE_ENOUGH


@dataclass(frozen=True, slots=True)
class Kept:
    """One value of the rep table: what would be or was kept, and the proposal where they differ."""

    name: str
    said: str
    proposed: str | None


@dataclass(frozen=True, slots=True)
class RepView:
    """One rep as the session page shows it."""

    line: RepLine
    measures: tuple[Measure, ...]
    values: tuple[Kept, ...]
    start_s: float | None
    end_s: float | None
    why_missing: str

    @property
    def rep(self) -> Rep | None:
        """The row a person stands by, else the one proposed."""
        return self.line.kept or self.line.proposed

    @property
    def open(self) -> bool:
        """Whether the rep waits for a person."""
        return self.line.state == "measured"

    @property
    def notes(self) -> str:
        """What the machine adds to its reading, such as why a value is missing."""
        return "; ".join(self.line.measured.notes) if self.line.measured else ""


def rep_views(reps: Iterable[RepLine], reading: Reading | None) -> list[RepView]:
    """Every rep of a session, ready to show."""
    return [_rep_view(line, reading) for line in reps]


def _rep_view(line: RepLine, reading: Reading | None) -> RepView:
    window = window_s(line)
    start_s, end_s = window or (None, None)
    missing = "; ".join(line.measured.notes) if line.measured else "no recording was measured for this rep"
    measures = _measures(line.measured, reading) if line.measured else ()
    return RepView(line, measures, _values(line), start_s, end_s, missing)


def _measures(seen: MeasuredRep, reading: Reading | None) -> tuple[Measure, ...]:
    nose = _sure_of_span(seen.nose_in_s, reading.nose_in if reading else ())
    mark = _sure_of_mark(seen.mark_s, reading)
    pay = _sure_of_span(seen.pay_s, reading.hand_in if reading else ())
    # A dog that left before any mark leaves no mark to measure: that is an answer, not a gap.
    no_mark = "no mark" if seen.ended_by == "dog" and seen.mark_s is None else ""
    no_pay = "no pay" if no_mark and seen.pay_s is None else ""
    return (
        _timed("Nose in", seen.nose_in_s, nose),
        _timed("Mark", seen.mark_s, mark, no_mark),
        _timed("Mark after nose in", seen.mark_delay_s, _least(nose, mark), no_mark),
        _timed("Hold", seen.hold_s, _least(nose, mark) if seen.ended_by == "mark" else nose),
        _plain("Ended by", word(seen.ended_by), None, missing=seen.ended_by == "unknown"),
        _plain("Inhalations before the mark", _count(seen.inhales_before_mark), None),
        _plain("Sniffing at the mark", seen.sniffing_at_mark, None),
        _plain("Inhaling at the mark", seen.inhaling_at_mark, None),
        _timed("Pay", seen.pay_s, pay, no_pay),
        _timed("Pay after the mark", seen.pay_delay_s, _least(mark, pay), no_pay),
        _plain("Pay place", word(seen.pay_place) if seen.pay_place else no_pay or None, pay),
    )


def _timed(name: str, value_s: float | None, sure: float | None, none: str = "") -> Measure:
    if value_s is None:
        return Measure(name, none or seconds(None), None, True)
    return Measure(name, seconds(value_s), sure, False)


def _plain(name: str, said: str | None, sure: float | None, *, missing: bool = False) -> Measure:
    absent = said is None or missing
    return Measure(name, said if said is not None else "not measured", None if absent else sure, absent)


def _count(value: int | None) -> str | None:
    return None if value is None else str(value)


def _least(*values: float | None) -> float | None:
    """A value made of two others is at most as sure as the weaker one."""
    known = [value for value in values if value is not None]
    return min(known) if known else None


def _sure_of_span(at_s: float | None, spans: Iterable[Span]) -> float | None:
    near = (span.sure for span in spans if at_s is not None and abs(span.start_s - at_s) <= SAME_S)
    return next(near, None)


def _sure_of_mark(at_s: float | None, reading: Reading | None) -> float | None:
    marks = reading.marks if reading else ()
    return next((m.sure for m in marks if at_s is not None and abs(m.at_s - at_s) <= SAME_S), None)


def _values(line: RepLine) -> tuple[Kept, ...]:
    rep = line.kept or line.proposed
    if rep is None:
        return ()
    before = said_values(line.proposed) if line.proposed and line.kept else {}
    return tuple(
        Kept(name, said, before[name] if before.get(name, said) != said else None)
        for name, said in said_values(rep).items()
    )


def said_values(rep: Rep) -> dict[str, str]:
    """Every value of a rep a person may correct, named and in words."""
    said: dict[str, Any] = {
        "Ask": ask(rep.ask_s),
        "Hold": seconds(rep.hold_s),
        "Ended by": word(rep.ended_by),
        "Met": yes_no(rep.met),
        "Hand": word(rep.hand),
        "Pay place": word(rep.pay_place),
        "Distance": metres(rep.distance_m),
        "Disturbance": disturbance(rep.disturbance),
        "Source": rep.source,
        "Cues": words(rep.cues),
        "Paid": yes_no(rep.paid),
        "Step": rep.step,
    }
    return said
