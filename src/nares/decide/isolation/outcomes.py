"""Was the trainer right? What came of a decision against a call.

Conventions
-----------
The rule is fixed before anybody knows how it ends. Looked at are the first ``JUDGED_ON`` counted reps at the
step the person decided on, after the decision: reps asked for less than the step, and searches without target
at a step that is about the target, do not count. Those reps are *nearer* to a ready dog than to one that is
not when they are likelier under ``ready`` than under ``not_ready``, the step's own levels.

- **Bolder** than the call (raise instead of stay, stay instead of ease …): it *bore out* when the reps are
  nearer to ready, and *did not* otherwise.
- **More careful** than a raise, at the same step: it *bore out* when the reps are nearer to not ready. When
  they are nearer to ready the outcome is *unknown*: how the harder step would have gone, nobody saw.
- Any other more careful decision is *unknown* from the start, for the same reason.

Ten reps are few: `error_of` says how often this rule is wrong.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import comb, log
from typing import Literal

from nares.base.interval import wilson_interval
from nares.base.vocab import Call, Rep
from nares.decide.evidence import is_about, is_easy
from nares.decide.steps.programme import Step

Outcome = Literal["bore out", "did not", "too early to say", "unknown", "not followed", "taken back"]

JUDGED_ON = 10
"""Counted reps that an outcome is judged on. [count]"""

ENOUGH = 10
"""Fewer judged overrulings of one person than this say nothing about the person. [count]"""

_ORDER: tuple[Call, ...] = ("stop", "ease", "stay", "raise")


@dataclass(frozen=True, slots=True)
class Came:
    """What came of one overruling; counts and interval over the reps judged, None without any."""

    outcome: Outcome
    said: str
    reps: int = 0
    met: int = 0
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True)
class Tally:
    """One person's overrulings: how many, how many can be judged, how many bore out, and what that says."""

    person: str
    overrulings: int
    judged: int
    bore_out: int
    low: float | None
    high: float | None
    said: str


def came_of(advised: Call, decided: Call, after: Sequence[Rep], there: Step, *, same_step: bool) -> Came:
    """Judge one overruling.

    Args:
        advised: What was called.
        decided: What the person decided.
        after: Every rep of the dog after the decision, oldest first.
        there: The step the person decided on.
        same_step: Whether that is the step the dog was at when the call was made.
    """
    bolder = _ORDER.index(decided) >= _ORDER.index(advised)
    if not bolder and not (advised == "raise" and same_step):
        return Came("unknown", "How it would have gone the other way, nobody saw.")
    counted = [
        rep for rep in after if rep.step == there.key and is_about(rep, there) and not is_easy(rep, there)
    ]
    judged = counted[:JUDGED_ON]
    if len(judged) < JUDGED_ON:
        return _early(judged, after, there)
    met = sum(rep.met for rep in judged)
    low, high = wilson_interval(met / len(judged), len(judged), confidence=0.95)
    counts = f"{met} of the first {len(judged)} reps met at {there.name} ({low:.0%} to {high:.0%})"
    near = nearer_ready(met, len(judged), there)
    if bolder:
        outcome: Outcome = "bore out" if near else "did not"
        return Came(outcome, f"{counts}.", len(judged), met, low, high)
    if near:
        said = f"{counts}: ready at this step, as was called; how the next one would have gone, nobody saw."
        return Came("unknown", said, len(judged), met, low, high)
    return Came("bore out", f"{counts}: the raise would have come by luck.", len(judged), met, low, high)


def _early(judged: Sequence[Rep], after: Sequence[Rep], there: Step) -> Came:
    if not judged and len(after) >= JUDGED_ON:
        return Came("not followed", f"No rep was counted at {there.name} since then.")
    said = f"{len(judged)} of {JUDGED_ON} counted reps at {there.name} so far."
    return Came("too early to say", said, len(judged), sum(rep.met for rep in judged))


def nearer_ready(met: int, reps: int, step: Step) -> bool:
    """Whether so many met of so many are likelier for a dog at the step's ready level than at not ready.

    Examples:
        >>> from nares.decide.steps.programme_file import read_programme, shipped_programme
        >>> step = read_programme(shipped_programme()).steps[0]
        >>> [nearer_ready(met, 10, step) for met in (7, 8)]
        [False, True]
    """
    up, down = log(step.ready / step.not_ready), log((1 - step.ready) / (1 - step.not_ready))
    return met * up + (reps - met) * down >= 0


def error_of(step: Step) -> tuple[float, float]:
    """How often the rule is wrong: for a dog at not ready, and for one at ready. [-]"""
    near = [met for met in range(JUDGED_ON + 1) if nearer_ready(met, JUDGED_ON, step)]
    return _chance_of(near, step.not_ready), 1 - _chance_of(near, step.ready)


def _chance_of(counts: Iterable[int], rate: float) -> float:
    return sum(comb(JUDGED_ON, met) * rate**met * (1 - rate) ** (JUDGED_ON - met) for met in counts)


def tally_of(person: str, outcomes: Sequence[str]) -> Tally:
    """Sum up one person's overrulings, without those taken back.

    Examples:
        >>> tally_of("Wren", ["bore out"] * 4 + ["did not", "did not", "unknown"]).said
        '7 overrulings, 6 can be judged, 4 of them bore out: too few to say.'
    """
    kept = [outcome for outcome in outcomes if outcome != "taken back"]
    judged = [outcome for outcome in kept if outcome in ("bore out", "did not")]
    good = judged.count("bore out")
    low, high = wilson_interval(good / len(judged), len(judged), confidence=0.95) if judged else (None, None)
    many = "overruling" if len(kept) == 1 else "overrulings"
    said = f"{len(kept)} {many}, {len(judged)} can be judged, {good} of them bore out"
    return Tally(person, len(kept), len(judged), good, low, high, f"{said}{_verdict(len(judged), low, high)}")


def _verdict(judged: int, low: float | None, high: float | None) -> str:
    if low is None or high is None or judged < ENOUGH:
        return ": too few to say."
    where = f" ({low:.0%} to {high:.0%})"
    if low > 0.5:
        return f"{where}: more often right than the call."
    if high < 0.5:
        return f"{where}: more often wrong than right; look at the reasons given."
    return f"{where}: as often right as not, as far as so few can tell."
