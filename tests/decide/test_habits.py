"""Rules of thumb against every path written out, closed forms, and the step test's own chances."""

from itertools import product

import pytest

from nares.base.errors import OutOfRange
from nares.decide import operating_characteristics, step_lines
from nares.decide.calling.habits import HABITS, Habit, habit_characteristics, habit_raises, lines_raise


def raised_at(path: tuple[int, ...], met: int, window: int, times: int) -> int | None:
    """Go through a path by hand: where the rule has been content so many times, counting afresh."""
    begun = content = 0
    for number in range(1, len(path) + 1):
        last = path[max(begun, number - window) : number]
        if len(last) == window and sum(last) >= met:
            content, begun = content + 1, number
            if content == times:
                return number
    return None


@pytest.mark.parametrize(("met", "window", "times"), [(3, 4, 1), (3, 3, 1), (2, 3, 2), (4, 5, 2)])
def test_chances_add_up_what_every_path_does(met: int, window: int, times: int) -> None:
    rates = [0.3, 0.6, 0.9, 0.5, 0.7, 0.8, 0.4, 0.6, 0.9, 0.75, 0.5]
    wanted = [0.0] * len(rates)
    for path in product((0, 1), repeat=len(rates)):
        at = raised_at(path, met, window, times)
        if at is not None:
            chance = 1.0
            for value, rate in zip(path, rates, strict=True):
                chance *= rate if value else 1 - rate
            wanted[at - 1] += chance
    assert habit_raises(Habit("by hand", met, window, times), rates) == pytest.approx(wanted)


def test_five_in_a_row_of_a_fair_coin_take_62_and_show_in_20_once_in_four() -> None:
    """The mean is (1 - p^r) / (q p^r), as textbooks on runs have it; 0.24987 counts runs of 5 in 20."""
    five = Habit("5 in a row", 5, 5)
    chances = habit_raises(five, [0.5] * 3000)
    assert sum(n * chance for n, chance in enumerate(chances, start=1)) == pytest.approx(62, abs=1e-6)
    assert sum(chances[:20]) == pytest.approx(0.24987, abs=0.000005)


@pytest.mark.parametrize(
    ("place", "at_60", "at_85"), [(0, 0.7679, 0.9999), (1, 0.7578, 0.9995), (2, 0.0536, 0.9079)]
)
def test_what_usual_habits_do_within_forty_reps(place: int, at_60: float, at_85: float) -> None:
    """Figures of an independent recursion over whole windows."""
    low, high = habit_characteristics(HABITS[place], [0.60, 0.85])
    assert (low.to_raise, high.to_raise) == pytest.approx((at_60, at_85), abs=0.00005)
    assert low.to_raise + low.undecided == pytest.approx(1)


def test_the_first_run_of_the_step_test_raises_as_its_characteristics_say() -> None:
    """Within the reps of one run no second one can raise, so a rate of 0 after it leaves the first alone."""
    (stated,) = operating_characteristics([0.85], cap=8)
    chances = lines_raise(step_lines(cap=8), [0.85] * 8)
    assert sum(chances) == pytest.approx(stated.to_raise)


def test_after_an_ease_the_next_run_may_raise() -> None:
    path = [0.0, 0.0, *[1.0] * 8]
    assert lines_raise(step_lines(), path) == [0.0] * 9 + [1.0]


@pytest.mark.parametrize("habit", [Habit("none", 0, 5), Habit("more", 6, 5), Habit("long", 9, 13)])
def test_a_habit_that_cannot_be_followed_is_refused(habit: Habit) -> None:
    with pytest.raises(OutOfRange, match=r"cannot be followed\. Give a window of up to 12 reps"):
        habit_raises(habit, [0.5])
