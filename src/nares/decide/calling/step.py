"""Raise, stay or ease: what the reps at one step support.

Conventions
-----------
``met`` holds every rep at this step, oldest first, since the criterion last changed.

- Reps are read as *runs of evidence*, each of them the sequential test of `nares.decide.calling.lines`. The
first run
  starts with the first rep.
- When a run reaches the raise line the call is "raise" and stays "raise": it was earned at that rep, and
  asking the same question again after an answer would change the stated risks.
- When a run reaches the ease line the call is "ease" and a new run starts with the next rep, so that a
  trainer who goes on at the same step is not held to old failures for ever. The ease stands until the new
  run has earned back what the old one lost (five met in a row do, at the usual levels); then it is "stay".
- A run that reaches neither line within ``cap`` reps ends *undecided*: change something. What is changed is
  for a person to say; until the criterion changes or a new run, begun with the next rep, reaches a line, the
  call is "stay" and stays undecided.

Each run has its own chance of a lucky raise: ``runs`` says how many there were.
"""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from nares.base.errors import OutOfRange
from nares.base.interval import session_spread, wilson_interval
from nares.base.vocab import Call
from nares.decide.calling.lines import CAP, StepLines, step_lines
from nares.decide.calling.sprt import TOUCH, sprt_lines


@dataclass(frozen=True, slots=True)
class StepCall:
    """The call at one step and the evidence under it.

    ``reps``, ``met``, ``rate``, ``low``, ``high`` are over every rep given; ``low`` and ``high`` are
    Wilson's interval at ``confidence``, over ``effective_reps`` when sessions differ. None without reps.
    ``run_reps`` and ``run_met`` are the run the call rests on; ``runs`` counts runs begun; ``decided_at``
    is the rep (from 1) at which the standing call was reached, or the run ended undecided; ``since_reps`` and
    ``since_met`` are the reps after it. ``undecided`` is True when the last run to end reached its cap.
    ``open_reps`` and ``open_met`` are the run still open, what a further rep adds to; 0 after a raise.
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
    open_reps: int = 0
    open_met: int = 0


@dataclass(frozen=True, slots=True)
class _Walk:
    """Where the runs of evidence ended up: the last run to end, if it still speaks, and the open one."""

    call: Call
    undecided: bool
    run_reps: int
    run_met: int
    runs: int
    decided_at: int | None
    open_reps: int
    open_met: int


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
        missed_raise: Accepted chance that a run does not raise a dog at ``ready``. [-]
        cap: Reps after which a run ends undecided. [count]
        confidence: Two-sided coverage of ``low`` to ``high``. [-]

    Raises:
        OutOfRange: If a rep is neither met nor missed, the sessions do not fit the reps, or a level or
            risk cannot be.

    Sources:
        wald-1947: evidence as a likelihood ratio, and what its lines leave to gain.

    Examples:
        >>> step_call([1] * 7).call, step_call([1] * 8).call, step_call([0, 0]).call
        ('stay', 'raise', 'ease')
    """
    _require_reps(met, sessions)
    lines = step_lines(
        ready=ready, not_ready=not_ready, false_raise=false_raise, missed_raise=missed_raise, cap=cap
    )
    walk = _walk(met, lines)
    return _with_evidence(walk, met, sessions, confidence)


def _walk(met: Sequence[bool | int], lines: StepLines) -> _Walk:
    """Read the reps run by run. One loop without calls: a five-year record is read on every page."""
    follows = _follows(lines)
    at = begun = before = 0
    runs, ended = 1, 0
    for number, value in enumerate(met, start=1):
        at = follows[2 * at + 1 if value else 2 * at]
        if at >= 0:
            continue
        if at == _RAISED:
            return _Walk("raise", False, number - begun, int(sum(met[begun:number])), runs, number, 0, 0)
        ended, before, begun, runs, at = at, begun, number, runs + 1, 0
    reps, hits = divmod(at, lines.cap + 1)
    if ended == _UNDECIDED or (ended == _EASED and not _earned_back(hits, reps, lines)):
        call: Call = "ease" if ended == _EASED else "stay"
        last, begun_again = int(sum(met[before:begun])), begun < len(met)
        runs = runs - 1 + begun_again
        return _Walk(call, ended == _UNDECIDED, begun - before, last, runs, begun, reps, hits)
    return _Walk("stay", False, reps, hits, runs, None, reps, hits)


_EASED, _RAISED, _UNDECIDED = -1, -2, -3


@lru_cache(maxsize=64)
def _follows(lines: StepLines) -> tuple[int, ...]:
    """Where a rep leads from each count of an open run: at twice the count's number missed, one further met.

    A count's number is ``reps * (cap + 1) + met``; what ends the run is negative.
    """
    width = lines.cap + 1
    follows = [0] * (2 * lines.cap * width)
    for reps in range(lines.cap):
        for met in range(reps + 1):
            for value in (0, 1):
                follows[2 * (reps * width + met) + value] = _after(lines, reps + 1, met + value)
    return tuple(follows)


def _after(lines: StepLines, reps: int, met: int) -> int:
    if lines.raises(met, reps):
        return _RAISED
    if lines.eases(met, reps):
        return _EASED
    return _UNDECIDED if reps == lines.cap else reps * (lines.cap + 1) + met


def _earned_back(met: int, reps: int, lines: StepLines) -> bool:
    """Whether the reps after an ease weigh as much for the dog as Wald's line to ease weighs against it."""
    wald = sprt_lines(
        ready=lines.ready,
        not_ready=lines.not_ready,
        false_raise=lines.false_raise,
        missed_raise=lines.missed_raise,
    )
    return wald.evidence(met, reps) + wald.ease_at >= -TOUCH


def _with_evidence(
    walk: _Walk,
    met: Sequence[bool | int],
    sessions: Sequence[Hashable] | None,
    confidence: float,
) -> StepCall:
    reps, hits = len(met), int(sum(met))
    since = reps - walk.decided_at if walk.decided_at else 0
    spread = session_spread(met, sessions)
    rate = hits / reps if reps else None
    low, high = (
        wilson_interval(rate, spread.effective_reps, confidence=confidence)
        if rate is not None
        else (None, None)
    )
    because = [_reason(walk), *([spread.note] if spread.note and reps else [])]
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
        undecided=walk.undecided,
        because=tuple(because),
        open_reps=walk.open_reps,
        open_met=walk.open_met,
    )


def _reason(walk: _Walk) -> str:
    counted = f"{walk.run_met} of {walk.run_reps} met"
    if walk.call == "raise":
        return f"{counted}: enough to raise, reached at rep {walk.decided_at}."
    if walk.call == "ease":
        return f"{counted}: not ready, reached at rep {walk.decided_at}."
    if walk.undecided:
        return f"{counted} and undecided: change something rather than go on the same way."
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
