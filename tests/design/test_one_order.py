"""Looking back at one order: habits, rules, stretches."""

import pytest

from nares.base.errors import OutOfRange
from nares.design.chance import Stream
from nares.design.orders import constrained_runs, look_at

ALTERNATING = [(1,), (2,)] * 10


def test_an_alternating_order_gives_itself_away() -> None:
    looked = look_at(ALTERNATING, positions=2)
    right = {habit.name: habit.right for habit in looked.habits}
    assert right["another place"] == 19.5
    assert right["last place"] == 0.5
    assert right["favourite place"] == 10
    broken = {kept.rule.key for kept in looked.rules if not kept.holds}
    assert {"single_alternation", "last_target", "reversals_half"} <= broken
    assert looked.stretches is not None
    assert looked.stretches.says.startswith("It changes more often")


def test_blank_runs_are_counted_for_who_says_clear() -> None:
    looked = look_at([(3,), (), (1,), (), (2,)], positions=3)
    said = {habit.name: habit.says for habit in looked.habits}
    assert said["always clear"] == 'Who always says "clear" would have been right in 2 of 5 runs.'


def test_a_drawn_training_order_keeps_what_it_was_drawn_for() -> None:
    order = constrained_runs(
        runs=20,
        positions=6,
        targets_low=0,
        targets_high=1,
        blank_runs=0.25,
        rules=None,
        stream=Stream(bytes(32)),
    )
    looked = look_at(order.runs, positions=6)
    assert {kept.rule.key for kept in looked.rules if kept.holds} >= set(order.rules)


def test_rules_that_few_runs_cannot_be_asked_about_are_left_out() -> None:
    rules = {kept.rule.key for kept in look_at([(1,), (2,)], positions=2).rules}
    assert "last_target" not in rules
    assert "balanced" in rules


def test_one_outcome_alone_says_nothing_about_stretches() -> None:
    assert look_at([(1,)] * 6, positions=4).stretches is None


def test_a_target_where_no_position_is_is_refused() -> None:
    with pytest.raises(
        OutOfRange, match=r"Run 2 has a target at position 5, and there are 4\. Positions count"
    ):
        look_at([(1,), (5,)], positions=4)
    with pytest.raises(OutOfRange, match="Name the runs"):
        look_at([], positions=4)
