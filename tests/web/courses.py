"""Sample pages of progress, made by the parts themselves from an invented course of Bracken's."""

from dataclasses import replace

from tests.decide.courses import BOX, days
from tests.web import samples

from nares.app.progress_page import ProgressPage, laid_out
from nares.base.vocab import Rep
from nares.decide.progress import progress_of

KEPT = [1] * 9 + [0] + [1] * 10
LOST = [1, 0, 1, 0, 0, 1, 1, 0, 1, 0] * 2


def progress() -> ProgressPage:
    """A dog that learned a step, fell back at one before, and left a third untried."""
    reps = [
        *days(0, [KEPT], step=0),
        *days(1, [KEPT], step=1),
        *days(2, [KEPT], step=2),
        *days(3, [KEPT, LOST], step=1),
        *days(5, [[0, 0, 1, 0, 0, 1, 0, 0, 1, 1], [1, 0, *[1] * 8], *[[1] * 12] * 3], step=3),
    ]
    return _page(reps)


def no_reps() -> ProgressPage:
    return replace(_page([]), curve_svg=None)


def _page(reps: list[Rep]) -> ProgressPage:
    own = [replace(rep, dog="Bracken") for rep in reps]
    found = progress_of(own, dog="Bracken", programme=BOX)
    steps = tuple((step.key, step.name) for step in BOX.steps[:4]) if reps else ()
    return replace(laid_out(found, steps), curve_svg=samples.plot("The learning curve"))
