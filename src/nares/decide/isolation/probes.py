"""Probes: a failed step with one suspect eased, how a probe is judged, and the way back from it.

Conventions
-----------
A probe is judged by Wald's lines between the step's ``ready`` and ``not_ready``. The accepted chance to take
it for restored though the dog stands at ``not_ready`` is shared among the probes. What the lines and the cap
leave of that is computed exactly by `probe_risks`. Which probe comes when is
`nares.decide.isolation.isolating`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Literal

from nares.decide.calling.sprt import TOUCH, Lines, sprt_lines
from nares.decide.isolation.easing import easier_value, own_or_eased, suspects, with_eased
from nares.decide.steps.programme import Programme, Step

State = Literal["untried", "open", "restored", "not restored"]

WRONG = 0.05
"""Accepted chance to name a criterion that is not what broke the step. [-]"""

MISSED = 0.10
"""Accepted chance that a probe of the right criterion is taken for not restored. [-]"""

PROBE_CAP = 36
"""Reps of one probe after which it counts as not restored: three sessions. [count]"""


@dataclass(frozen=True, slots=True)
class Probe:
    """One suspect eased alone, and how it went since the fail."""

    criterion: str
    name: str
    step: str
    step_name: str
    state: State
    reps: int
    met: int


def probe_steps(failed: Step, programme: Programme) -> dict[str, Step]:
    """The probe of each suspect of a failed step, by criterion."""
    return {
        key: own_or_eased(with_eased(failed, key, easier_value(failed, key, programme)), programme)
        for key in suspects(failed, programme)
    }


def probe_state(met: Sequence[bool], failed: Step, count: int) -> State:
    """How a probe stands after these reps; ``count``: how many suspects there are."""
    if not met:
        return "untried"
    lines = _lines(failed, count)
    evidence = 0.0
    for ok in met[:PROBE_CAP]:
        evidence += lines.per_met if ok else lines.per_missed
        if evidence >= lines.raise_at - TOUCH:
            return "restored"
        if evidence <= lines.ease_at + TOUCH:
            return "not restored"
    return "open" if len(met) < PROBE_CAP else "not restored"


def _lines(failed: Step, count: int) -> Lines:
    each = WRONG / max(1, count - 1)
    return sprt_lines(ready=failed.ready, not_ready=failed.not_ready, false_raise=each, missed_raise=MISSED)


def probe_risks(failed: Step, count: int) -> tuple[float, float]:
    """The exact chance to name a wrong criterion of so many, and to miss the right one's probe. [-]

    Wrong: at least one of the other probes is taken for restored though the dog stands at ``not_ready`` in
    all of them, the right one being probed last. Missed: a dog at ``ready`` is not seen to be restored.
    """
    each = _restored(_lines(failed, count), failed.not_ready)
    return 1 - (1 - each) ** max(0, count - 1), 1 - _restored(_lines(failed, count), failed.ready)


@lru_cache(maxsize=256)
def _restored(lines: Lines, rate: float) -> float:
    """The chance that a probe reaches the upper line within its cap, rep by rep and exactly."""
    spread, restored = {0: 1.0}, 0.0
    for reps in range(1, PROBE_CAP + 1):
        after: dict[int, float] = {}
        for met, chance in spread.items():
            for more, part in ((1, rate), (0, 1 - rate)):
                if lines.raises(met + more, reps):
                    restored += chance * part
                elif not lines.eases(met + more, reps):
                    after[met + more] = after.get(met + more, 0.0) + chance * part
        spread = after
    return restored


def way_back(failed: Step, criterion: str, steps: dict[str, Step], programme: Programme) -> tuple[Step, ...]:
    """The steps from a restored probe back to the failed step, easing that criterion alone.

    Where there is room the criterion is raised half way first; where there is none (a hand is here or there)
    it is raised whole, with shorter holds.
    """
    half = half_way(failed, criterion, getattr(steps[criterion], criterion))
    if half is not None:
        return (with_eased(failed, criterion, half), failed)
    shorter = easier_value(failed, "ask_s", programme) if criterion != "ask_s" else None
    if shorter is not None:
        return (own_or_eased(with_eased(failed, "ask_s", shorter), programme), failed)
    return (failed,)


def half_way(failed: Step, criterion: str, eased: Any) -> Any | None:
    """A value half way between the eased one and the failed one; None where there is none between."""
    full = getattr(failed, criterion)
    if criterion == "ask_s":
        low, high = round((eased[0] + full[0]) / 2, 1), round((eased[1] + full[1]) / 2, 1)
        return (low, high) if eased[1] < high < full[1] else None
    if criterion in ("distance_m", "blanks"):
        return round((eased + full) / 2, 2)
    if criterion in ("disturbance", "boxes", "distractors") and full - eased > 1:
        return (eased + full) // 2
    return None


def all_eased(failed: Step, probes: Sequence[Probe], programme: Programme) -> Step:
    """The failed step with every suspect eased: where to begin again when none alone explains the fail."""
    step = failed
    for probe in probes:
        value = easier_value(step, probe.criterion, programme)
        step = step if value is None else with_eased(step, probe.criterion, value)
    return own_or_eased(step, programme)
