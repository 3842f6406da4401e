"""Reps at one step laid out for a curve: what counts, by session, and in bins where there are many.

Conventions
-----------
A rep counts at a step as in `nares.decide.evidence`: asked for at least the step's shortest hold, and about
what the step is about. All such reps of the record are taken, oldest first, also those before a raise that
was taken back. Reps are counted from 1 among them. Up to ``MOST_BINS`` reps every rep is a bin; beyond it a
bin is a session, and beyond so many sessions several neighbouring ones.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from nares.base.vocab import Rep
from nares.decide.evidence import speaks_for
from nares.decide.steps.programme import Step

MOST_BINS = 400
"""A curve has at most so many bins: more than a phone can show, few enough to be drawn at once. [count]"""


@dataclass(frozen=True, slots=True)
class Place:
    """A rep at a step: its number among those that count, its session, and when it was."""

    rep: int
    session: str
    started_at: str


@dataclass(frozen=True, slots=True)
class Bin:
    """Reps taken together: ``first`` to ``last``, how many of them were met, and the session of the first."""

    first: int
    last: int
    session: str
    met: int

    @property
    def tried(self) -> int:
        """Reps in the bin. [count]"""
        return self.last - self.first + 1


@dataclass(frozen=True, slots=True)
class Course:
    """The reps that count at a step, oldest first; ``left_out``: those there that do not count.

    ``sessions``: number of reps of each session in order; ``begun_cold``: whether the session began with
    them.
    """

    reps: tuple[Rep, ...]
    left_out: int
    sessions: tuple[tuple[str, int], ...]
    begun_cold: tuple[bool, ...]

    def place(self, rep: int) -> Place:
        """Where a rep, counted from 1, was."""
        found = self.reps[rep - 1]
        return Place(rep, found.session, found.started_at)

    def by_session(self) -> list[list[bool]]:
        """Met or missed, rep by rep, session by session."""
        found, begin = [], 0
        for _, count in self.sessions:
            found.append([rep.met for rep in self.reps[begin : begin + count]])
            begin += count
        return found


def course_at(reps: Sequence[Rep], key: str, step: Step | None) -> Course:
    """Lay out a dog's reps (all of them, oldest first) at one step."""
    at = [rep for rep in reps if rep.step == key]
    counted = tuple(rep for rep in at if speaks_for(rep, step))
    first_of: dict[str, Rep] = {}
    for rep in reps:
        first_of.setdefault(rep.session, rep)
    groups = [(session, list(group)) for session, group in groupby(counted, lambda rep: rep.session)]
    return Course(
        reps=counted,
        left_out=len(at) - len(counted),
        sessions=tuple((session, len(group)) for session, group in groups),
        begun_cold=tuple(first_of[session] is group[0] for session, group in groups),
    )


def bins_of(course: Course) -> tuple[Bin, ...]:
    """Put the reps of a course into bins for a curve."""
    reps = course.reps
    if len(reps) <= MOST_BINS:
        sizes = [1] * len(reps)
    else:
        together = -(-len(course.sessions) // MOST_BINS)
        counts = [count for _, count in course.sessions]
        sizes = [sum(counts[k : k + together]) for k in range(0, len(counts), together)]
    found, begin = [], 0
    for size in sizes:
        met = sum(rep.met for rep in reps[begin : begin + size])
        found.append(Bin(begin + 1, begin + size, reps[begin].session, met))
        begin += size
    return tuple(found)
