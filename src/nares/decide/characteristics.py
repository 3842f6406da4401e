"""What the step test does to dogs of a known rate, exactly.

Conventions
-----------
Forward recursion over (reps, met): the chance of every undecided count after each rep, no simulation and
no approximation. It describes one run of evidence, fed a rep at a time until it leaves "stay", for reps
that do not depend on each other at a constant rate. Chances and rates run from 0 to 1.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from nares.base.errors import OutOfRange
from nares.decide.sprt import Lines, sprt_lines

LEFT_OVER = 1e-12
"""An uncapped run is followed until less than this chance is still undecided."""


@dataclass(frozen=True, slots=True)
class Characteristics:
    """What one run does to a dog that really meets ``rate`` of its reps.

    ``to_raise``, ``to_ease``, ``undecided``: chances that add up to 1. ``reps``: expected reps used.
    """

    rate: float
    to_raise: float
    to_ease: float
    undecided: float
    reps: float


def operating_characteristics(
    rates: Sequence[float],
    *,
    ready: float = 0.85,
    not_ready: float = 0.60,
    false_raise: float = 0.05,
    missed_raise: float = 0.20,
    cap: int | None = None,
) -> tuple[Characteristics, ...]:
    """Compute the chance to raise, to ease and to stay undecided, and the reps used, for true rates.

    Args:
        rates: True shares of reps met to look at. [-]
        ready: As in `nares.decide.step_call`. [-]
        not_ready: As in `nares.decide.step_call`. [-]
        false_raise: As in `nares.decide.step_call`. [-]
        missed_raise: As in `nares.decide.step_call`. [-]
        cap: Reps after which the run is given up, or None to follow it to its end. [count]

    Raises:
        OutOfRange: If a rate, a level or a risk cannot be.

    Examples:
        >>> unready, ready = operating_characteristics([0.60, 0.85])
        >>> f"{unready.to_raise:.4f} {ready.to_raise:.4f} {ready.reps:.2f}"
        '0.0484 0.8596 14.85'
    """
    lines = sprt_lines(ready=ready, not_ready=not_ready, false_raise=false_raise, missed_raise=missed_raise)
    return tuple(_follow(lines, rate, cap) for rate in rates)


def ladder_risk(raises: int, *, each: float) -> float:
    """Chance of at least one false raise over a ladder of steps a dog is not ready for. [-]

    Examples:
        >>> round(ladder_risk(15, each=0.05), 3)
        0.537
    """
    if raises < 0 or not 0 <= each <= 1:
        raise OutOfRange(
            f"{raises} raises at a risk of {each:g} each cannot be. "
            "Give a count from 0 and a risk from 0 to 1."
        )
    return float(1 - (1 - each) ** raises)


def _follow(lines: Lines, rate: float, cap: int | None) -> Characteristics:
    if not 0 <= rate <= 1:
        raise OutOfRange(f"A true rate of {rate:g} cannot be. Give a share from 0 to 1.")
    alive = {0: 1.0}
    to_raise = to_ease = expected = 0.0
    reps = 0
    while (left := sum(alive.values())) > LEFT_OVER and (cap is None or reps < cap):
        expected += left
        reps += 1
        raised, eased, alive = _one_rep(lines, alive, rate, reps)
        to_raise += raised
        to_ease += eased
    return Characteristics(rate, to_raise, to_ease, sum(alive.values()), expected)


def _one_rep(
    lines: Lines, alive: dict[int, float], rate: float, reps: int
) -> tuple[float, float, dict[int, float]]:
    """Spread every undecided count over met and missed, and take out what has reached a line."""
    after: dict[int, float] = {}
    for met, chance in alive.items():
        after[met + 1] = after.get(met + 1, 0.0) + chance * rate
        after[met] = after.get(met, 0.0) + chance * (1 - rate)
    raised = sum(chance for met, chance in after.items() if lines.raises(met, reps))
    eased = sum(chance for met, chance in after.items() if lines.eases(met, reps))
    still = {m: c for m, c in after.items() if not (lines.raises(m, reps) or lines.eases(m, reps))}
    return raised, eased, still
