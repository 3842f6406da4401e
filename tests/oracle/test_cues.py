"""Effects, variance inflation, condition indices and tied sets against general-purpose routines."""

import numpy as np
import pytest
from tests.design.cue_tables import trials

from nares.design.cues.apart import apart, condition_indices, pair_of
from nares.design.cues.effects import effect_of
from nares.design.cues.strength import Parameters, band, course, equilibrium
from nares.design.cues.trials import counted

NAMES = ("target", "hand", "food", "box:1")


def drawn(seed: int, reps: int = 60) -> list[tuple[str, int]]:
    """A history in which cues go along with each other more or less."""
    chance = np.random.default_rng(seed)
    rows = []
    for _ in range(reps):
        there = ["target"] if chance.random() < 0.5 else []
        for name, tied in (("hand", 0.8), ("food", 0.3), ("box:1", 0.1)):
            follows = chance.random() < tied
            if ("target" in there) if follows else chance.random() < 0.5:
                there.append(name)
        rows.append((" ".join(there), int(chance.random() < 0.2 + 0.7 * ("target" in there))))
    return rows


def long_form(rows: list[tuple[str, int]]) -> tuple[np.ndarray, np.ndarray]:
    design = np.array([[1.0, *(name in cues.split() for name in NAMES)] for cues, _ in rows])
    return design, np.array([paid for _, paid in rows], dtype=float)


@pytest.mark.parametrize("seed", range(6))
def test_effects_and_variance_inflation_are_those_of_a_regression(seed: int) -> None:
    inflation = pytest.importorskip("statsmodels.stats.outliers_influence").variance_inflation_factor
    rows = drawn(seed)
    design, pay = long_form(rows)
    table = counted(trials(rows), NAMES)
    solved = np.linalg.solve(design.T @ design, design.T @ pay)
    for place, name in enumerate(NAMES, start=1):
        found = effect_of(table, name)
        assert found.effect == pytest.approx(solved[place])
        assert found.vif == pytest.approx(inflation(design, place))


@pytest.mark.parametrize("seed", range(6))
def test_phi_is_the_correlation_of_the_two_columns(seed: int) -> None:
    rows = drawn(seed)
    design, _ = long_form(rows)
    found = pair_of(counted(trials(rows), NAMES), "target", "hand").phi
    assert found == pytest.approx(np.corrcoef(design[:, 1], design[:, 2])[0, 1])


@pytest.mark.parametrize("seed", range(6))
def test_condition_indices_are_ratios_of_eigenvalues_of_the_scaled_cross_product(seed: int) -> None:
    rows = drawn(seed)
    design, _ = long_form(rows)
    scaled = design / np.linalg.norm(design, axis=0)
    values, vectors = np.linalg.eigh(scaled.T @ scaled)
    found = condition_indices(counted(trials(rows), NAMES), NAMES)
    assert [one.index for one in found] == pytest.approx(np.sqrt(values[-1] / values).tolist())
    parts = vectors**2 / values
    shares = (parts / parts.sum(axis=1, keepdims=True))[2, 0]  # the hand in the smallest
    assert found[0].shares.get("hand", 0.0) == pytest.approx(shares, abs=0.0101)


def test_twenty_reps_worked_out_before_give_the_same_indices() -> None:
    """Worked out for this program with another routine, printed nowhere: indices 1, 2.286, 3.456, 5.962."""
    rows = []
    for n in range(20):
        target, hand = n < 10, (n != 9) if n < 10 else n == 10
        side = n % 2 == 0
        cues = [name for name, there in (("target", target), ("hand", hand), ("side", side)) if there]
        rows.append((" ".join(cues), int(target)))
    table = counted(trials(rows), ("target", "hand", "side"))
    assert pair_of(table, "target", "hand").phi == pytest.approx(0.8)
    assert pair_of(table, "hand", "side").phi == pytest.approx(0.2)
    assert [effect_of(table, name).vif for name in table.names] == pytest.approx([3.0, 3.125, 1.125])
    found = sorted(one.index for one in condition_indices(table, table.names))
    assert found == pytest.approx([1.0, 2.286, 3.456, 5.962], abs=5e-4)


@pytest.mark.parametrize("seed", range(20))
def test_what_is_left_after_naming_every_tie_has_full_rank(seed: int) -> None:
    chance = np.random.default_rng(seed)
    basis = chance.integers(0, 2, size=(8, 4))
    tied = np.column_stack([basis, basis[:, 0], 1 - basis[:, 1], np.ones(8, dtype=int)])
    names = ("a", "b", "c", "d", "e", "f", "g")
    rows = [(" ".join(n for n, there in zip(names, row, strict=True) if there), 0) for row in tied]
    table = counted(trials(rows))
    found = apart(table)
    named = [
        *(second for _, second in (*found.inseparable, *found.opposites)),
        *found.always,
        *(one[-1] for one in found.sets),
    ]
    kept = [name for name in table.names if name not in named]
    design = np.column_stack([np.ones(len(table.reps)), *(table.column(name) for name in kept)])
    whole = np.column_stack([np.ones(len(table.reps)), table.rows])
    assert np.linalg.matrix_rank(design) == design.shape[1] == np.linalg.matrix_rank(whole)
    for one in found.sets:
        columns = [np.ones(len(table.reps)) if n == "place" else table.column(n) for n in one]
        assert np.linalg.matrix_rank(np.column_stack(columns)) == len(one) - 1
        for out in range(len(one)):
            rest = np.column_stack([c for k, c in enumerate(columns) if k != out])
            assert np.linalg.matrix_rank(rest) == len(one) - 1


def test_strengths_step_by_step_and_all_at_once_agree() -> None:
    rows = drawn(3)
    plain = dict.fromkeys((*NAMES, "place"), 0.0)
    for cues, paid in rows:
        there = [*cues.split(), "place"]
        missing = paid - sum(plain[name] for name in there)
        for name in there:
            plain[name] += (0.05 if name == "place" else 0.1) * missing
    ran = course(trials(rows), NAMES)
    assert [ran.last(name) for name in NAMES] == pytest.approx([plain[name] for name in NAMES])
    narrow = band(trials(rows), NAMES, Parameters(0.1))
    assert all(narrow[name][0] <= plain[name] <= narrow[name][1] for name in NAMES)


def test_the_equilibrium_of_tied_cues_is_the_one_the_rule_comes_to() -> None:
    rows = [("target hand", 1), ("", 0)] * 40
    rule = Parameters(0.1, saliences={"hand": 0.3})
    settled = equilibrium(counted(trials(rows)), rule)
    ran = course(trials(rows * 20), ("target", "hand"), rule)
    assert [settled["target"], settled["hand"]] == pytest.approx([0.25, 0.75], abs=1e-6)
    assert [ran.last("target"), ran.last("hand")] == pytest.approx([0.25, 0.75], abs=0.01)
