"""How a dog comes on: learning curve, changes, cold starts, sessions, and the steps it had mastered.

Conventions
-----------
Reps are those a person stands by; reps set aside are not among them. Sentences come from
`nares.decide.progress.words`, so that page, command and JSON say the same.
"""

from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

from nares.app.answers import answer, rounded
from nares.app.deciding import programme_of
from nares.app.desk import Desk
from nares.app.files import read_text
from nares.base.errors import NotEnoughData
from nares.decide import read_programme, read_rep_table, shipped_programme
from nares.decide.progress import Progress as Progress
from nares.decide.progress import progress_of, relapse_sentences
from nares.decide.progress.course import Bin as Bin
from nares.decide.progress.fits import Start
from nares.decide.progress.mastered import Mastered as Mastered
from nares.decide.progress.words import (
    alarm_sentence,
    alike_sentences,
    change_sentences,
    cold_sentences,
    curve_sentences,
    mastered_sentences,
    rate_sentences,
    steady_alike,
)
from nares.report.progress_plots import CurveLine, curve_svg


@dataclass(frozen=True, slots=True)
class Said:
    """The page's sentences, by part."""

    rate: tuple[str, ...]
    curve: tuple[str, ...]
    changes: tuple[str, ...]
    cold: tuple[str, ...]
    alike: tuple[str, ...]
    relapse: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MasteredLine:
    """A mastered step with what is said of it."""

    found: Mastered
    said: tuple[str, ...]
    alarm: str


@dataclass(frozen=True, slots=True)
class ProgressPage:
    """How a dog comes on at a step.

    ``steps``: keys and names one can choose; ``curve_svg``: None without a curve.
    """

    dog: str
    steps: tuple[tuple[str, str], ...]
    found: Progress
    said: Said
    mastered: tuple[MasteredLine, ...]
    curve_svg: str | None


def progress_page(desk: Desk, name: str, *, step: str = "", start: Start = "open") -> ProgressPage:
    """How a dog on the record comes on.

    Args:
        desk: Where the record is.
        name: The dog.
        step: The step to look at; empty for the one the dog is at.
        start: Where the curve begins (`nares.decide.progress.fits`).

    Raises:
        Unknown: If there is no such dog or step.
        NotEnoughData: If a published start is asked of reps that do not carry it.
    """
    dog = desk.store.dog(name)
    programme = programme_of(desk, dog.programme)
    reps = [row.rep for row in desk.store.reps(dog=name)]
    found = progress_of(reps, dog=name, programme=programme, step=step or None, start=start)
    tried = {rep.step for rep in reps}
    known = {one.key: one.name for one in programme.steps}
    steps = [(key, known[key]) for key in known if key in tried or key == found.step]
    steps += [(key, key) for key in sorted(tried - known.keys())]
    page = laid_out(found, tuple(steps))
    return page if found.course is None else replace(page, curve_svg=_plot(found))


def progress_table(
    table: Path, *, dog: str, programme: Path | None, step: str = "", start: Start = "open"
) -> ProgressPage:
    """How a dog comes on by a rep table alone.

    Raises:
        Unusable: If the table or the programme has a fault, naming every one.
        Unknown: If the table has no rep of this dog, or nobody knows the step.
        NotEnoughData: If the table holds no reps, or they do not carry the start asked for.
    """
    text = shipped_programme() if programme is None else read_text(programme)
    reps = read_rep_table(read_text(table)).reps
    if not reps:
        raise NotEnoughData(f"The rep table {table.name} holds no reps. Add one row for each rep.")
    found = progress_of(reps, dog=dog, programme=read_programme(text), step=step or None, start=start)
    return laid_out(found, ())


def laid_out(found: Progress, steps: tuple[tuple[str, str], ...]) -> ProgressPage:
    """Say what was found, part by part; ``steps`` are those one can choose. Without the drawing."""
    said = Said(
        rate=tuple(rate_sentences(found)),
        curve=tuple(curve_sentences(found)),
        changes=tuple(change_sentences(found)),
        cold=tuple(cold_sentences(found)),
        alike=tuple(alike_sentences(found)),
        relapse=tuple(relapse_sentences(found)),
    )
    mastered = tuple(
        MasteredLine(one, tuple(mastered_sentences(one)), alarm_sentence(one.watch, steady_alike(found)))
        for one in found.mastered
    )
    return ProgressPage(found.dog, steps, found, said, mastered, None)


def _plot(found: Progress) -> str:
    assert found.course is not None
    curve, bins = found.course.curve.looking_back, found.course.bins
    parts = [found.changes[0].before, *(one.after for one in found.changes)] if found.changes else []
    return curve_svg(
        CurveLine([(one.first + one.last) / 2 for one in bins], curve.low, curve.middle, curve.high),
        met=[one.met > 0 for one in bins] if len(bins) == found.reps else [False] * found.reps,
        level=found.level,
        ready=found.ready,
        borders=[place.rep for place in found.borders],
        parts=[(part.first, part.last, part.rate) for part in parts],
        learned=found.course.learned.rep if found.course.learned else None,
    )


def progress_answer(page: ProgressPage) -> dict[str, Any]:
    """Lay the progress out as ``progress/1``; the drawing stays on the page."""
    body = asdict(page.found)
    body["said"] = asdict(page.said)
    body["mastered"] = [
        {**asdict(line.found), "said": list(line.said), "alarm_said": line.alarm} for line in page.mastered
    ]
    return answer("progress/1", rounded(body))
