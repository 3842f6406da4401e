"""Raise, stay or ease: what the reps at one step support.

Conventions
-----------
``met`` holds every rep at this step, oldest first, since the criterion last changed.

- Reps are read as *runs of evidence*, each of them Wald's sequential test. The first run starts with the
  first rep.
- When a run reaches the raise line the call is "raise" and stays "raise": it was earned at that rep, and
  asking the same question again after an answer would change the stated risks.
- When a run reaches the ease line the call is "ease" and a new run starts with the next rep, so that a
  trainer who goes on at the same step is not held to old failures for ever. The ease stands until the new
  run has earned back what the old one lost (five met in a row do, at the usual levels); then it is "stay".
- A run that reaches neither line within ``cap`` reps says so: undecided, change something. The test itself
  goes on, so its stated risks hold.

Each run has its own chance of a lucky raise: ``runs`` says how many there were.
"""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass

from nares.base.errors import OutOfRange
from nares.base.interval import session_spread, wilson_interval
from nares.base.vocab import Call
from nares.decide.sprt import TOUCH, Lines, sprt_lines

CAP = 40
"""Reps of one run after which an undecided step should be changed."""


@dataclass(frozen=True, slots=True)
class StepCall:
    """The call at one step and the evidence under it.

    ``reps``, ``met``, ``rate``, ``low``, ``high`` are over every rep given; ``low`` and ``high`` are
    Wilson's interval at ``confidence``, over ``effective_reps`` when sessions differ. None without reps.
    ``run_reps`` and ``run_met`` are the run the call rests on; ``runs`` counts runs begun; ``decided_at``
    is the rep (from 1) at which the standing call was reached; ``since_reps`` and ``since_met`` are the
    reps after it. ``undecided`` is True when the run has passed its cap.
    """

    call: Call
    reps: int
    met: int
    rate: float | None
    low: float | None
    high: float | None
    confidence: float
    sessions: int
    effective_reps: float
    dispersion: float
    run_reps: int
    run_met: int
    runs: int
    decided_at: int | None
    since_reps: int
    since_met: int
    undecided: bool
    because: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Walk:
    """Where the runs of evidence ended up."""

    call: Call
    run_reps: int
    run_met: int
    runs: int
    decided_at: int | None


def step_call(
    met: Sequence[bool | int],
    sessions: Sequence[Hashable] | None = None,
    *,
    ready: float = 0.85,
    not_ready: float = 0.60,
    false_raise: float = 0.05,
    missed_raise: float = 0.20,
    cap: int = CAP,
    confidence: float = 0.95,
) -> StepCall:
    """Say whether the criterion may be raised, on the reps at this step.

    Args:
        met: Reps at this step oldest first, True or 1 when the criterion was met. [bool]
        sessions: The session of each rep; widens the interval where sessions differ.
        ready: Share of reps met by a dog that should be raised. [-]
        not_ready: Share met by a dog that must not be raised. [-]
        false_raise: Accepted chance that a run raises a dog at ``not_ready``. [-]
        missed_raise: Accepted chance that a run eases a dog at ``ready``. [-]
        cap: Reps of one run after which an undecided step should be changed. [count]
        confidence: Two-sided coverage of ``low`` to ``high``. [-]

    Raises:
        OutOfRange: If a rep is neither met nor missed, the sessions do not fit the reps, or a level or
            risk cannot be.

    Sources:
        wald-1947: the sequential probability ratio test.

    Examples:
        >>> step_call([1] * 7).call, step_call([1] * 8).call, step_call([0, 0]).call
        ('stay', 'raise', 'ease')
    """
    _require_reps(met, sessions)
    if cap < 1:
        raise OutOfRange(f"A cap of {cap} reps cannot be. Give at least 1, for example {CAP}.")
    lines = sprt_lines(ready=ready, not_ready=not_ready, false_raise=false_raise, missed_raise=missed_raise)
    walk = _walk(met, lines)
    return _with_evidence(walk, met, sessions, cap, confidence)


def _walk(met: Sequence[bool | int], lines: Lines) -> _Walk:
    """Read the reps run by run. One loop without calls: a five-year record is read on every page."""
    up, down = lines.per_met, lines.per_missed
    top, bottom = lines.raise_at - TOUCH, lines.ease_at + TOUCH
    evidence, begun, before, runs = 0.0, 0, 0, 1
    for number, value in enumerate(met, start=1):
        evidence += up if value else down
        if bottom < evidence < top:
            continue
        if evidence >= top:
            return _Walk("raise", number - begun, int(sum(met[begun:number])), runs, number)
        evidence, before, begun, runs = 0.0, begun, number, runs + 1
    if begun and evidence + lines.ease_at < -TOUCH:
        begun_again = begun < len(met)
        return _Walk("ease", begun - before, int(sum(met[before:begun])), runs - 1 + begun_again, begun)
    return _Walk("stay", len(met) - begun, int(sum(met[begun:])), runs, None)


def _with_evidence(
    walk: _Walk,
    met: Sequence[bool | int],
    sessions: Sequence[Hashable] | None,
    cap: int,
    confidence: float,
) -> StepCall:
    reps, hits = len(met), int(sum(met))
    since = reps - walk.decided_at if walk.decided_at else 0
    undecided = walk.call == "stay" and walk.run_reps >= cap
    spread = session_spread(met, sessions)
    rate = hits / reps if reps else None
    low, high = (
        wilson_interval(rate, spread.effective_reps, confidence=confidence)
        if rate is not None
        else (None, None)
    )
    because = [_reason(walk, undecided), *([spread.note] if spread.note and reps else [])]
    return StepCall(
        call=walk.call,
        reps=reps,
        met=hits,
        rate=rate,
        low=low,
        high=high,
        confidence=confidence,
        sessions=spread.sessions,
        effective_reps=spread.effective_reps,
        dispersion=spread.dispersion,
        run_reps=walk.run_reps,
        run_met=walk.run_met,
        runs=walk.runs,
        decided_at=walk.decided_at,
        since_reps=since,
        since_met=int(sum(met[reps - since :])) if since else 0,
        undecided=undecided,
        because=tuple(because),
    )


def _reason(walk: _Walk, undecided: bool) -> str:
    counted = f"{walk.run_met} of {walk.run_reps} met"
    if walk.call == "raise":
        return f"{counted}: enough to raise, reached at rep {walk.decided_at}."
    if walk.call == "ease":
        return f"{counted}: not ready, reached at rep {walk.decided_at}."
    if undecided:
        return f"{counted} and still undecided: change something rather than go on the same way."
    if walk.run_reps == 0:
        return "No reps at this step yet."
    return f"{counted}: not yet enough to raise or to ease."


def _require_reps(met: Sequence[bool | int], sessions: Sequence[Hashable] | None) -> None:
    if not _only_met_or_missed(met):
        position, value = next((i, v) for i, v in enumerate(met, start=1) if not _is_flag(v))
        raise OutOfRange(
            f"Rep {position} is {value!r}, which is neither met nor missed. Write 1 for met and 0 for missed."
        )
    if sessions is not None and len(sessions) != len(met):
        raise OutOfRange(
            f"There are {len(met)} reps but {len(sessions)} session numbers. Give one session for each rep."
        )


def _only_met_or_missed(met: Sequence[object]) -> bool:
    try:
        return set(met) <= {0, 1}
    except TypeError:
        return False


def _is_flag(value: object) -> bool:
    try:
        return value in {0, 1}
    except TypeError:
        return False
