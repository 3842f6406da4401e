"""Which rule raises whom: habits, Wald's test and the step test, over constant, learning and relapsing dogs.

    python benchmarks/rules.py

Every figure is exact: a recursion over what the rule remembers, no drawing. A false raise is one at a rep at
which the dog's true rate lies below 0.70; a missed raise is none within the reps given. After an ease or an
undecided end the trainer goes on at the same step, and a new run begins. Learning dogs start at 0.40 and
rise along a logistic curve to 0.95; relapsing ones hold 0.90 and fall to 0.55 after some reps.
"""

from collections.abc import Callable, Sequence
from functools import partial
from math import exp

from nares.decide import characteristics_of, step_lines, wald_lines
from nares.decide.calling.habits import HABITS, habit_characteristics, habit_raises, lines_raise

WALD = wald_lines(ready=0.85, not_ready=0.60, false_raise=0.05, missed_raise=0.20)
OURS = step_lines()
READY = 0.70
LONG = 80

Raises = Callable[[Sequence[float]], list[float]]
RULES: dict[str, Raises] = {
    **{habit.name: partial(habit_raises, habit) for habit in HABITS},
    "Wald's test": partial(lines_raise, WALD),
    "the step test": partial(lines_raise, OURS),
}


def learning(half_way: int, reps_to_learn: float) -> list[float]:
    """A rate that passes from 0.40 to 0.95, half way at a rep."""
    return [0.40 + 0.55 / (1 + exp(-(n - half_way) / reps_to_learn)) for n in range(1, LONG + 1)]


def relapsing(good: int) -> list[float]:
    """A rate of 0.90 for some reps and of 0.55 ever after."""
    return [0.90 if n <= good else 0.55 for n in range(1, LONG + 1)]


def constant_dogs() -> None:
    """One run, at most 40 reps."""
    rates = [0.60, 0.70, 0.85, 0.90]
    print("Constant dogs, one run of at most 40 reps (exact)")
    print(f"{'':18} false raise at   missed raise at   undecided at   mean reps at")
    print(f"{'':18} 0.60    0.70     0.85    0.90      0.85           0.60    0.85    0.90")
    rows = {habit.name: habit_characteristics(habit, rates) for habit in HABITS}
    rows |= {"Wald's test": characteristics_of(WALD, rates), "the step test": characteristics_of(OURS, rates)}
    for name, (a, b, c, d) in rows.items():
        print(
            f"{name:18} {a.to_raise:.4f}  {b.to_raise:.4f}   {1 - c.to_raise:.4f}  {1 - d.to_raise:.4f}    "
            f"{c.undecided:.4f}         {a.reps:5.2f}   {c.reps:5.2f}   {d.reps:5.2f}"
        )


def moving_dogs() -> None:
    """Runs one after the other, up to 80 reps."""
    kinds = {
        "learning fast (half way at rep 12)": learning(12, 4.0),
        "learning (half way at rep 25)": learning(25, 7.0),
        "learning slowly (half way at rep 50)": learning(50, 10.0),
        "relapsing after 6 good reps": relapsing(6),
        "relapsing after 12 good reps": relapsing(12),
    }
    for kind, rates in kinds.items():
        first = next((n for n, rate in enumerate(rates, start=1) if rate >= READY), None)
        print(f"\n{kind}: {f'at {READY:.2f} from rep {first}' if first else 'never ready'}, 80 reps (exact)")
        print(f"{'':18} raised too early   missed   mean rep of a raise")
        for name, raises in RULES.items():
            chances = raises(rates)
            early = sum(c for c, rate in zip(chances, rates, strict=True) if rate < READY)
            total = sum(chances)
            mean = sum(n * c for n, c in enumerate(chances, start=1)) / total
            print(f"{name:18} {early:.4f}             {1 - total:.4f}   {mean:5.1f}")


if __name__ == "__main__":
    constant_dogs()
    moving_dogs()
