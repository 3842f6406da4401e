"""How often an alarm goes by luck where the reps of a session resemble each other.

Conventions
-----------
Each session has a rate of its own, drawn from a beta law with the given mean and intra-session correlation;
its reps do not depend on each other otherwise. The height of the sum lives on a grid of ``CELLS`` steps up to
the line, a rep that lands between two of them is shared out to both; the beta law is summed over ``NODES``
points. At a correlation of 0 it meets `nares.decide.progress.relapse.reps_to_alarm` to 1 in 20, on the short
side.
"""

from functools import lru_cache
from math import log

import numpy as np
import numpy.typing as npt

from nares.base.errors import OutOfRange

CELLS = 60
NODES = 16
HARDLY_ALIKE = 0.002
"""Below this correlation sessions are taken to share one rate. [-]"""

LONGEST_SESSION = 40

Matrix = npt.NDArray[np.float64]


@lru_cache(maxsize=64)
def uneven_reps_to_alarm(
    rate: float, *, good: float, bad: float, line: float, alike: float, session_reps: int
) -> float:
    """Average number of reps to an alarm where sessions differ. [count]

    Args:
        rate: The dog's share of reps met over all sessions. [-]
        good: As in `nares.decide.progress.relapse.relapse_watch`. [-]
        bad: As in `nares.decide.progress.relapse.relapse_watch`. [-]
        line: Height at which the alarm goes. [natural logarithm]
        alike: How alike the reps of one session are. [-]
        session_reps: Reps of a session at the step; more than 40 count as 40. [count]

    Raises:
        OutOfRange: If a share or a count cannot be.
    """
    if not (0 < bad < good < 1 and 0 < rate < 1 and line > 0 and 0 <= alike < 1 and session_reps >= 1):
        raise OutOfRange(
            f"A rate of {rate:g} with sessions of {session_reps} reps alike by {alike:g} cannot be. "
            "Give shares between 0 and 1 and at least one rep a session."
        )
    up, down = log((1 - bad) / (1 - good)), log(good / bad)
    raised, lowered = _moved(up, line), _moved(-down, line)
    through = np.zeros((CELLS, CELLS))
    spent = np.zeros(CELLS)
    for share, part in zip(*_rates(rate, alike), strict=True):
        one_rep = share * lowered + (1 - share) * raised
        alive = np.eye(CELLS)
        for _ in range(min(session_reps, LONGEST_SESSION)):
            spent += part * alive.sum(axis=1)
            alive = alive @ one_rep
        through += part * alive
    reps = np.linalg.solve(np.eye(CELLS) - through, spent)
    return float(reps[0])


def _moved(by: float, line: float) -> Matrix:
    """Where a height of each cell goes with one rep; what reaches the line is lost."""
    step = line / CELLS
    to = np.maximum(np.arange(CELLS) + by / step, 0.0)
    below = np.floor(to).astype(int)
    above_part = to - below
    moved = np.zeros((CELLS, CELLS))
    for cell in range(CELLS):
        for target, part in ((below[cell], 1 - above_part[cell]), (below[cell] + 1, above_part[cell])):
            if target < CELLS:
                moved[cell, target] += part
    return moved


def _rates(rate: float, alike: float) -> tuple[Matrix, Matrix]:
    """Rates of sessions, and how often each: points and weights that stand for the beta law."""
    from scipy.special import roots_jacobi

    if alike < HARDLY_ALIKE:
        return np.array([rate]), np.array([1.0])
    size = (1 - alike) / alike
    points, weights = roots_jacobi(NODES, (1 - rate) * size - 1, rate * size - 1)
    return (points + 1) / 2, weights / weights.sum()
