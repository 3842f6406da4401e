"""A score in sentences, the same for page, command and JSON.

Conventions
-----------
Every number stands with how many it rests on and, where there is one, its interval: Wilson's, for looking at.
Chances are said as a person says them. What was never tried is said so.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from nares.base.chances import one_in
from nares.design.scoring.counts import ByPlace
from nares.design.scoring.places import Falls, HitsByPlace
from nares.design.scoring.rates import Rate
from nares.design.scoring.score import CallAndAlert, RunName, Score, Scored
from nares.design.scoring.sensitivity import Sensitivity
from nares.design.scoring.two_rates import Compared

WHOSE = {"call": "the handler's call", "alert": "the dog's alert"}


@dataclass(frozen=True, slots=True)
class SideSaid:
    """What is said of one side's answers, by part; ``top`` first of all, ``remarks`` on the counts."""

    side: str
    top: str
    counts: tuple[str, ...]
    remarks: tuple[str, ...]
    sensitivity: tuple[str, ...]
    bias: tuple[str, ...]
    smells: tuple[str, ...]
    carry_over: tuple[str, ...]
    knowing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Said:
    """What is said of a score: of what was left out, of each side, of call against alert."""

    left_out: tuple[str, ...]
    call: SideSaid | None
    alert: SideSaid | None
    both: tuple[str, ...]
    handler_errors: tuple[str, ...]


def said_of(score: Score) -> Said:
    """Say a score."""
    return Said(
        tuple(_left_out(score)),
        _side(score.call) if score.call else None,
        _side(score.alert) if score.alert else None,
        tuple(_both(score.both)) if score.both else (),
        tuple(
            f"Run {one.run}{_of(one)}, written down as a handler error: {one.why.rstrip('.')}."
            for one in score.handler_errors
        ),
    )


def rate_said(rate: Rate) -> str:
    """A rate with its count and interval.

    Examples:
        >>> rate_said(Rate("", 0, 0, None, None, None, None, None, 0, 0.0))
        'never tried'
    """
    if rate.rate is None or rate.score_low is None or rate.score_high is None:
        return "never tried"
    return f"{rate.k} of {rate.n}, {rate.rate:.0%} ({rate.score_low:.0%} to {rate.score_high:.0%})"


def _side(scored: Scored) -> SideSaid:
    return SideSaid(
        side=scored.side,
        top=_top(scored),
        counts=tuple(_counts(scored)),
        remarks=tuple(_remarks(scored)),
        sensitivity=tuple(_sensitivity(scored.sensitivity)),
        bias=(_hits(scored.bias.hits), *_falls(scored)),
        smells=tuple(_smells(scored)),
        carry_over=tuple(_carry_over(scored)),
        knowing=tuple(_knowing(scored)),
    )


def _top(scored: Scored) -> str:
    runs, places = scored.runs, scored.places
    found = f"found {runs.found.k} of {runs.found.n} targets" if runs.found.n else "no run had a target"
    false = (
        f"false alerts at {places.false_alert.k} of {places.false_alert.n} places without one"
        if places.false_alert.n
        else "no place without a target was offered"
    )
    clear = (
        f"clear right {runs.clear_right.k} of {runs.clear_right.n} times"
        if runs.clear_right.n
        else "nothing was called clear"
        if scored.side == "call"
        else "an alert in every run"
    )
    return f"By {WHOSE[scored.side]}: {found}; {false}; {clear}."


def _counts(scored: Scored) -> Iterator[str]:
    runs, places = scored.runs, scored.places
    yield f"Found, of runs with a target: {rate_said(runs.found)}."
    yield f"False alerts, of runs with a place without target: {rate_said(runs.false_alert)}."
    yield f"False alerts, of places without target: {rate_said(places.false_alert)}."
    yield f"Blank runs called clear: {rate_said(runs.blank_clear)}."
    yield f"Clear and rightly so, of runs called clear: {rate_said(runs.clear_right)}."


def _remarks(scored: Scored) -> Iterator[str]:
    runs = scored.runs
    if runs.found.n > runs.found.k:
        yield (
            f"Of the {runs.found.n - runs.found.k} not found, {runs.wrong.k} were answered elsewhere and "
            f"{runs.unanswered.k} not at all."
        )
    yield from _places_left_out(scored.places)
    if runs.warm:
        yield (
            f"{runs.warm} {_runs(runs.warm)} answered at a warm spot: left out of what concerns false "
            "alerts, "
            "because nobody knows whether that was false."
        )
    if runs.found.note:
        yield runs.found.note


def _places_left_out(places: ByPlace) -> Iterator[str]:
    if places.empties_not_visited or places.targets_not_visited:
        yield (
            f"Never visited: {places.empties_not_visited} places without target, counted neither as right "
            "nor "
            f"as wrong, and {places.targets_not_visited} targets, missed by run and not counted by place."
        )
    if places.visits_known < places.runs:
        yield (
            f"Visits are not known in {places.runs - places.visits_known} of {places.runs} runs: there every "
            "place is taken as offered, so a place the dog never reached counts as rightly passed."
        )
    if places.targets_beyond_one:
        yield (
            f"{places.targets_beyond_one} more targets lay in runs with several: one answer names one "
            "place, so "
            "each such run is one target here."
        )
    if places.warm:
        yield f"{places.warm} warm spots are left out: no blanks, no targets."


def _sensitivity(found: Sensitivity) -> Iterator[str]:
    yield found.why
    if found.model is None:
        return
    if found.d_prime is not None:
        yield (
            f"d' {_number(found.d_prime)} ({_ends(found.d_low, found.d_high)}), from {found.runs} "
            f"{_runs(found.runs)}: "
            "how far target and no target lie apart for this dog, in standard deviations; 0 is guessing."
        )
    else:
        yield (
            f"d' has no best value from {found.runs} {_runs(found.runs)} without both kinds of fault: "
            f"{_ends(found.d_low, found.d_high)}."
        )
    if found.criterion_c is not None:
        slow = {
            "yes-no": "above 0 slow to answer, below 0 quick",
            "max-rule": "what the strongest place must pass before it is answered; lower is quicker to "
            "answer",
        }[found.model]
        yield f"Bar (criterion c) {_number(found.criterion_c)} ({_ends(found.c_low, found.c_high)}): {slow}."
    elif found.model == "max-rule":
        yield f"The bar (criterion c) is not tied down by these runs: {_ends(found.c_low, found.c_high)}."
    if found.left_out:
        yield f"{found.left_out} {_runs(found.left_out)} answered at a warm spot left out."
    if found.note:
        yield found.note


def _ends(low: float | None, high: float | None) -> str:
    if low is None:
        return "no bound either way" if high is None else f"at most {_number(high)}, no lower bound"
    return (
        f"at least {_number(low)}, no upper bound" if high is None else f"{_number(low)} to {_number(high)}"
    )


def _number(value: float) -> str:
    return f"{value:.2f}".replace("-", "\u2212")


def _hits(found: HitsByPlace) -> str:
    if found.test is None:
        return "Hits by position: the target lay at one position at most, so there is nothing to compare."
    n = sum(rate.n for _, rate in found.positions)
    return (
        f"Hits by position, {n} targets at {len(found.positions)} positions: if all are found equally "
        f"often, differences this large or larger come by chance {_often(found.test.p_exact)}."
    )


def _falls(scored: Scored) -> Iterator[str]:
    for falls in (scored.bias.false_alerts, scored.bias.first):
        yield _fall(falls) if falls else "First position visited: visits were not taken."


def _fall(falls: Falls) -> str:
    head = falls.what.capitalize()
    if falls.test is None:
        return f"{head}: {falls.why}"
    most = max(falls.positions, key=lambda one: one.chosen - one.expected)
    return (
        f"{head}, {falls.choices} in all, most above chance at position {most.position} ({most.chosen}, "
        f"expected {most.expected:.1f}): without a liking for a position, as uneven or more so "
        f"{_often(falls.test.p_exact)}."
    )


def _smells(scored: Scored) -> Iterator[str]:
    found = scored.smells
    if not found.lines:
        yield "No distractors and no controls were set out: how the dog takes them was never tested."
        return
    tempting = [one for one in found.lines if one.rate.k]
    if not tempting:
        total = sum(one.rate.n for one in found.lines)
        yield f"No false alert at {total} places with a distractor or a control."
    for one in sorted(tempting, key=lambda line: -(line.rate.rate or 0)):
        yield f"{one.smell.capitalize() or one.holds.capitalize()}: {rate_said(one.rate)}."
    if found.distractors_against_blanks:
        yield f"Distractors against blanks: {_compared(found.distractors_against_blanks)}"
    if found.new_against_used:
        yield f"New against used smells: {_compared(found.new_against_used)}"


def _carry_over(scored: Scored) -> Iterator[str]:
    found = scored.carry_over
    if not found.pairs:
        yield "No two runs follow each other directly, so nothing can be carried over."
        return
    yield f"{found.pairs} pairs of runs follow each other directly."
    yield (
        f"Where the target lay the run before, against other places: {_compared(found.place)}"
        if found.place
        else "Places that held the target the run before: never tried."
    )
    yield (
        f"The same place again after a hit, against after a false alert: {_compared(found.answer)}"
        if found.answer
        else "The same place again after a hit or a false alert: never tried."
    )


def _knowing(scored: Scored) -> Iterator[str]:
    found = scored.knowing
    yield (
        ", ".join(f"{n} {level}" for level, n in found.levels)
        + f", {found.unsaid} of which it cannot be said."
    )
    pairs = (
        ("Found, known against blind", found.known_found),
        ("False alerts, known against blind", found.known_false),
        ("Found, single against double blind", found.double_found),
        ("False alerts, single against double blind", found.double_false),
    )
    tried = [(name, one) for name, one in pairs if one]
    for name, one in tried:
        yield f"{name}: {_compared(one)}"
    if not tried:
        yield "Nothing to compare: not both ways were run."
    else:
        yield (
            "Which runs were known was not drawn by lot: a difference can come from days, places or "
            "practice. "
            "No difference in few runs shows nothing, least of all that the handler gives no cue."
        )


def _compared(pair: Compared | None) -> str:
    if pair is None or pair.difference is None or pair.low is None or pair.high is None:
        return (
            "never tried on both sides."
            if pair is None
            else f"{rate_said(pair.first)} against {rate_said(pair.second)}."
        )
    return (
        f"{rate_said(pair.first)} against {rate_said(pair.second)}, a difference of "
        f"{_points(pair.difference)} points ({_points(pair.low)} to {_points(pair.high)}); "
        f"by chance alone, one this large or larger comes {_often(pair.p_fisher or 0)}."
    )


def _both(found: CallAndAlert) -> Iterator[str]:
    if not found.differ.k:
        yield f"Call and alert were the same in all {found.differ.n} runs with both."
        return
    yield (
        f"Of runs with both, the call differs from the dog's alert in {rate_said(found.differ)}: "
        f"{found.unasked} "
        f"called without an alert, {found.unheeded} called clear over an alert, {found.elsewhere} called "
        "elsewhere."
    )


def _left_out(score: Score) -> Iterator[str]:
    if score.void:
        yield f"Void and left out: {_named(score.void)}."
    if score.not_run:
        yield f"Not run, or no call: {_named(score.not_run)}. Left out, not counted as missed."


def _named(runs: Sequence[RunName]) -> str:
    return ", ".join(
        f"run {one.run}{_of(one)}" + (f" ({one.why.rstrip('.')})" if one.why else "") for one in runs
    )


def _of(one: RunName) -> str:
    return f" of {one.lineup}" if one.lineup else ""


def _points(difference: float) -> str:
    return f"{100 * difference:+.0f}".replace("-", "\u2212")


def _often(chance: float) -> str:
    if chance < 0.0001:
        return "less than 1 time in 10 000"
    return "every time" if chance > 0.995 else one_in(chance)


def _runs(count: int) -> str:
    return "run" if count == 1 else "runs"
