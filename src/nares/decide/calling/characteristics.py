"""What the step test does to dogs of a known rate, exactly.

Conventions
-----------
Forward recursion over (reps, met): the chance of every undecided count after each rep, no simulation and no
approximation. It describes one run of evidence, fed a rep at a time until it is decided or reaches its cap.
Chances and rates run from 0 to 1. Reps do not depend on each other and the rate stays as it is, except in
`uneven_characteristics`, where a dog has better and worse sessions.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nares.base.errors import OutOfRange
from nares.decide.calling.lines import CAP, StepLines, step_lines

Floats = NDArray[np.float64]

NODES = 24
"""Points at which the rate of a session is taken for an average over sessions. [count]"""


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
    cap: int = CAP,
) -> tuple[Characteristics, ...]:
    """Compute the chance to raise, to ease and to stay undecided, and the reps used, for true rates.

    Args:
        rates: True shares of reps met to look at. [-]
        ready: As in `nares.decide.step_lines`. [-]
        not_ready: As in `nares.decide.step_lines`. [-]
        false_raise: As in `nares.decide.step_lines`. [-]
        missed_raise: As in `nares.decide.step_lines`. [-]
        cap: Reps after which the run ends undecided. [count]

    Raises:
        OutOfRange: If a rate, a level or a risk cannot be.

    Examples:
        >>> unready, ready = operating_characteristics([0.60, 0.85])
        >>> f"{unready.to_raise:.4f} {unready.reps:.2f} {ready.to_raise:.4f} {ready.reps:.2f}"
        '0.0490 7.77 0.8020 13.15'
    """
    lines = step_lines(
        ready=ready, not_ready=not_ready, false_raise=false_raise, missed_raise=missed_raise, cap=cap
    )
    return characteristics_of(lines, rates)


def characteristics_of(
    lines: StepLines, rates: Sequence[float], *, reps: int = 0, met: int = 0
) -> tuple[Characteristics, ...]:
    """The same for lines at hand, from the start of a run or from a count it has reached undecided.

    Args:
        lines: The lines of the test.
        rates: True shares of reps met to look at. [-]
        reps: Reps the run has had already. [count]
        met: Of these, met. [count]

    Raises:
        OutOfRange: If a rate cannot be, or the count is not one of an open run.
    """
    wrong = next((rate for rate in rates if not 0 <= rate <= 1), None)
    if wrong is not None:
        raise OutOfRange(f"A true rate of {wrong:g} cannot be. Give a share from 0 to 1.")
    if not (0 <= met <= reps <= lines.cap):
        raise OutOfRange(
            f"{met} of {reps} is no count of a run of at most {lines.cap} reps. Give an open run."
        )
    rate = np.asarray(rates, dtype=np.float64)
    alive = np.zeros((len(rates), lines.cap + 2))
    alive[:, met] = 1.0
    run = _Run(lines, reps, alive)
    run.go(rate, lines.cap - reps)
    left = run.alive.sum(axis=1)
    return tuple(
        Characteristics(float(r), *(float(v) for v in row))
        for r, row in zip(rate, np.stack([run.raised, run.eased, left, run.used], axis=1), strict=True)
    )


def uneven_characteristics(
    rate: float, *, lines: StepLines, correlation: float, reps_per_session: int
) -> Characteristics:
    """The same for a dog whose sessions differ: each session has a rate of its own around ``rate``.

    Args:
        rate: Share of reps met over all sessions. [-]
        lines: The lines of the test.
        correlation: How much reps of one session resemble each other (intra-session correlation); the
            rates of sessions follow a beta law with this. [-]
        reps_per_session: Reps of each session; the run goes on over sessions. [count]

    Raises:
        OutOfRange: If the rate, the correlation or the reps cannot be.

    Examples:
        >>> from nares.decide import step_lines
        >>> even = uneven_characteristics(0.6, lines=step_lines(), correlation=1e-6, reps_per_session=10)
        >>> f"{even.to_raise:.3f}"
        '0.049'
    """
    if not (0 < rate < 1 and 0 < correlation < 1 and reps_per_session >= 1):
        raise OutOfRange(
            f"A rate of {rate:g} with a correlation of {correlation:g} over sessions of {reps_per_session} "
            "reps cannot be. Give shares between 0 and 1 and at least one rep a session."
        )
    rates, weights = session_rates(rate, correlation)
    alive = np.zeros((len(rates), lines.cap + 2))
    alive[:, 0] = 1.0
    run = _Run(lines, 0, alive)
    while run.reps < lines.cap:
        run.go(rates, min(reps_per_session, lines.cap - run.reps))
        run.alive[:] = weights @ run.alive  # the next session's rate does not depend on this one's
    raised, eased, used = (float(weights @ one) for one in (run.raised, run.eased, run.used))
    return Characteristics(rate, raised, eased, float(run.alive[0].sum()), used)


def session_rates(rate: float, correlation: float) -> tuple[Floats, Floats]:
    """Rates of sessions and their weights: equally likely slices of a beta law, each by its middle.

    The middles are moved so that their mean is ``rate`` exactly.
    """
    from scipy.special import betaincinv

    size = (1 - correlation) / correlation
    places = (np.arange(NODES) + 0.5) / NODES
    rates = np.asarray(betaincinv(rate * size, (1 - rate) * size, places), dtype=np.float64)
    rates = np.clip(rates + (rate - rates.mean()), 0.0, 1.0)
    return rates, np.full(NODES, 1 / NODES)


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


def risk_for_ladder(raises: int, *, over: float) -> float:
    """The risk of each raise that keeps the chance of one false raise or more over a ladder to ``over``. [-]

    Examples:
        >>> round(risk_for_ladder(15, over=0.20), 4)
        0.0148
    """
    if raises < 1 or not 0 < over < 1:
        raise OutOfRange(
            f"A risk of {over:g} over {raises} raises cannot be shared out. "
            "Give at least one raise and a risk between 0 and 1."
        )
    return float(1 - (1 - over) ** (1 / raises))


class _Run:
    """Chances of every open count of some dogs, shape (dogs, met), and what has left it so far."""

    def __init__(self, lines: StepLines, reps: int, alive: Floats) -> None:
        self.lines, self.reps, self.alive = lines, reps, alive
        self.raised, self.eased, self.used = (np.zeros(len(alive)) for _ in range(3))

    def go(self, rate: Floats, reps: int) -> None:
        """Feed so many reps, met at these rates, shape (dogs,)."""
        met = np.arange(self.alive.shape[1])
        for _ in range(reps):
            self.used += self.alive.sum(axis=1)
            self.reps += 1
            after = self.alive * (1 - rate[:, None])
            after[:, 1:] += self.alive[:, :-1] * rate[:, None]
            up = met >= self.lines.raise_at[self.reps - 1]
            down = met <= self.lines.ease_at[self.reps - 1]
            self.raised += after[:, up].sum(axis=1)
            self.eased += after[:, down].sum(axis=1)
            after[:, up | down] = 0.0
            self.alive = after
