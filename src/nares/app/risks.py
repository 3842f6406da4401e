"""How often a call at a step is wrong, as the pages tell it: exact chances, counts, and the whole ladder."""

from functools import lru_cache

from nares.app.pages import HabitRisk, RiskPoint, RiskView
from nares.decide import (
    Programme,
    StepLines,
    characteristics_of,
    ladder_risk,
    risk_for_ladder,
    uneven_characteristics,
)
from nares.decide.because import UNEVEN, USUAL_SESSION
from nares.decide.calling.habits import HABITS, habit_characteristics
from nares.decide.isolation.easing import step_of
from nares.report.risk_plots import RiskCurve, chances_svg

RATES = tuple(round(0.40 + 0.02 * n, 2) for n in range(31))
TOLD = (0.50, 0.60, 0.70, 0.80, 0.90)
"""True rates in the table, beside the two the test is made for."""

FIFTH = 0.20
REPS_TOLD = (2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 60, 80)


def risk_view(programme: Programme, key: str) -> RiskView | None:
    """The risks of a call at a step of a programme; None for a step it does not have."""
    step = step_of(programme, key)
    return None if step is None else _risks(step.lines(), len(programme.steps) - 1)


@lru_cache(maxsize=64)
def _risks(lines: StepLines, raises: int) -> RiskView:
    told = sorted({*TOLD, lines.not_ready, lines.ready})
    points = tuple(
        RiskPoint(one.rate, one.to_raise, one.to_ease, one.undecided, one.reps)
        for one in characteristics_of(lines, told)
    )
    unready = points[told.index(lines.not_ready)]
    uneven = uneven_characteristics(
        lines.not_ready, lines=lines, correlation=UNEVEN, reps_per_session=USUAL_SESSION
    )
    return RiskView(
        ready=lines.ready,
        not_ready=lines.not_ready,
        false_raise=lines.false_raise,
        missed_raise=lines.missed_raise,
        cap=lines.cap,
        points=points,
        raise_counts=_counts(lines.raise_at, lines.cap),
        ease_counts=_counts(lines.ease_at, lines.cap),
        habits=tuple(_habit(lines, place) for place in range(len(HABITS))),
        raises=raises,
        over=ladder_risk(raises, each=unready.to_raise),
        each_for_fifth=risk_for_ladder(max(raises, 1), over=FIFTH),
        uneven=uneven.to_raise,
        svg=_plot(lines),
    )


def _counts(at: tuple[int, ...], cap: int) -> tuple[tuple[int, int], ...]:
    """(met, reps) for the reps told at which the answer can be given."""
    return tuple((at[reps - 1], reps) for reps in REPS_TOLD if reps <= cap and 0 <= at[reps - 1] <= reps)


def _habit(lines: StepLines, place: int) -> HabitRisk:
    low, high = habit_characteristics(HABITS[place], [lines.not_ready, lines.ready], cap=lines.cap)
    return HabitRisk(HABITS[place].name, low.to_raise, high.to_raise)


def _plot(lines: StepLines) -> str:
    ours = characteristics_of(lines, RATES)
    habit = habit_characteristics(HABITS[0], RATES, cap=lines.cap)
    return chances_svg(
        RiskCurve("the step test", RATES, [one.to_raise for one in ours]),
        RiskCurve(HABITS[0].name, RATES, [one.to_raise for one in habit]),
        ready=lines.ready,
        not_ready=lines.not_ready,
    )
