"""Which law of sensitivity fits how these runs were searched, and what it gives.

Conventions
-----------
- *yes/no*: every trial is one place. It fits a line-up of one place, and a search whose visits are known and
  went from place to place without coming back: each place visited is then a trial of its own.
- *forced choice*: every run had exactly one target among equally many places and was answered.
- *max rule*: everything else with one answer a run: the place that smells most, if it passes a bar.

Counts are pooled over runs; no rate is averaged. Where line-ups differ, the intervals are too narrow.
"""

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from nares.design.scoring.answers import Answer
from nares.design.scoring.counts import target_trials
from nares.design.scoring.forced_choice import ForcedChoice, forced_choice
from nares.design.scoring.max_rule import Group, MaxRule, fit_max_rule
from nares.design.scoring.rates import few_lineups
from nares.design.scoring.yes_no import YesNo, yes_no

Model = Literal["yes-no", "forced-choice", "max-rule"]


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """d' and c by the law that applies. ``model`` None: it cannot be said; ``why`` tells either way.

    Ends are None where the runs give none. ``runs`` and ``lineups``: what it rests on. ``fit``: the law's own
    counts and figures. ``note``: on few line-ups.
    """

    model: Model | None
    why: str
    d_prime: float | None = None
    d_low: float | None = None
    d_high: float | None = None
    criterion_c: float | None = None
    c_low: float | None = None
    c_high: float | None = None
    runs: int = 0
    lineups: int = 0
    left_out: int = 0
    fit: YesNo | ForcedChoice | MaxRule | None = None
    note: str = ""


def sensitivity_of(answers: Sequence[Answer], *, confidence: float) -> Sensitivity:
    """Choose the law for these runs and apply it; runs answered at a warm spot are left out."""
    runs = [one for one in answers if not one.at_warm]
    model, why = which_model(runs)
    if model is None:
        return Sensitivity(None, why, runs=len(runs), left_out=len(answers) - len(runs))
    fit, figures = _APPLY[model](runs, confidence)
    lineups = len({one.lineup for one in runs})
    return Sensitivity(
        model,
        why,
        *figures,
        runs=len(runs),
        lineups=lineups,
        left_out=len(answers) - len(runs),
        fit=fit,
        note=few_lineups(lineups),
    )


def which_model(runs: Sequence[Answer]) -> tuple[Model | None, str]:
    """The law that applies to these runs and why, or None and what is in its way."""
    if not runs:
        return None, "It cannot be said: no run counts yet."
    if not any(one.targets for one in runs):
        return None, "It cannot be said: no run had a target."
    single = all(len(_places(one)) == 1 for one in runs)
    if single or _one_by_one(runs):
        if not any(one.offered(one.empties) for one in runs):
            return None, "It cannot be said: no place without a target was offered."
        if not any(one.offered(one.targets) for one in runs):
            return None, "It cannot be said: no target was visited."
        if single:
            return "yes-no", "Yes/no, because every run was one place."
        return "yes-no", (
            "Yes/no by place, because the visits are known and the dog went from place to place without "
            "coming back: each place visited was decided on by itself."
        )
    if any(len(one.at) > 1 for one in runs):
        return None, "It cannot be said: in some runs the dog alerted at several places."
    sizes = {len(_places(one)) for one in runs}
    if len(sizes) == 1 and all(len(one.targets) == 1 and one.at for one in runs):
        return "forced-choice", (
            f"Forced choice of {sizes.pop()}, because every run had exactly one target and was answered. "
            "Whether calling it clear was allowed makes no difference: nobody did."
        )
    return "max-rule", (
        "The largest of all places if it passes a bar (max rule), because a run has one answer for "
        "several places and could be called clear. It takes the dog to compare all places before it answers."
    )


def _places(run: Answer) -> tuple[int, ...]:
    return (*run.targets, *run.empties)


def _one_by_one(runs: Sequence[Answer]) -> bool:
    """Whether every run's visits are known, none twice, and answers are among them."""
    for run in runs:
        order = [visit.position for visit in run.visits]
        stays = [one for one, after in pairwise([*order, None]) if one != after]
        if not order or len(set(stays)) < len(stays) or not set(run.at) <= set(order):
            return False
    return True


Figures = tuple[float | None, float | None, float | None, float | None, float | None, float | None]


def _yes_no(runs: Sequence[Answer], confidence: float) -> tuple[YesNo, Figures]:
    hits = [hit for one in runs for hit in target_trials(one)]
    false = [place in one.at for one in runs for place in one.offered(one.empties)]
    fit = yes_no(sum(hits), len(hits), sum(false), len(false), confidence=confidence)
    return fit, (fit.d_prime, fit.d_low, fit.d_high, fit.criterion_c, fit.c_low, fit.c_high)


def _forced(runs: Sequence[Answer], confidence: float) -> tuple[ForcedChoice, Figures]:
    right = sum(one.found for one in runs)
    fit = forced_choice(right, len(runs), len(_places(runs[0])), confidence=confidence)
    return fit, (fit.d_prime, fit.d_low, fit.d_high, None, None, None)


def _max(runs: Sequence[Answer], confidence: float) -> tuple[MaxRule, Figures]:
    fit = fit_max_rule(groups_of(runs), confidence=confidence)
    return fit, (fit.d_prime, fit.d_low, fit.d_high, fit.criterion_c, fit.c_low, fit.c_high)


def groups_of(runs: Sequence[Answer]) -> list[Group]:
    """Runs by number of places and targets, and what became of them."""
    came: dict[tuple[int, int], list[int]] = defaultdict(lambda: [0, 0, 0])
    for run in runs:
        outcome = 0 if run.found else 1 if run.at else 2
        came[len(_places(run)), len(run.targets)][outcome] += 1
    return [Group(*key, *counts) for key, counts in sorted(came.items())]


_APPLY: dict[Model, Callable[[Sequence[Answer], float], tuple[YesNo | ForcedChoice | MaxRule, Figures]]] = {
    "yes-no": _yes_no,
    "forced-choice": _forced,
    "max-rule": _max,
}
