"""What usual rules of raising do to dogs of a known rate: exactly, to set beside the step test.

Conventions
-----------
A *habit* is a rule that trainers use by heart: so many of the last so many, or so many in a row. It raises
or goes on; it never eases. What it remembers of a dog is a short word (the reps in its window, how often it
was content), so its chances follow from a recursion over these words, for a rate that may change from rep to
rep.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nares.base.errors import OutOfRange
from nares.decide.calling.characteristics import Characteristics
from nares.decide.calling.lines import CAP, StepLines

Floats = NDArray[np.float64]

EMPTY = 1
"""The number of the word without a rep, with which counting begins."""


@dataclass(frozen=True, slots=True)
class Habit:
    """Raise when ``met`` of the last ``window`` reps were met, ``times`` over, counting afresh in between."""

    name: str
    met: int
    window: int
    times: int = 1


HABITS = (
    Habit("8 of the last 10", 8, 10),
    Habit("5 in a row", 5, 5),
    Habit("9 of 10, twice", 9, 10, times=2),
)


def habit_characteristics(
    habit: Habit, rates: Sequence[float], *, cap: int = CAP
) -> tuple[Characteristics, ...]:
    """What a habit does to dogs of constant rates within ``cap`` reps.

    ``undecided`` is the chance that it has not raised by then; a habit never eases.

    Examples:
        >>> (found,) = habit_characteristics(HABITS[0], [0.60])
        >>> f"{found.to_raise:.4f} {found.reps:.1f}"
        '0.7679 24.4'
    """
    wrong = next((rate for rate in rates if not 0 <= rate <= 1), None)
    if wrong is not None:
        raise OutOfRange(f"A true rate of {wrong:g} cannot be. Give a share from 0 to 1.")
    raised = _raised(habit, np.tile(np.asarray(rates, dtype=np.float64), (cap, 1)))
    to_raise = raised.sum(axis=0)
    reps = np.arange(1, cap + 1) @ raised + cap * (1 - to_raise)
    return tuple(
        Characteristics(float(rate), float(up), 0.0, float(1 - up), float(used))
        for rate, up, used in zip(rates, to_raise, reps, strict=True)
    )


def habit_raises(habit: Habit, rates: Sequence[float]) -> list[float]:
    """The chance that a habit raises at each rep, when rep i is met with chance ``rates[i]``. [-]"""
    return [float(chance) for chance in _raised(habit, np.asarray(rates, dtype=np.float64)[:, None])[:, 0]]


def _raised(habit: Habit, rates: Floats) -> Floats:
    """The chance that a habit raises at each rep, for many dogs at once; rates and answer (reps, dogs)."""
    if not (1 <= habit.met <= habit.window <= 12 and habit.times >= 1):
        raise OutOfRange(
            f"{habit.met} of {habit.window}, {habit.times} times over, cannot be followed. "
            "Give a window of up to 12 reps and a count within it."
        )
    words = 2 ** (habit.window + 1)
    before, is_met, content = _words(habit)
    alive = np.zeros((habit.times, words + 1, rates.shape[1]))  # the last row is the word nothing leads from
    alive[0, EMPTY] = 1.0
    raised = np.zeros(rates.shape)
    for rep, rate in enumerate(rates):
        now_content = np.zeros(rates.shape[1])
        for done in range(habit.times):
            after = alive[done][before].sum(axis=1) * np.where(is_met[:, None], rate, 1 - rate)
            leaves = after[content].sum(axis=0)
            after[content] = 0.0
            after[EMPTY] += now_content
            alive[done, :words] = after
            now_content = leaves
        raised[rep] = now_content
    return raised


def _words(habit: Habit) -> tuple[NDArray[np.int64], NDArray[np.bool_], NDArray[np.bool_]]:
    """For every word of reps: the words it may follow from, whether its last rep was met, whether it raises.

    A word is written as a number in binary, a one in front and a digit for each rep. Shape (words, 3), the
    last number standing for none; (words,); (words,).
    """
    full, words = 2**habit.window, 2 ** (habit.window + 1)
    before = np.full((words, 3), words, dtype=np.int64)
    for word in range(2, words):
        if word < full:
            before[word, 0] = word >> 1
        else:
            kept = (word - full) >> 1
            before[word] = (full | kept, full | kept | full >> 1, full >> 1 | kept)
    number = np.arange(words)
    count = np.array([int(word).bit_count() - 1 for word in range(words)])
    return before, number % 2 == 1, (number >= full) & (count >= habit.met)


def lines_raise(lines: StepLines, rates: Sequence[float]) -> list[float]:
    """The chance that the step test raises at each rep, run after run, when rates change from rep to rep. [-]

    After an ease or an undecided end the trainer goes on at the same step and a new run begins.
    """
    alive = {(0, 0): 1.0}
    raised = []
    for rate in rates:
        now, after = 0.0, dict[tuple[int, int], float]()
        for (reps, met), chance in alive.items():
            for value, weight in ((1, rate), (0, 1 - rate)):
                count = (reps + 1, met + value)
                if lines.raises(count[1], count[0]):
                    now += chance * weight
                    continue
                ends = lines.eases(count[1], count[0]) or count[0] == lines.cap
                state = (0, 0) if ends else count
                after[state] = after.get(state, 0.0) + chance * weight
        raised.append(now)
        alive = after
    return raised
