"""The rule of Rescorla and Wagner. The rule was read in two packages, the rows in teaching sheets that print
them rounded; blocking and the odour and hand were worked out for this program by the rule as read, are not
printed anywhere known here, and carry no mark.
"""

import pytest

from nares.design.cues.foresight import foresee
from nares.design.cues.strength import Parameters, course
from nares.design.cues.trials import Trial

AT = "2026-03-01T08:00:00Z"


def run(reps: list[tuple[str, bool]], salience: float, **own: float) -> list[dict[str, float]]:
    """Strengths after every trial, each trial a session of its own, without a place."""
    trials = [Trial(f"s{n}", AT, frozenset(cues), paid) for n, (cues, paid) in enumerate(reps)]
    names = tuple(sorted({cue for cues, _ in reps for cue in cues}))
    ran = course(trials, names, Parameters(salience, place=0.0, saliences=own))
    return [dict(zip(ran.names, row, strict=True)) for row in ran.after.tolist()]


@pytest.mark.published(source="rescorla-wagner-1972", at="teaching sheet, acquisition k = .4", seen="read")
def test_acquisition_gives_0_40_0_64_0_78_0_87_0_92() -> None:
    found = [after["A"] for after in run([("A", True)] * 5, 0.4)]
    assert found == pytest.approx([0.40, 0.64, 0.78, 0.87, 0.92], abs=0.005)


@pytest.mark.published(source="rescorla-wagner-1972", at="teaching sheet, extinction k = .4", seen="read")
def test_extinction_from_one_gives_0_60_0_36_0_22_0_13_0_08() -> None:
    learned = [("A", True)] * 60
    found = [after["A"] for after in run([*learned, *[("A", False)] * 5], 0.4)][60:]
    assert found == pytest.approx([0.60, 0.36, 0.22, 0.13, 0.08], abs=0.005)


@pytest.mark.published(
    source="rescorla-wagner-1972", at="teaching slides, rates .5 and .5, limit 100", seen="read"
)
def test_rates_of_a_half_give_25_43_75_57_81() -> None:
    trials = [Trial(f"s{n}", AT, frozenset("A"), True) for n in range(3)]
    ran = course(trials, ("A",), Parameters(0.5, place=0.0, rate=0.5))
    assert (100 * ran.after[:, 0]).tolist() == pytest.approx([25.00, 43.75, 57.81], abs=0.005)


@pytest.mark.published(source="rescorla-wagner-1972", at="worked answer, product of rates .2", seen="read")
def test_a_rate_of_0_2_gives_0_2_and_0_36() -> None:
    assert [after["A"] for after in run([("A", True)] * 2, 0.2)] == pytest.approx([0.2, 0.36], abs=0.005)


def test_blocking_leaves_the_second_cue_a_sixth() -> None:
    blocked = run([("A", True)] * 5 + [("AB", True)] * 5, 0.3)[-1]["B"]
    control = run([("AB", True)] * 5, 0.3)[-1]["B"]
    assert (blocked, control) == pytest.approx((0.0832, 0.4949), abs=5e-5)


@pytest.mark.parametrize(("own", "share"), [(0.3, 0.75), (0.1, 0.5)])
def test_overshadowing_shares_by_salience(own: float, share: float) -> None:
    assert run([("AB", True)] * 200, 0.1, A=own)[-1]["A"] == pytest.approx(share, abs=1e-6)


def test_a_cue_that_takes_pay_away_comes_to_minus_one() -> None:
    pairs = run([("A", True), ("AX", False)] * 3, 0.2)
    assert [round(after["A"], 4) for after in pairs] == [0.2, 0.16, 0.328, 0.2704, 0.4163, 0.3526]
    assert [round(after["X"], 4) for after in pairs[1::2]] == [-0.04, -0.0976, -0.1613]
    last = run([("A", True), ("AX", False)] * 2000, 0.2)[-1]
    assert (last["A"], last["X"]) == pytest.approx((1.0, -1.0), abs=1e-3)


def test_two_cues_that_each_foretell_pay_lose_half_together() -> None:
    last = run([("A", True)] * 30 + [("B", True)] * 30 + [("AB", True)] * 30, 0.2)
    assert last[59]["A"] == pytest.approx(0.9988, abs=5e-5)
    assert (last[-1]["A"], last[-1]["B"]) == pytest.approx((0.5, 0.5), abs=5e-5)


ODOUR, BOTH, HAND = frozenset({"target"}), frozenset({"target", "hand"}), frozenset({"hand"})


@pytest.mark.parametrize(
    ("cycle", "faded", "stands"),
    [((BOTH, ODOUR, HAND), 33, 43), ((BOTH, HAND), 50, 77), ((BOTH, ODOUR), 59, 52)],
)
def test_how_fast_the_hand_loses_after_forty_reps_together(
    cycle: tuple[frozenset[str], ...], faded: int, stands: int
) -> None:
    rule = Parameters(0.1, place=0.0, saliences={"hand": 0.3})
    trials = [Trial(f"s{n}", AT, BOTH, True) for n in range(40)]
    ran = course(trials, ("target", "hand"), rule)
    now = {name: ran.last(name) for name in ran.names}
    assert (now["target"], now["hand"]) == pytest.approx((0.25, 0.75), abs=1e-5)
    found = foresee("", cycle, "hand", now, rule)
    assert (found.faded_after, found.stands_after) == (faded, stands)
