"""What two phones heard of one session, told on the first one's clock by whichever heard it better.

Conventions
-----------
Better is louder over that phone's own background: marks and breath are chosen apart, since a phone near the
box hears the dog and one near the trainer the marker. Where neither has a level, the first phone is kept.
"""

from dataclasses import replace

from nares.base.vocab import Bout, Mark, Span
from nares.measure.align_marks import Alignment
from nares.measure.sound.heard import Heard

SURE_ENOUGH = 0.3
"""Marks less sure than this are not used to align: too many of them are false."""


def mark_times(heard: Heard) -> list[float]:
    """The marks by which recordings are aligned. [s]"""
    return [mark.at_s for mark in heard.marks if mark.sure >= SURE_ENOUGH]


def better_heard(here: Heard, there: Heard, line: Alignment, *, name: str) -> Heard:
    """Marks from the phone that heard the marker better, breath from the one that heard the dog better.

    Args:
        here: What the first phone heard.
        there: What the other heard, on its own clock.
        line: How that clock lies on the first one's.
        name: What to call the other phone's recording.
    """
    told = on_clock_of(there, line)
    quality = here.sound_quality
    notes = list(here.notes)
    if _louder(told.sound_quality.marks_over_floor_db, quality.marks_over_floor_db):
        here = replace(
            here,
            marks=told.marks,
            doubtful_marks=told.doubtful_marks,
            start_block=told.start_block or here.start_block,
            floor_db=told.floor_db if told.start_block else here.floor_db,
        )
        quality = replace(quality, marks_over_floor_db=told.sound_quality.marks_over_floor_db)
        notes.append(f"marks are taken from {name}, which heard the marker better.")
    else:
        notes.append(f"marks are taken from the first recording, which heard the marker better than {name}.")
    if _louder(told.sound_quality.breath_over_floor_db, quality.breath_over_floor_db):
        here = replace(here, inhales=told.inhales, bouts=told.bouts)
        quality = replace(quality, breath_over_floor_db=told.sound_quality.breath_over_floor_db)
        notes = [note for note in notes if not note.startswith("not measurable: breath")]
        notes += [note for note in told.notes if note.startswith("not measurable: breath")]
        notes.append(f"breath is taken from {name}, which heard the dog better.")
    else:
        notes.append(f"breath is taken from the first recording, which heard the dog better than {name}.")
    return replace(here, sound_quality=quality, notes=tuple(notes))


def on_clock_of(heard: Heard, line: Alignment) -> Heard:
    """Everything heard, moved to the other clock; what would lie before its start is left out."""
    return replace(
        heard,
        marks=_marks(heard.marks, line),
        doubtful_marks=_marks(heard.doubtful_marks, line),
        inhales=tuple(_span(span, line) for span in heard.inhales if line.here(span.start_s) >= 0),
        bouts=tuple(_bout(bout, line) for bout in heard.bouts if line.here(bout.start_s) >= 0),
        start_block=tuple(line.here(at_s) for at_s in heard.start_block),
    )


def _marks(marks: tuple[Mark, ...], line: Alignment) -> tuple[Mark, ...]:
    return tuple(replace(mark, at_s=line.here(mark.at_s)) for mark in marks if line.here(mark.at_s) >= 0)


def _span(span: Span, line: Alignment) -> Span:
    return replace(span, start_s=line.here(span.start_s), end_s=line.here(span.end_s))


def _bout(bout: Bout, line: Alignment) -> Bout:
    return replace(bout, start_s=line.here(bout.start_s), end_s=line.here(bout.end_s))


def _louder(there_db: float | None, here_db: float | None) -> bool:
    return there_db is not None and (here_db is None or there_db > here_db)
