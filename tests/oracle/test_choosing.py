"""Chosen reps against listing every choice with exact whole-number determinants.

The factors at -1 and 1 and their determinants (256, 1024) were worked out for this program from the
definition in the e-Handbook, section 5.5.2.1, which was read and prints no such figures.
"""

import random
from fractions import Fraction
from itertools import combinations, combinations_with_replacement, product

import numpy as np
import pytest

from nares.base.errors import OutOfRange, Unknown
from nares.design.cues.cells import ban_of, cells_of, pays
from nares.design.cues.choosing import choose_reps, columns_of, efficiency, in_drawn_order

RUNS = [(1, *one) for one in product((-1, 1), repeat=3)]


class Chance:
    """Whole numbers from a generator of the tests."""

    def __init__(self, seed: int) -> None:
        self._drawn = random.Random(seed)

    def below(self, bound: int) -> int:
        return self._drawn.randrange(bound)


def exact_determinant(matrix: list[list[Fraction]]) -> Fraction:
    """By elimination in fractions."""
    rows, sign = [row[:] for row in matrix], 1
    found = Fraction(1)
    for k in range(len(rows)):
        pivot = next((r for r in range(k, len(rows)) if rows[r][k]), None)
        if pivot is None:
            return Fraction(0)
        if pivot != k:
            rows[k], rows[pivot], sign = rows[pivot], rows[k], -sign
        found *= rows[k][k]
        for r in range(k + 1, len(rows)):
            share = rows[r][k] / rows[k][k]
            rows[r] = [a - share * b for a, b in zip(rows[r], rows[k], strict=True)]
    return sign * found


def crossed(rows: list[tuple[int, ...]]) -> list[list[Fraction]]:
    size = len(rows[0])
    return [[Fraction(sum(row[a] * row[b] for row in rows)) for b in range(size)] for a in range(size)]


@pytest.mark.parametrize(("reps", "most", "worth"), [(4, 256, 1.0), (6, 1024, 0.9428)])
def test_the_best_of_eight_runs(reps: int, most: int, worth: float) -> None:
    listed = max(exact_determinant(crossed(list(one))) for one in combinations(RUNS, reps))
    assert listed == most
    candidates = np.array(RUNS, dtype=float)
    chosen = candidates[list(choose_reps(candidates, np.zeros((4, 4)), reps, Chance(1)))]
    assert np.linalg.det(chosen.T @ chosen) == pytest.approx(most)
    assert efficiency(chosen) == pytest.approx(worth, abs=5e-5)


@pytest.mark.parametrize("seed", range(12))
def test_the_chosen_reps_are_the_best_of_all_choices(seed: int) -> None:
    drawn = random.Random(seed)
    cues = drawn.choice([2, 3])
    cells = [(1, *one) for one in product((0, 1), repeat=cues)]
    logged = [drawn.choice(cells) for _ in range(drawn.choice([3, 6, 12]))]
    left_out = drawn.choice(cells)
    cells = [cell for cell in cells if cell != left_out]
    reps = drawn.choice([2, 3, 4])
    best = max(
        exact_determinant(crossed([*logged, *one])) for one in combinations_with_replacement(cells, reps)
    )
    so_far = np.array(logged, dtype=float)
    chosen = choose_reps(np.array(cells, dtype=float), so_far.T @ so_far, reps, Chance(seed))
    assert exact_determinant(crossed([*logged, *(cells[number] for number in chosen)])) == best


def test_rank_comes_before_the_determinant() -> None:
    """Two pairs tied and two reps: one rep for each new direction, none for what is known already."""
    candidates = columns_of([frozenset(x) for x in ("", "a", "b", "ab")], ("a", "b"))
    logged = 1000 * sum(np.outer(row, row) for row in candidates[[0, 3]])
    chosen = choose_reps(candidates, np.asarray(logged), 1, Chance(1))
    assert chosen[0] in (1, 2)


def test_every_order_is_as_likely() -> None:
    chance = Chance(5)
    seen: dict[tuple[int, ...], int] = {}
    for _ in range(6000):
        order = in_drawn_order((1, 2, 3), chance)
        seen[order] = seen.get(order, 0) + 1
    assert len(seen) == 6
    assert sum((count - 1000) ** 2 / 1000 for count in seen.values()) < 20.5  # chi-square, 5 degrees, 0.001


def test_cells_that_cannot_be_are_left_out() -> None:
    cells = cells_of(("target", "hand", "hand-in", "box:1", "box:2"), [frozenset({"box:1"})])
    assert frozenset({"hand-in", "box:1"}) not in cells
    assert not any({"box:1", "box:2"} <= cell for cell in cells)
    assert all({"box:1", "box:2"} & cell for cell in cells)
    assert len(cells) == 2 * 3 * 2
    assert [pays(cell) for cell in cells] == ["target" in cell for cell in cells]


def test_bans_hold_and_can_be_too_many() -> None:
    cells = cells_of(("target", "hand"), [], [ban_of("hand target")])
    assert frozenset({"target", "hand"}) not in cells
    assert len(cells) == 3
    alone = cells_of(("target", "hand"), [], [ban_of("hand !target")])
    assert set(alone) == {frozenset(), frozenset({"target"}), frozenset({"target", "hand"})}
    with pytest.raises(OutOfRange, match="leave no rep"):
        cells_of(("target",), [], [ban_of("target"), ban_of("!target")])
    with pytest.raises(Unknown, match="'rain' is not among"):
        cells_of(("target",), [], [ban_of("!rain")])
    with pytest.raises(OutOfRange, match="too many to look through"):
        cells_of([f"c{k}" for k in range(12)], [])


def test_what_nobody_can_set_is_in_no_cell_and_a_line_up_holds_one_thing_at_a_place() -> None:
    seen = [frozenset({"target", "position:1"}), frozenset({"distractor:tape", "position:2"})]
    cells = cells_of(("target", "residual", "distractor:tape"), seen)
    assert {frozenset(), frozenset({"target"}), frozenset({"distractor:tape"})} == set(cells)


def test_a_number_of_reps_that_cannot_be_is_refused() -> None:
    with pytest.raises(OutOfRange, match="0 reps cannot be planned"):
        choose_reps(np.eye(2), np.eye(2), 0, Chance(1))
