"""Drawing a line-up: what lies where, what goes along, in which container, placed in which order."""

from collections import Counter
from dataclasses import replace
from itertools import chain

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from tests.design.lineups.briefs import FOOD, GLOVE, SEED, TAPE, brief, seed

from nares.base.errors import OutOfRange, Unusable
from nares.base.lineups import Control, Placed, RunKey, Smell
from nares.design.lineups import Brief, draw_lineup, packing_list


def of_kind(run: RunKey, *holds: str) -> list[Placed]:
    return [one for one in run.placed if one.holds in holds]


@st.composite
def briefs(draw: st.DrawFn) -> Brief:
    positions = draw(st.integers(2, 9))
    high = draw(st.integers(0, 2))
    companions = draw(st.integers(0, max(0, positions - high)))
    kinds: tuple[Control, ...] = ("packaging", "gloves", "placer")
    controls = kinds[: draw(st.integers(0, min(3, companions)))]
    smells = tuple(
        Smell(f"smell {n}", draw(st.sampled_from([True, False, None])))
        for n in range(companions - len(controls))
    )
    return brief(
        positions,
        draw(st.integers(1, 12)),
        targets_low=0,
        targets_high=min(high, positions),
        blank_runs=None if draw(st.booleans()) else 1.0 if high == 0 else 0.25,
        aids=tuple(f"birch {n}" for n in range(draw(st.integers(1, 3)))),
        distractors=smells,
        controls=controls,
        along=draw(st.none() | st.integers(0, companions)),
        fresh=draw(st.booleans()),
    )


@given(asked=briefs(), number=st.integers(0, 2**64))
def test_what_holds_of_every_line_up(asked: Brief, number: int) -> None:
    drawn = draw_lineup(asked, seed(number))
    every = tuple(range(1, asked.positions + 1))
    assert [run.run for run in drawn.runs] == list(range(1, asked.runs + 1))
    assert len({run.nonce for run in drawn.runs}) == asked.runs
    holder: dict[str, tuple[str, str]] = {}
    for run in drawn.runs:
        assert tuple(one.position for one in run.placed) == every
        assert tuple(sorted(run.placing)) == every
        assert asked.targets_low <= len(run.targets) <= asked.targets_high
        assert len(of_kind(run, "distractor", "control")) == asked.together
        assert len({one.item for one in of_kind(run, "distractor", "control")}) == asked.together
        order = [run.placed[position - 1].holds for position in run.placing]
        assert order == sorted(order, key=["blank", "distractor", "control", "target"].index)
        containers = [one.container for one in run.placed]
        assert len(set(containers)) == asked.positions
        for one in run.placed:
            assert holder.setdefault(one.container, (one.holds, one.item)) == (one.holds, one.item)
    packed = {name: (one.holds, one.item) for one in packing_list(drawn.runs) for name in one.containers}
    assert packed == holder
    assert sorted(packed) == [f"C{n:02d}" for n in range(1, len(packed) + 1)]


def test_the_same_seed_gives_the_same_and_another_another() -> None:
    assert draw_lineup(brief(), SEED) == draw_lineup(brief(), SEED)
    assert draw_lineup(brief(), SEED).runs != draw_lineup(brief(), seed(1)).runs


def test_the_targets_are_those_of_the_published_recipe_alone() -> None:
    """Companions, aids and containers change nothing of where the targets stand."""
    targets = [run.targets for run in draw_lineup(brief(), SEED).runs]
    for other in (
        brief(distractors=(), controls=()),
        brief(aids=("a", "b", "c")),
        brief(fresh=True),
        brief(along=1),
    ):
        assert [run.targets for run in draw_lineup(other, SEED).runs] == targets


def test_blank_runs_have_companions_too() -> None:
    blank = [run for run in draw_lineup(brief(), SEED).runs if not run.targets]
    assert len(blank) > 1
    assert all(sorted(one.item for one in of_kind(run, "distractor")) == ["food", "tape"] for run in blank)
    assert all([one.item for one in of_kind(run, "control")] == ["packaging"] for run in blank)


def test_where_not_all_go_along_each_does_so_equally_often() -> None:
    for number in range(20):
        runs = draw_lineup(brief(along=2), seed(number)).runs
        out = Counter(one.item for run in runs for one in of_kind(run, "distractor", "control"))
        assert set(out) == {"food", "tape", "packaging"}
        assert max(out.values()) - min(out.values()) <= 1


def test_aids_take_turns() -> None:
    for number in range(20):
        runs = draw_lineup(brief(aids=("a", "b", "c")), seed(number)).runs
        out = Counter(one.item for run in runs for one in of_kind(run, "target"))
        assert max(out.values()) - min(out.values()) <= 1
    several = draw_lineup(brief(8, targets_high=3, blank_runs=None, aids=("a", "b", "c")), SEED).runs
    assert all(len({one.item for one in of_kind(run, "target")}) == len(run.targets) for run in several)


def test_a_fresh_container_for_every_target_is_used_once() -> None:
    runs = draw_lineup(brief(fresh=True), SEED).runs
    used = [one.container for run in runs for one in of_kind(run, "target")]
    assert len(set(used)) == len(used) > 10
    kept = [one.container for run in draw_lineup(brief(), SEED).runs for one in of_kind(run, "target")]
    assert len(set(kept)) == 2, "one for each aid"


LINEUPS = 1500
"""Drawn for the tests of evenness. Chance of failing though all is even: one in ten thousand each."""


@pytest.fixture(scope="module")
def many() -> list[tuple[RunKey, ...]]:
    asked = brief(6, 3, distractors=(TAPE, FOOD), controls=("packaging",), aids=("birch",), along=2)
    return [draw_lineup(asked, seed(number)).runs for number in range(LINEUPS)]


def even(counts: Counter[int] | Counter[str], kinds: int) -> bool:
    assert len(counts) == kinds
    return bool(stats.chisquare(list(counts.values())).pvalue > 1e-4)


def test_targets_are_as_likely_everywhere(many: list[tuple[RunKey, ...]]) -> None:
    assert even(Counter(chain.from_iterable(run.targets for runs in many for run in runs)), 6)


@pytest.mark.parametrize("item", ["tape", "food", "packaging"])
def test_a_companion_is_as_likely_everywhere_and_at_any_way_from_the_target(
    many: list[tuple[RunKey, ...]], item: str
) -> None:
    at = [(run, one.position) for runs in many for run in runs for one in run.placed if one.item == item]
    assert even(Counter(position for _, position in at), 6)
    assert even(Counter((position - run.targets[0]) % 6 for run, position in at if run.targets), 5)


@pytest.mark.parametrize("item", ["tape", "food", "packaging"])
def test_that_a_companion_is_out_says_nothing_about_a_target(
    many: list[tuple[RunKey, ...]], item: str
) -> None:
    table = [[0, 0], [0, 0]]
    for runs in many:
        for run in runs:
            table[bool(run.targets)][any(one.item == item for one in run.placed)] += 1
    assert stats.fisher_exact(np.array(table)).pvalue > 1e-4


def test_a_container_number_says_nothing_before_the_first_run_is_opened(
    many: list[tuple[RunKey, ...]],
) -> None:
    """The lowest number among those out is as often at the target as any other."""
    ranks: Counter[int] = Counter()
    for runs in many:
        run = runs[0]
        if run.targets:
            ranked = sorted(one.container for one in run.placed)
            ranks[ranked.index(run.placed[run.targets[0] - 1].container)] += 1
    assert even(ranks, 6)


def test_the_plan_kept_is_nearer_to_balance_than_one_left_to_luck() -> None:
    """Counts of five companions over six positions, against four each: squares over expected."""
    from nares.design.lineups import companions

    asked = brief(6, 24, distractors=(TAPE, FOOD, GLOVE), controls=("packaging", "gloves"), aids=("birch",))

    def spread(number: int) -> float:
        there = Counter(
            (one.item, one.position)
            for run in draw_lineup(asked, seed(number)).runs
            for one in of_kind(run, "distractor", "control")
        )
        return sum((there[item, at] - 4) ** 2 / 4 for item in {key[0] for key in there} for at in range(1, 7))

    kept = sum(spread(number) for number in range(20)) / 20
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(companions, "PLANS", 1)
        luck = sum(spread(number) for number in range(20)) / 20
    assert kept < 0.7 * luck


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (
            brief(4, distractors=(TAPE, FOOD, GLOVE)),
            "1 target and 4 .* do not fit into 4 positions.*leave out 1",
        ),
        (brief(targets_low=2), "cannot be"),
        (brief(targets_low=1), "contradicts at least 1 target"),
        (brief(targets_high=0), "contradicts no target"),
        (brief(targets_high=7, blank_runs=None, distractors=(), controls=()), "7 targets.*do not fit into 6"),
        (brief(runs=0), "Ask for 1 to 500"),
        (brief(runs=501), "Ask for 1 to 500"),
        (brief(blank_runs=25.0), "25 % as 0.25"),
        (brief(blank_runs=-0.1), "25 % as 0.25"),
        (brief(along=4), "there are 3"),
        (brief(set_time_min=-1.0), "Give minutes from 0"),
        (brief(warm=(1, 2, 3)), "6 positions, 3 of them warm"),
    ],
)
def test_what_cannot_be_is_refused_with_the_reason_and_what_to_change(asked: Brief, said: str) -> None:
    with pytest.raises(OutOfRange, match=said):
        draw_lineup(asked, SEED)


def test_names_at_fault_come_back_all_at_once() -> None:
    asked = brief(
        aids=("birch", "Food"),
        distractors=(FOOD, Smell(" "), TAPE, TAPE),
        controls=(),
        warm=(9,),
    )
    with pytest.raises(Unusable) as refused:
        draw_lineup(asked, SEED)
    lines = str(refused.value).splitlines()
    assert len(lines) == 5
    assert "'food' is there twice, under aids and distractors" in lines[1]
    assert "no name" in lines[2]
    assert "'tape' is there twice" in lines[3]
    assert "Position 9" in lines[4]


def test_a_plan_at_fault_is_refused_with_every_fault() -> None:
    area = brief().area
    bad = replace(area, spots=(*area.spots[:5], replace(area.spots[0], position=6)))
    with pytest.raises(Unusable, match=r"The plan cannot be used:\n.*position 6: .*\n.*position 6:"):
        draw_lineup(brief(area=bad), SEED)
