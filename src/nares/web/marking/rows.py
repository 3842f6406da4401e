"""A person's marks as rows to read: delays, what they fell on, where in the sniff."""

from collections.abc import Iterable
from dataclasses import dataclass

from nares.app.marks_page import MarkSeen, MarksLine, MarksPage, Timing
from nares.web.agreement.rows import Row, moment
from nares.web.shell.measures import between, between_s, share
from nares.web.shell.words import seconds


@dataclass(frozen=True, slots=True)
class MarkRow:
    """One mark in the table behind the plots, and where to look at it."""

    mark: MarkSeen
    href: str
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Rows:
    """Everything of the marks, ready to show."""

    delays: tuple[Row, ...]
    bands: tuple[Row, ...]
    shares: tuple[Row, ...]
    people: tuple[Row, ...]
    dogs: tuple[Row, ...]
    marks: tuple[MarkRow, ...]
    direction: tuple[Row, ...]


def rows_of(page: MarksPage) -> Rows | None:
    """Lay the marks out; None where there is none."""
    timing = page.timing
    if timing is None:
        return None
    return Rows(
        delays=tuple(_delays(timing)),
        bands=tuple(
            Row(band.name, (_reach(band.from_s, band.to_s), str(band.count))) for band in timing.bands
        ),
        shares=tuple(_shares(timing)),
        people=tuple(_line(line) for line in page.by_person),
        dogs=tuple(_line(line) for line in page.by_dog),
        marks=tuple(_mark(mark) for mark in page.marks),
        direction=tuple(_direction(timing)),
    )


def _delays(timing: Timing) -> Iterable[Row]:
    for name, delays in (
        ("After nose in", timing.after_nose),
        ("After the ask", timing.over_ask),
        ("After the intake began", timing.after_intake),
    ):
        middle = delays.middle
        said = (
            ("none", "none")
            if middle is None
            else (
                between_s(middle.median, middle.low, middle.high),
                f"{middle.quarter:.2f} to {middle.three_quarters:.2f}",
            )
        )
        yield Row(name, (*said, str(delays.n), str(delays.not_measured)))


def _shares(timing: Timing) -> Iterable[Row]:
    for name, of in (
        ("On sniffing", timing.sniffing),
        ("While air was drawn in", timing.inhaling),
        ("Too soon to be a reaction", timing.anticipated),
    ):
        missing = timing.after_nose.not_measured if of is timing.anticipated else of.unclear
        yield Row(name, (share(of.share, of.low, of.high), f"{of.count} of {of.of}", str(missing)))


def _direction(timing: Timing) -> Iterable[Row]:
    found = timing.direction
    if found is None:
        return
    yield Row("Marks with a place in the sniff", (f"{found.n} of {timing.marks}",))
    yield Row(
        "Mean place", (share(found.phase, found.low, found.high) if found.phase is not None else "none",)
    )
    yield Row("Resultant length", (f"{found.length:.2f}",))
    if timing.kept_of_length:
        true = min(found.length / timing.kept_of_length, 1.0)
        yield Row("The same, without the error of the place", (f"about {true:.2f}",))
    yield Row("Chance of so much if marks fell anywhere (Rayleigh)", (_chance(found.by_chance),))
    by_sessions = found.by_chance_sessions
    too_few = "needs 8 sessions" if found.sessions < 8 else "cannot be said: the sessions are too alike"
    said = too_few if by_sessions is None else _chance(by_sessions)
    yield Row("The same, counting sessions (Hotelling)", (said,))


def _line(line: MarksLine) -> Row:
    timing = line.timing
    over, on, soon = timing.over_ask.middle, timing.sniffing, timing.anticipated
    return Row(
        line.name,
        (
            str(timing.marks),
            str(timing.sessions),
            "no ask on record" if over is None else between_s(over.median, over.low, over.high),
            f"{share(on.share, on.low, on.high)}, {on.of} told",
            f"{soon.count} of {soon.of}",
            "none"
            if timing.direction is None
            else between(timing.direction.length, None, None).split(" (")[0],
        ),
    )


def _mark(mark: MarkSeen) -> MarkRow:
    return MarkRow(
        mark,
        moment(mark.session, mark.at_s),
        (
            mark.dog,
            mark.person,
            seconds(mark.delay_s),
            seconds(mark.over_ask_s) if mark.over_ask_s is not None else "no ask",
            "not measured" if mark.phase is None else f"{100 * mark.phase:.0f}\u00a0%",
            mark.sniffing,
            mark.inhaling,
            "yes" if mark.looked_at else "no",
        ),
    )


def _reach(from_s: float | None, to_s: float | None) -> str:
    if from_s is None:
        return f"under {to_s:g}\u00a0s"
    return f"from {from_s:g}\u00a0s" if to_s is None else f"{from_s:g} to {to_s:g}\u00a0s"


def _chance(chance: float) -> str:
    return "under 0.001" if chance < 0.001 else f"{chance:.3f}"
