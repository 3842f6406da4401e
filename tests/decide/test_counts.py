"""The lines of the step test told in counts, held against every path that could be run."""

from itertools import product

import pytest

from nares.decide import step_lines
from nares.decide.calling.counts import ease_counts, raise_counts
from nares.decide.calling.lines import StepLines

SHORT = step_lines(cap=12)


def ends(lines: StepLines) -> tuple[set[tuple[int, int]], set[tuple[int, int]]]:
    """Every count at which some run of reps raises, and eases, found by running them all."""
    up, down = set(), set()
    for path in product((0, 1), repeat=lines.cap):
        met = 0
        for reps, one in enumerate(path, start=1):
            met += one
            if lines.raises(met, reps):
                up.add((met, reps))
                break
            if lines.eases(met, reps):
                down.add((met, reps))
                break
    return up, down


@pytest.mark.parametrize(
    "lines", [SHORT, step_lines(ready=0.9, not_ready=0.5, cap=12)], ids=["usual", "wide"]
)
def test_the_counts_told_are_the_first_at_which_a_run_ends(lines: StepLines) -> None:
    up, down = ends(lines)
    for misses in {reps - met for met, reps in up}:
        first = min((reps, met) for met, reps in up if reps - met == misses)
        assert (first[1], first[0]) in raise_counts(lines)
    for met in {met for met, _ in down}:
        assert (met, min(reps for k, reps in down if k == met)) in ease_counts(lines)


def test_lines_that_never_raise_say_so() -> None:
    never = StepLines(0.85, 0.6, 0.05, 0.2, 3, (2, 3, 4), (-1, -1, -1), "wald")
    assert (raise_counts(never), ease_counts(never)) == ((), ())


def test_a_line_that_drops_by_two_is_told_for_every_number_of_misses() -> None:
    lines = StepLines(0.85, 0.6, 0.05, 0.2, 3, (2, 3, 2), (-1, -1, 0), "wald")
    assert (raise_counts(lines), ease_counts(lines)) == (((3, 3), (2, 3)), ((0, 3),))


def test_more_misses_take_more_reps() -> None:
    told = raise_counts(step_lines())
    assert [reps - met for met, reps in told] == list(range(len(told)))
    assert [reps for _, reps in told] == sorted({reps for _, reps in told})
