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

from nares.base.errors import OutOfRange
from nares.decide.calling.characteristics import Characteristics
from nares.decide.calling.lines import CAP, StepLines

Word = tuple[int, ...]


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
    found = []
    for rate in rates:
        if not 0 <= rate <= 1:
            raise OutOfRange(f"A true rate of {rate:g} cannot be. Give a share from 0 to 1.")
        raised = habit_raises(habit, [rate] * cap)
        left = 1 - sum(raised)
        reps = sum(number * chance for number, chance in enumerate(raised, start=1)) + cap * left
        found.append(Characteristics(float(rate), sum(raised), 0.0, left, reps))
    return tuple(found)


def habit_raises(habit: Habit, rates: Sequence[float]) -> list[float]:
    """The chance that a habit raises at each rep, when rep i is met with chance ``rates[i]``. [-]"""
    if not (1 <= habit.met <= habit.window <= 12 and habit.times >= 1):
        raise OutOfRange(
            f"{habit.met} of {habit.window}, {habit.times} times over, cannot be followed. "
            "Give a window of up to 12 reps and a count within it."
        )
    alive: dict[tuple[int, Word], float] = {(0, ()): 1.0}
    raised = []
    for rate in rates:
        now, after = 0.0, dict[tuple[int, Word], float]()
        for (done, word), chance in alive.items():
            for value, weight in ((1, rate), (0, 1 - rate)):
                longer = (*word, value)[-habit.window :]
                content = sum(longer) >= habit.met and len(longer) == habit.window
                state = (done + 1, ()) if content else (done, longer)
                if state[0] == habit.times:
                    now += chance * weight
                else:
                    after[state] = after.get(state, 0.0) + chance * weight
        raised.append(now)
        alive = after
    return raised


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
