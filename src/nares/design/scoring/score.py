"""Scores runs: counts, sensitivity, bias, smells, carry-over, blinding, times, for call and alert apart.

Conventions
-----------
The handler's call and the dog's alert are two answers to one run and are scored
apart; they are set side by side in `CallAndAlert`. Void runs are left out and listed, runs without a call
are listed as not run.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from nares.base.errors import OutOfRange
from nares.base.lineups import RunResult
from nares.design.scoring.answers import Answer, Side, alerts_of, answers_of, counted
from nares.design.scoring.carry_over import CarryOver, carry_over_of
from nares.design.scoring.counts import ByPlace, ByRun, by_place, by_run
from nares.design.scoring.knowing import Knowing, knowing_of
from nares.design.scoring.places import Places, places_of
from nares.design.scoring.rates import Rate, rate_of
from nares.design.scoring.sensitivity import Sensitivity, sensitivity_of
from nares.design.scoring.smells import Smells, smells_of
from nares.design.scoring.timing import Timing, timing_of


@dataclass(frozen=True, slots=True)
class RunName:
    """A run of a line-up that does not count, and why."""

    lineup: str
    run: int
    why: str = ""


@dataclass(frozen=True, slots=True)
class Scored:
    """Everything about one side's answers."""

    side: Side
    runs: ByRun
    places: ByPlace
    sensitivity: Sensitivity
    bias: Places
    smells: Smells
    carry_over: CarryOver
    knowing: Knowing


@dataclass(frozen=True, slots=True)
class CallAndAlert:
    """Runs with both: how often the call differs from the alert, and how. ``runs``: which.

    ``unasked``: a place was called without an alert. ``unheeded``: clear was called over an alert.
    ``elsewhere``: another place was called than the dog's.
    """

    differ: Rate
    unasked: int
    unheeded: int
    elsewhere: int
    runs: tuple[RunName, ...]


@dataclass(frozen=True, slots=True)
class Score:
    """The score of runs, of one line-up or several. ``call`` or ``alert`` None: not a single one was taken.

    ``void`` and ``not_run`` are left out of everything else. ``handler_errors``: what the evaluator wrote
    down.
    """

    runs: int
    counted: int
    lineups: int
    positions: int
    confidence: float
    call: Scored | None
    alert: Scored | None
    both: CallAndAlert | None
    timing: Timing
    void: tuple[RunName, ...]
    not_run: tuple[RunName, ...]
    handler_errors: tuple[RunName, ...]


def score_runs(
    results: Sequence[RunResult],
    *,
    confidence: float,
    novel: Mapping[tuple[str, str], bool | None] | None = None,
) -> Score:
    """Score runs that are open.

    Args:
        results: Runs of one dog, of one line-up or several; each run of a line-up once.
        confidence: Two-sided coverage of every interval. [-]
        novel: By line-up and distractor, whether it was new to the dog; missing: not known.

    Raises:
        OutOfRange: If a run comes twice, an answer names a place the run did not have, or the confidence
            cannot be.
    """
    _refuse_faults(results, confidence)
    kept = counted(results)
    called = [one for one in kept if one.called is not None or one.observed is not None]
    return Score(
        runs=len(results),
        counted=len(called),
        lineups=len({one.lineup for one in called}),
        positions=max((len(one.placed) for one in results), default=0),
        confidence=confidence,
        call=_scored(answers_of(kept, "call"), "call", novel or {}, confidence),
        alert=_scored(answers_of(kept, "alert"), "alert", novel or {}, confidence),
        both=_both(kept, confidence),
        timing=timing_of(kept, confidence=confidence),
        void=tuple(RunName(one.lineup, one.run, one.void) for one in results if one.void),
        not_run=tuple(RunName(one.lineup, one.run) for one in kept if one.called is None),
        handler_errors=tuple(
            RunName(one.lineup, one.run, one.observed.handler_error)
            for one in kept
            if one.observed is not None and one.observed.handler_error
        ),
    )


def _scored(
    answers: Sequence[Answer], side: Side, novel: Mapping[tuple[str, str], bool | None], confidence: float
) -> Scored | None:
    if not answers:
        return None
    return Scored(
        side=side,
        runs=by_run(answers, confidence=confidence),
        places=by_place(answers, confidence=confidence),
        sensitivity=sensitivity_of(answers, confidence=confidence),
        bias=places_of(answers, confidence=confidence),
        smells=smells_of(answers, novel, confidence=confidence),
        carry_over=carry_over_of(answers, confidence=confidence),
        knowing=knowing_of(answers, confidence=confidence),
    )


def _both(results: Sequence[RunResult], confidence: float) -> CallAndAlert | None:
    kinds = []
    for one in results:
        if one.called is None or one.observed is None:
            continue
        place, alerts = one.called.position, alerts_of(one.observed)
        kind = ""
        if place is None and alerts:
            kind = "clear was called over an alert"
        elif place is not None and not alerts:
            kind = "a place was called without an alert"
        elif place is not None and place not in alerts:
            kind = "another place was called than the dog's"
        kinds.append(RunName(one.lineup, one.run, kind))
    if not kinds:
        return None
    why = [one.why for one in kinds]
    return CallAndAlert(
        rate_of(
            "runs whose call differs from the alert, of runs with both",
            [bool(kind) for kind in why],
            [one.lineup for one in kinds],
            confidence=confidence,
        ),
        unasked=sum("without" in kind for kind in why),
        unheeded=sum("over" in kind for kind in why),
        elsewhere=sum("another" in kind for kind in why),
        runs=tuple(one for one in kinds if one.why),
    )


def _refuse_faults(results: Sequence[RunResult], confidence: float) -> None:
    if not 0 < confidence < 1:
        raise OutOfRange(f"{confidence:g} is not between 0 and 1. Write 95 per cent as 0.95.")
    seen = set()
    for one in results:
        if (one.lineup, one.run) in seen:
            raise OutOfRange(f"Run {one.run} of {one.lineup or 'the line-up'} is there twice. Give it once.")
        seen.add((one.lineup, one.run))
        if one.void:  # what lay there may be unknown, and nothing of it is counted
            continue
        places = {spot.position for spot in one.placed}
        named = set() if one.called is None or one.called.position is None else {one.called.position}
        if one.observed is not None:
            named |= {*alerts_of(one.observed), *(visit.position for visit in one.observed.visits)}
        if named - places:
            raise OutOfRange(
                f"Run {one.run} of {one.lineup or 'the line-up'} names place {min(named - places)}, which it "
                "does not have. Correct the call or what was observed."
            )
