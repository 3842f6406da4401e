"""Hits, misses, false alerts and correct rejections, by run and by place, each with its denominator in words.

Conventions
-----------
By *run*: what the search came to. A run with a target is found, answered at a wrong
place, or called clear; a blank run is clear or a false alert. By *place*: what was done at each place. A
place never visited, where visits are known, is neither a correct rejection nor a miss by place: nothing was
done there; the run still counts. Where a run holds several targets and only one place could be named, its
targets are one trial by place, so that what could not be named is no miss. A run answered at a warm spot is
left out of what concerns false alerts.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from nares.design.scoring.answers import Answer
from nares.design.scoring.rates import Rate, rate_of

HELD = ("blank", "distractor", "control")
"""What an empty place can hold."""


@dataclass(frozen=True, slots=True)
class ByRun:
    """Counts by run. ``warm``: runs answered at a warm spot, left out of the last four."""

    runs: int
    blank: int
    found: Rate
    wrong: Rate
    unanswered: Rate
    false_alert: Rate
    blank_false: Rate
    blank_clear: Rate
    clear_right: Rate
    answer_right: Rate
    warm: int


@dataclass(frozen=True, slots=True)
class ByPlace:
    """Counts by place: hits and misses of targets, false alerts and correct rejections of empty places.

    ``visits_known``: runs whose visits were taken. ``targets_not_visited``, ``empties_not_visited``: in
    those runs; None: in no run. ``targets_beyond_one``: targets that one answer could not name. ``warm``:
    warm places, left out; ``warm_answered``: of them answered.
    """

    hit: Rate
    misses: int
    false_alert: Rate
    rejections: int
    held: tuple[Rate, ...]
    runs: int
    visits_known: int
    targets_not_visited: int | None
    empties_not_visited: int | None
    targets_beyond_one: int
    warm: int
    warm_answered: int


def by_run(answers: Sequence[Answer], *, confidence: float) -> ByRun:
    """Count runs."""

    def rate(what: str, runs: Sequence[Answer], met: Callable[[Answer], bool]) -> Rate:
        return rate_of(what, [met(one) for one in runs], [one.lineup for one in runs], confidence=confidence)

    with_target = [one for one in answers if one.targets]
    blank = [one for one in answers if not one.targets]
    plain = [one for one in answers if not one.at_warm]
    open_to = [one for one in plain if one.empties]
    return ByRun(
        runs=len(answers),
        blank=len(blank),
        found=rate("runs found, of runs with a target", with_target, lambda one: one.found),
        wrong=rate(
            "runs answered only elsewhere, of runs with a target",
            with_target,
            lambda one: bool(one.at) and not one.found,
        ),
        unanswered=rate("runs called clear, of runs with a target", with_target, lambda one: not one.at),
        false_alert=rate(
            "runs with a false alert, of all runs with an empty place", open_to, lambda one: bool(one.false)
        ),
        blank_false=rate(
            "blank runs with a false alert, of blank runs",
            [one for one in blank if not one.at_warm],
            lambda one: bool(one.at),
        ),
        blank_clear=rate(
            "blank runs called clear, of blank runs",
            [one for one in blank if not one.at_warm],
            lambda one: not one.at,
        ),
        clear_right=rate(
            "runs without a target, of runs called clear",
            [one for one in answers if not one.at],
            lambda one: not one.targets,
        ),
        answer_right=rate(
            "runs answered at a target, of runs answered",
            [one for one in plain if one.at],
            lambda one: one.found,
        ),
        warm=len(answers) - len(plain),
    )


def by_place(answers: Sequence[Answer], *, confidence: float) -> ByPlace:
    """Count places."""
    targets = [(one.lineup, hit) for one in answers for hit in target_trials(one)]
    empties = [(one, place) for one in answers if not one.at_warm for place in one.offered(one.empties)]
    known = [one for one in answers if one.visits]
    hit = _rate("targets answered, of target places offered", targets, confidence)
    false = _rate(
        "empty places answered, of empty places offered",
        [(one.lineup, place in one.at) for one, place in empties],
        confidence,
    )
    held = tuple(
        _rate(
            f"{name} places answered, of {name} places offered",
            [(one.lineup, place in one.at) for one, place in empties if _holds(one, place) == name],
            confidence,
        )
        for name in HELD
    )
    return ByPlace(
        hit=hit,
        misses=hit.n - hit.k,
        false_alert=false,
        rejections=false.n - false.k,
        held=held,
        runs=len(answers),
        visits_known=len(known),
        targets_not_visited=_not_visited([(one, one.targets) for one in known]),
        empties_not_visited=_not_visited([(one, one.empties) for one in known]),
        targets_beyond_one=sum(max(0, len(one.targets) - 1) for one in answers if one.one_only),
        warm=sum(len(one.warm) for one in answers),
        warm_answered=sum(place in one.at for one in answers for place in one.warm),
    )


def target_trials(answer: Answer) -> list[bool]:
    """Whether each target offered was answered; one trial where only one place could be named."""
    offered = answer.offered(answer.targets)
    if answer.one_only and offered:
        return [answer.found]
    return [place in answer.at for place in offered]


def _rate(what: str, trials: Sequence[tuple[str, bool]], confidence: float) -> Rate:
    return rate_of(what, [met for _, met in trials], [lineup for lineup, _ in trials], confidence=confidence)


def _holds(answer: Answer, place: int) -> str:
    return next(one.holds for one in answer.placed if one.position == place)


def _not_visited(runs: Sequence[tuple[Answer, tuple[int, ...]]]) -> int | None:
    if not runs:
        return None
    return sum(len(places) - len(one.offered(places)) for one, places in runs)
