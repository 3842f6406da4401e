"""The reasons for a call and its risks, in sentences for the trainer.

Conventions
-----------
Rates are written in per cent and risks as "1 time in 20"; a sentence gives the counts it rests on.
"""

from nares.base.chances import one_in
from nares.decide.calling.characteristics import (
    Characteristics,
    characteristics_of,
    ladder_risk,
    uneven_characteristics,
)
from nares.decide.calling.lines import StepLines
from nares.decide.calling.step import StepCall
from nares.decide.evidence import Stretch
from nares.decide.hold.asks import TICK_S
from nares.decide.hold.holds import HoldModel
from nares.decide.steps.programme import Step

HOLDS_TO_SPEAK = 5
"""With fewer holds than this nothing is said of how long the dog holds, nor asked by it. [count]"""

UNEVEN = 0.10
"""How alike reps of one session are taken to be where the risk for a dog of uneven sessions is told. [-]"""

USUAL_SESSION = 12
"""Reps of a session where that risk is told. [count]"""


def evidence_sentences(call: StepCall, stretch: Stretch, step_name: str) -> list[str]:
    """What the reps say: counts, sessions, interval, and what the call rests on."""
    if call.reps == 0:
        said = [f"No counted reps at {step_name} yet."]
        return said + _left_out(stretch)
    sessions = f"{call.sessions} session" + ("s" if call.sessions != 1 else "")
    said = [f"{call.met} of {call.reps} met at {step_name} over {sessions}{_between(call)}."]
    return said + _verdict(call) + _contradicted(stretch) + _left_out(stretch) + list(call.because[1:])


def risk_sentences(call: StepCall, step: Step, raises_in_programme: int) -> list[str]:
    """What the test would do to a dog that is not ready and to one that is, and over all raises."""
    lines = step.lines()
    unready, between, ready = characteristics_of(
        lines, [step.not_ready, (step.not_ready + step.ready) / 2, step.ready]
    )
    said = [
        f"A dog that is really at {step.not_ready:.0%} would be raised by luck {one_in(unready.to_raise)}, "
        f"and is eased after {unready.reps:.0f} reps on average.",
        f"A dog that is really at {step.ready:.0%} is raised {one_in(ready.to_raise)}, "
        f"after {ready.reps:.0f} reps on average; otherwise it is eased{_or_left(ready)}.",
        f"A dog between the two, at {100 * between.rate:.3g}%, is raised {one_in(between.to_raise)}.",
        _uneven(lines, step, unready),
    ]
    if call.runs > 1:
        run_risk = ladder_risk(call.runs, each=unready.to_raise)
        said.append(
            f"This is run {call.runs} of evidence at this step; over {call.runs} runs luck alone raises "
            f"a dog at {step.not_ready:.0%} {one_in(run_risk)}."
        )
    ladder = ladder_risk(raises_in_programme, each=unready.to_raise)
    said.append(
        f"Over the {raises_in_programme} raises of the programme, a dog never ready would be raised "
        f"too early at least once {one_in(ladder)}: prove old steps now and then."
    )
    return said


def _or_left(ready: Characteristics) -> str:
    return " or left undecided" if ready.undecided >= 0.005 else ""


def _uneven(lines: StepLines, step: Step, even: Characteristics) -> str:
    """What good and bad sessions do to the risk, which is stated for reps that do not hang together."""
    uneven = uneven_characteristics(
        step.not_ready, lines=lines, correlation=UNEVEN, reps_per_session=USUAL_SESSION
    )
    return (
        f"These figures take every rep by itself. Where a dog has good and bad sessions (reps of one session "
        f"alike at {UNEVEN:g}, {USUAL_SESSION} a session), one at {step.not_ready:.0%} would be raised by "
        f"luck {one_in(uneven.to_raise)} instead of {one_in(even.to_raise)}."
    )


def hold_sentences(model: HoldModel | None) -> list[str]:
    """How long the dog holds, in one or two sentences; none without holds."""
    if model is None:
        return []
    if model.reps < HOLDS_TO_SPEAK:
        return [f"{model.reps} holds are known: too few to say how long the dog holds."]
    ask = model.ask()
    first = (
        f"Of {model.reps} holds the dog ended {model.breaks} and the mark {model.cut_short}; "
        f"it holds {ask:.1f} s about 85 times in 100."
    )
    if ask >= model.ceiling_s:
        first = (
            f"Of {model.reps} holds the dog ended {model.breaks}; nothing beyond "
            f"{model.longest_asked_s:.1f} s was seen."
        )
    return [first]


def _between(call: StepCall) -> str:
    if call.low is None or call.high is None:
        return ""
    return (
        f"; the true share lies between {call.low:.0%} and {call.high:.0%} ({call.confidence:.0%} interval)"
    )


def _verdict(call: StepCall) -> list[str]:
    run = f"{call.run_met} of {call.run_reps}"
    since = f"{call.since_met} of {call.since_reps} met since then"
    if call.call == "raise":
        tail = f"; {since}" if call.since_reps else ""
        return [f"The line to raise was reached at rep {call.decided_at} with {run}{tail}."]
    if call.call == "ease":
        tail = f"; {since}, not yet enough to take that back" if call.since_reps else ""
        return [f"The line to ease was reached at rep {call.decided_at} with {run}{tail}."]
    if call.undecided:
        tail = f" ({call.since_met} of {call.since_reps} met since then)" if call.since_reps else ""
        return [f"{run} met and undecided{tail}: change something, more of the same tells little."]
    return [f"{run} met in this run of evidence is not yet enough to raise or to ease."]


def _contradicted(stretch: Stretch) -> list[str]:
    """Reps a person calls met although the dog left before the ask: said, not overruled."""
    short = [
        rep
        for rep in stretch.counted
        if rep.met
        and rep.ended_by == "dog"
        and rep.ask_s
        and rep.hold_s is not None
        and rep.hold_s < rep.ask_s - TICK_S
    ]
    if not short:
        return []
    are = "is" if len(short) == 1 else "are"
    return [f"{len(short)} of these {are} written as met though the dog left before the ask: look again."]


def _left_out(stretch: Stretch) -> list[str]:
    heaps = (
        (len(stretch.easy), "easy", "asked for less than this step's shortest hold"),
        (len(stretch.aside), "", "without target; this step is about the target"),
        (stretch.closing, "", "at an easier step that closed the session"),
    )
    return [
        f"Not counted: {' '.join(filter(None, (str(count), kind, 'rep' if count == 1 else 'reps', why)))}."
        for count, kind, why in heaps
        if count
    ]


def more_sentence(call: StepCall, step: Step) -> list[str]:
    """How many more reps an open run is likely to take, for a dog that goes on as it has until now."""
    if call.call != "stay" or call.undecided or call.open_reps == 0 or call.rate is None:
        return []
    rate = (call.met + 1) / (call.reps + 2)  # drawn a little to the middle: few reps all met are no certainty
    (ahead,) = characteristics_of(step.lines(), [rate], reps=call.open_reps, met=call.open_met)
    return [
        f"If the dog goes on as until now, at about {rate:.0%}, {ahead.reps:.0f} more reps bring an answer "
        f"on average: to raise {one_in(ahead.to_raise)}."
    ]


def interval_sentence(call: StepCall, step: Step) -> list[str]:
    """Say so when all reps together leave room for a dog that is not ready, although the test says raise."""
    if call.low is None or call.low > step.not_ready:
        return []
    return [
        f"All {call.reps} reps together leave room for a dog at {step.not_ready:.0%}: the test judges the "
        f"latest run of evidence, {call.run_met} of {call.run_reps}."
    ]
