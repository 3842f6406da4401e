"""The two lines of the step test, in counts: at so many reps, raise from so many met, ease up to so many.

Conventions
-----------
A *run* is fed one rep at a time. After ``n`` reps with ``k`` met it raises when ``k >= raise_at[n - 1]``,
eases when ``k <= ease_at[n - 1]``, and otherwise goes on until ``cap`` reps, where it ends undecided. A count
that cannot be reached (9 of 8, -1 of 2) means that this answer cannot be given at that rep.

Three ways to the lines: found by backward induction (`nares.decide.calling.induction`) and shipped for the
usual levels; found the same way on the spot, and remembered; Wald's, where the two rates lie so close that
hundreds of reps are needed and the best lines are hardly better than his. ``how`` says which.
"""

import json
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import files

from nares.base.errors import OutOfRange
from nares.decide.calling.induction import fixed_reps, found_lines
from nares.decide.calling.sprt import sprt_lines

CAP = 40
"""Reps of one run after which an undecided step should be changed."""

MOST_REPS = 500
"""The longest run that may be asked for. [count]"""

TOO_LONG = 70
"""Reps of the fixed test of the same risks above which Wald's lines are taken as they are. [count]"""


@dataclass(frozen=True, slots=True)
class StepLines:
    """Counts that raise and counts that ease, for every rep of a run from the first to the cap.

    ``how``: "optimal" or "wald". The other fields are what the lines were made for; see `step_lines`.
    """

    ready: float
    not_ready: float
    false_raise: float
    missed_raise: float
    cap: int
    raise_at: tuple[int, ...]
    ease_at: tuple[int, ...]
    how: str

    def raises(self, met: int, reps: int) -> bool:
        """Whether a run that went on until now raises at this count."""
        return met >= self.raise_at[reps - 1]

    def eases(self, met: int, reps: int) -> bool:
        """Whether a run that went on until now eases at this count."""
        return met <= self.ease_at[reps - 1]


def step_lines(
    *,
    ready: float = 0.85,
    not_ready: float = 0.60,
    false_raise: float = 0.05,
    missed_raise: float = 0.20,
    cap: int = CAP,
) -> StepLines:
    """Lay the lines that keep both risks with the fewest reps, half for each of the two dogs.

    Args:
        ready: Share of reps met by a dog that should be raised. [-]
        not_ready: Share met by a dog that must not be raised; below ``ready``. [-]
        false_raise: Accepted chance to raise a dog at ``not_ready``; kept exactly, cap and all. [-]
        missed_raise: Accepted chance not to raise a dog at ``ready``. Kept too unless the cap is too short
            for it, see `nares.decide.operating_characteristics`. [-]
        cap: Reps after which the run ends undecided. [count]

    Raises:
        OutOfRange: If the rates, the risks or the cap cannot be.

    Sources:
        wald-1947: the lines taken where rates lie close together.

    Examples:
        >>> lines = step_lines()
        >>> lines.raises(7, 7), lines.raises(8, 8), lines.eases(0, 2)
        (False, True, True)
    """
    if cap != int(cap) or not 1 <= cap <= MOST_REPS:
        raise OutOfRange(
            f"A cap of {cap} reps cannot be. Give a whole number from 1 to {MOST_REPS}, like {CAP}."
        )
    return _laid(float(ready), float(not_ready), float(false_raise), float(missed_raise), int(cap))


@lru_cache(maxsize=256)
def _laid(ready: float, not_ready: float, false_raise: float, missed_raise: float, cap: int) -> StepLines:
    levels = (ready, not_ready, false_raise, missed_raise, cap)
    shipped = _shipped().get(levels)
    if shipped is not None:
        return StepLines(*levels, *shipped, "optimal")
    wald = wald_lines(
        ready=ready, not_ready=not_ready, false_raise=false_raise, missed_raise=missed_raise, cap=cap
    )
    wanted = fixed_reps(ready=ready, not_ready=not_ready, false_raise=false_raise, missed_raise=missed_raise)
    if wanted > TOO_LONG:
        return wald
    found = found_lines(
        ready=ready, not_ready=not_ready, false_raise=false_raise, missed_raise=missed_raise, cap=cap
    )
    return wald if found is None else StepLines(*levels, *found, "optimal")


def wald_lines(
    *, ready: float, not_ready: float, false_raise: float, missed_raise: float, cap: int = CAP
) -> StepLines:
    """Wald's lines in counts, cut off at a cap.

    Raises:
        OutOfRange: If the rates or the risks cannot be.

    Sources:
        wald-1947: the sequential probability ratio test.
    """
    wald = sprt_lines(ready=ready, not_ready=not_ready, false_raise=false_raise, missed_raise=missed_raise)
    up, down = [], []
    for reps in range(1, cap + 1):
        up.append(next((met for met in range(reps + 1) if wald.raises(met, reps)), reps + 1))
        down.append(next((met for met in range(reps, -1, -1) if wald.eases(met, reps)), -1))
    return StepLines(ready, not_ready, false_raise, missed_raise, cap, tuple(up), tuple(down), "wald")


@cache
def _shipped() -> dict[tuple[float, float, float, float, int], tuple[tuple[int, ...], tuple[int, ...]]]:
    """Lines that come with nares, by their levels; ``tools/lines.py`` writes them."""
    text = files("nares.decide.calling").joinpath("lines.json").read_text(encoding="utf-8")
    return {
        (one["ready"], one["not_ready"], one["false_raise"], one["missed_raise"], one["cap"]): (
            tuple(one["raise_at"]),
            tuple(one["ease_at"]),
        )
        for one in json.loads(text)
    }
