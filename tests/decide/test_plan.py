"""The session to come: how many reps, easy ends, blanks nobody can guess, places, rests, when to stop."""

from collections import Counter
from dataclasses import replace
from itertools import groupby, pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nares.base.errors import OutOfRange
from nares.base.vocab import Allowance, PlannedRep
from nares.decide import (
    SessionPlan,
    Step,
    asks_again,
    draw_asks,
    hold_model,
    plan_session,
    read_programme,
    shipped_programme,
)
from nares.decide.hold.asks import expected_success
from nares.decide.plan import longest_run, plan_kept, reps_planned

PROGRAMME = read_programme(shipped_programme())
ASKS = (1.0, 1.0, 1.6, 2.3, 1.2, 3.0, 2.5, 1.1, 1.8, 2.8, 2.0, 1.0)
STEPS = st.sampled_from(PROGRAMME.steps)
FOOD = st.builds(Allowance, st.none() | st.integers(0, 60), st.none() | st.integers(0, 60))


def plan(step: str | Step, seed: int = 1, *, asks: tuple[float, ...] = ASKS, **other: object) -> SessionPlan:
    at = PROGRAMME.step(step) if isinstance(step, str) else step
    return plan_session(at, asks, draws=np.random.default_rng(seed), **other)  # type: ignore[arg-type]


def plans(step: str | Step, seeds: range) -> list[tuple[PlannedRep, ...]]:
    return [plan(step, seed).reps for seed in seeds]


@settings(max_examples=150)
@given(
    STEPS,
    st.integers(0, 10_000),
    FOOD,
    st.lists(st.floats(0.3, 8), max_size=40),
    st.none() | st.integers(0, 30),
)
def test_what_holds_of_every_plan(
    step: Step, seed: int, food: Allowance, asks: list[float], likely: int | None
) -> None:
    made = plan(step, seed, asks=tuple(asks), allowance=food, likely_reps=likely)
    reps = made.reps
    bounds = [count for count in (food.left, food.session) if count is not None]
    assert len(reps) <= min([len(asks), *bounds])
    assert [rep.rep for rep in reps] == list(range(1, len(reps) + 1))
    for rep in reps:
        has_target = rep.source == "target"
        assert (rep.ask_s is None) == (not has_target)
        assert (rep.target_box is None) == (not has_target)
        assert has_target or rep.pay_place == "away"
        assert rep.target_box is None or 1 <= rep.target_box <= step.boxes
        assert rep.target_box not in rep.distractor_boxes
        assert len(set(rep.distractor_boxes)) == len(rep.distractor_boxes)
    if reps:
        assert reps[0].source == reps[-1].source == "target"
        assert reps[-1].easy
        assert reps[-1].ask_s == pytest.approx(max(asks[-1], 0.1))
        assert len(reps) < 2 or reps[0].easy


def test_the_same_draws_give_the_same_plan() -> None:
    assert plan("distractors-2", 3) == plan("distractors-2", 3)
    assert plan("distractors-2", 3) != plan("distractors-2", 4)


def test_asks_are_used_in_the_order_drawn_and_the_middle_is_cut() -> None:
    assert tuple(rep.ask_s for rep in plan("hold-3").reps) == ASKS
    short = plan("hold-3", allowance=Allowance(left=5, session=30))
    assert tuple(rep.ask_s for rep in short.reps) == (ASKS[0], *ASKS[2:5], ASKS[-1])
    assert short.limited_by == "left"
    assert "pays for 5 reps more; 7 left out" in short.notes[0]


@pytest.mark.parametrize(
    ("food", "likely", "count", "by"),
    [
        (Allowance(), None, 12, "asks"),
        (Allowance(40, 40), None, 12, "asks"),
        (Allowance(40, 8), None, 8, "session"),
        (Allowance(4, 8), None, 4, "left"),
        (Allowance(0, 8), None, 0, "left"),
        (Allowance(40, 40), 1, 6, "likely"),
        (Allowance(40, 40), 7, 10, "likely"),
        (Allowance(40, 40), 30, 12, "asks"),
        (Allowance(3, 40), 1, 3, "left"),
    ],
)
def test_what_sets_the_number_of_reps(food: Allowance, likely: int | None, count: int, by: str) -> None:
    assert reps_planned(12, food, likely) == (count, by)


def test_without_a_ration_the_number_is_said_to_be_usual_and_not_bounded() -> None:
    assert "not known and does not bound it" in plan("hold-3").notes[0]


def test_a_used_up_ration_plans_no_rep_and_says_so() -> None:
    made = plan("hold-3", allowance=Allowance(0, 20))
    assert made.reps == ()
    assert "used up" in made.notes[0]


def test_a_negative_count_is_refused() -> None:
    with pytest.raises(OutOfRange, match="fewer than 0"):
        reps_planned(12, Allowance(left=-1))


def test_one_rep_is_an_easy_one() -> None:
    (only,) = plan("blanks", allowance=Allowance(1, 1)).reps
    assert (only.easy, only.source, only.ask_s) == (True, "target", ASKS[-1])


# Blanks: the share is right on average, the count varies, and neither tells the next rep.

SEEDS = range(12_000, 14_000)


@pytest.fixture(scope="module")
def blank_plans() -> list[tuple[PlannedRep, ...]]:
    return plans("blanks", SEEDS)


def test_the_share_of_blanks_is_the_steps_on_average(blank_plans: list[tuple[PlannedRep, ...]]) -> None:
    shares = [sum(rep.source == "blank" for rep in reps) / len(reps) for reps in blank_plans]
    error = float(np.std(shares)) / len(shares) ** 0.5
    assert abs(float(np.mean(shares)) - 0.25) < 4 * error
    assert error < 0.005


def test_the_number_of_blanks_varies(blank_plans: list[tuple[PlannedRep, ...]]) -> None:
    counts = Counter(sum(rep.source == "blank" for rep in reps) for reps in blank_plans)
    assert set(range(7)) <= set(counts)
    assert max(counts.values()) < 0.4 * len(blank_plans)


def past_of(sources: list[str], at: int) -> tuple[str, ...]:
    """What a guesser who counts goes by: the place, how many blanks there were, and the rep before."""
    return str(at), str(sources[:at].count("blank")), sources[at - 1] if at else "none"


def best_guess(histories: list[tuple[tuple[str, ...], str]]) -> tuple[float, float]:
    """How often the best rule on half of the histories guesses the other half, and the plain rule."""
    learn, judge = histories[::2], histories[1::2]
    seen: dict[tuple[str, ...], Counter[str]] = {}
    for past, now in learn:
        seen.setdefault(past, Counter())[now] += 1
    plain = Counter(now for _, now in learn).most_common(1)[0][0]
    hits = sum(now == (seen[past].most_common(1)[0][0] if past in seen else plain) for past, now in judge)
    return hits / len(judge), sum(now == plain for _, now in judge) / len(judge)


def test_blanks_are_not_guessed_better_by_who_saw_the_reps_before(
    blank_plans: list[tuple[PlannedRep, ...]],
) -> None:
    histories: list[tuple[tuple[str, ...], str]] = [
        (past_of([rep.source for rep in reps[2:-1]], at), reps[at + 2].source)
        for reps in blank_plans
        for at in range(len(reps) - 3)
    ]
    clever, plain = best_guess(histories)
    assert clever - plain < 3 * (0.25 / (len(histories) / 2)) ** 0.5


def test_an_order_of_blanks_that_is_balanced_would_be_guessed() -> None:
    """The planted fault: exactly three blanks among nine, in any order."""
    draws = np.random.default_rng(12_001)
    rows = [["blank"] * 3 + ["target"] * 6 for _ in range(2000)]
    dealt = [[row[i] for i in draws.permutation(9)] for row in rows]
    histories = [(past_of(row, at), row[at]) for row in dealt for at in range(9)]
    clever, plain = best_guess(histories)
    assert clever - plain > 0.05


def test_places_are_even_and_do_not_run(blank_plans: list[tuple[PlannedRep, ...]]) -> None:
    places = [[rep.target_box for rep in reps if rep.target_box] for reps in blank_plans]
    counts = Counter(box for row in places for box in row)
    assert max(counts.values()) < 1.06 * min(counts.values())
    assert max(len([*run]) for row in places for _, run in groupby(row)) == longest_run(4)


def test_a_place_tells_little_of_the_next(blank_plans: list[tuple[PlannedRep, ...]]) -> None:
    """The rule on runs costs a little: the next place equals the last in fewer than one of four."""
    pairs = [
        pair for reps in blank_plans for pair in pairwise([rep.target_box for rep in reps if rep.target_box])
    ]
    same = sum(one == two for one, two in pairs) / len(pairs)
    assert 0.17 < same < 0.25


def test_distractors_stand_in_every_search_and_as_many() -> None:
    reps = [rep for made in plans("distractors-2", range(12_000, 12_200)) for rep in made]
    assert {len(rep.distractor_boxes) for rep in reps} == {2}
    assert {rep.source for rep in reps} == {"target", "distractor"}
    counts = Counter(box for rep in reps for box in rep.distractor_boxes)
    assert max(counts.values()) < 1.15 * min(counts.values())


def test_more_distractors_than_boxes_leave_one_box_in_every_search() -> None:
    """In a search without target one more box is free: it stays empty, or the number would tell."""
    step = replace(PROGRAMME.step("distractors-2"), boxes=3, distractors=5)
    reps = [rep for made in plans(step, range(12_000, 12_100)) for rep in made]
    assert {len(rep.distractor_boxes) for rep in reps} == {2}
    assert {rep.source for rep in reps} == {"target", "distractor"}


def test_a_shortened_session_asks_about_as_much_as_the_whole() -> None:
    """Expected success over many draws, of a dog whose holds are known: near 0.85 down to six reps."""
    model = hold_model([5, 5, 3.2, 5, 5, 4.1, 5, 5, 2, 5] * 3, [0, 0, 1, 0, 0, 1, 0, 0, 1, 0] * 3)
    step = replace(PROGRAMME.step("hold-5"), ask_s=(0.5, 20.0))
    for count in (12, 9, 6):
        shares = []
        for seed in range(12_000, 12_060):
            draws = np.random.default_rng(seed)
            asks = draw_asks(model, 12, draws=draws)
            made = plan_session(step, asks, draws=draws, allowance=Allowance(count, count))
            shares.append(expected_success(model, [rep.ask_s for rep in made.reps if rep.ask_s]))
        assert float(np.mean(shares)) == pytest.approx(0.85, abs=0.03)


def test_one_box_with_distractors_holds_one_or_the_other() -> None:
    step = replace(PROGRAMME.step("hold-3"), distractors=1)
    reps = [rep for made in plans(step, range(12_000, 12_200)) for rep in made]
    assert all((rep.distractor_boxes == (1,)) == (rep.source == "distractor") for rep in reps)
    share = sum(rep.source == "distractor" for rep in reps) / len(reps)
    assert 0.22 < share < 0.28
    both = replace(step, blanks=0.3)
    sources = Counter(rep.source for made in plans(both, range(12_000, 12_200)) for rep in made)
    assert sources["blank"] == pytest.approx(sources["distractor"], rel=0.2)


def test_a_step_about_the_target_has_no_blank() -> None:
    assert {rep.source for made in plans("boxes-6", range(200)) for rep in made} == {"target"}


def test_two_boxes_allow_three_in_one_place() -> None:
    step = replace(PROGRAMME.step("boxes-3"), boxes=2)
    runs = [
        len([*run]) for made in plans(step, range(300)) for _, run in groupby(rep.target_box for rep in made)
    ]
    assert max(runs) == 3


def test_a_second_session_on_a_call_has_its_asks_in_another_order() -> None:
    again = asks_again(ASKS, draws=np.random.default_rng(4))
    assert again != list(ASKS)
    assert sorted(again) == sorted(ASKS)
    assert (again[:2], again[-1]) == ([1.0, 1.0], 1.0)
    assert asks_again((), draws=np.random.default_rng(4)) == []
    assert asks_again((2.0,), draws=np.random.default_rng(4)) == [2.0]


def test_rests_come_after_at_most_twelve_reps() -> None:
    assert plan("hold-3").rests_after == ()
    assert plan("hold-3", asks=ASKS * 3).rests_after == (12, 24)
    assert plan("hold-3", asks=(*ASKS, 1.0)).rests_after == (6,)


# When to stop


def test_misses_running_are_a_rule_of_a_step_just_raised() -> None:
    def keys(call: str) -> list[str]:
        return [rule.key for rule in plan("hold-3", call=call).stops]

    assert "misses" in keys("raise")
    assert "misses" not in keys("stay")


def test_the_ration_rule_says_how_many_or_that_it_is_not_known() -> None:
    def rule(left: int | None) -> str:
        made = plan("hold-3", allowance=Allowance(left, None))
        return next(rule.says for rule in made.stops if rule.key == "ration")

    assert "After 1 paid rep today" in rule(1)
    assert "After 7 paid reps today" in rule(7)
    assert "not known" in rule(None)


def test_a_plan_that_was_kept_stays_and_says_when_food_got_short() -> None:
    made = plan("blanks", 5)
    kept = plan_kept(PROGRAMME.step("blanks"), made.reps, call="stay", left=4)
    assert kept.reps == made.reps
    assert "now pays for 4 reps" in kept.notes[0]
    assert plan_kept(PROGRAMME.step("blanks"), made.reps, call="stay", left=None).notes == ()
