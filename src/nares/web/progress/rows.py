"""A dog's progress as rows to read: the points of the curve, the mastered steps."""

from dataclasses import dataclass

from nares.app.progress_page import Bin, MasteredLine, ProgressPage
from nares.web.agreement.rows import Row
from nares.web.shell.measures import share

STANDING = {
    "untried": ("not tried since", ""),
    "quiet": ("stands", "confirmed"),
    "watch": ("watch it", "waiting"),
    "relapse": ("fallen back", "waiting"),
}
"""How a mastered step stands in words, and the look of its badge."""


@dataclass(frozen=True, slots=True)
class MasteredRow:
    """A mastered step with its word and the look of that."""

    line: MasteredLine
    word: str
    look: str


@dataclass(frozen=True, slots=True)
class Rows:
    """Everything of the progress, ready to show: ``alarms`` says each alarm once."""

    points: tuple[Row, ...]
    mastered: tuple[MasteredRow, ...]
    tried: tuple[MasteredRow, ...]
    untried: tuple[MasteredLine, ...]
    alarms: tuple[str, ...]


def rows_of(page: ProgressPage) -> Rows:
    """Lay the progress out."""
    mastered = tuple(MasteredRow(line, *STANDING[line.found.standing]) for line in page.mastered)
    return Rows(
        points=_points(page),
        mastered=mastered,
        tried=tuple(row for row in mastered if row.line.found.reps),
        untried=tuple(line for line in page.mastered if not line.found.reps),
        alarms=tuple(dict.fromkeys(line.alarm for line in page.mastered)),
    )


def _points(page: ProgressPage) -> tuple[Row, ...]:
    course = page.found.course
    if course is None:
        return ()
    back, live = course.curve.looking_back, course.curve.live
    return tuple(
        Row(
            _reps(one),
            (
                one.session,
                f"{one.met} of {one.tried}",
                share(live.middle[k], live.low[k], live.high[k]),
                share(back.middle[k], back.low[k], back.high[k]),
                share(back.above[k], None, None),
            ),
        )
        for k, one in enumerate(course.bins)
    )


def _reps(one: Bin) -> str:
    return str(one.first) if one.first == one.last else f"{one.first} to {one.last}"
