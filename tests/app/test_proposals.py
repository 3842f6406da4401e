"""What a bare confirmation would write, and when it takes a person."""

from dataclasses import replace

import pytest

from nares.app.proposals import Setting, ask_of, is_met, needs_a_person, propose
from nares.base.vocab import MeasuredRep

SETTING = Setting(
    dog="Bracken",
    session="bracken-07",
    started_at="2026-11-20T08:00:00.000Z",
    step="side-hold-2s",
    asks_s=(1.0, 2.0),
    hand="side",
    pay_place="inside",
    distance_m=0.5,
    disturbance=0,
    source="target",
    cues=("target", "hand"),
)
MEASURED = MeasuredRep(
    rep=2,
    nose_in_s=10.0,
    nose_out_s=14.0,
    mark_s=12.2,
    mark_delay_s=2.2,
    hold_s=2.2,
    ended_by="mark",
    inhales_before_mark=8,
    sniffing_at_mark="yes",
    inhaling_at_mark="unclear",
    pay_s=12.8,
    pay_delay_s=0.6,
    pay_place="inside",
    sure=0.95,
)


def test_a_hold_that_reached_its_ask_is_proposed_as_met_and_paid() -> None:
    row = propose(MEASURED, SETTING)
    assert row is not None
    assert (row.hold_s, row.ask_s, row.met, row.paid, row.hand) == (2.2, 2.0, True, True, "side")


@pytest.mark.parametrize(("hold_s", "met"), [(1.94, False), (1.96, True), (2.0, True)])
def test_the_measuring_error_is_given_to_the_dog_and_no_more(hold_s: float, met: bool) -> None:
    assert is_met(replace(MEASURED, hold_s=hold_s), 2.0) is met


def test_a_dog_that_left_early_is_not_met_and_not_paid() -> None:
    row = propose(replace(MEASURED, mark_s=None, hold_s=0.5, ended_by="dog", pay_s=None), SETTING)
    assert row is not None
    assert (row.met, row.paid, row.ended_by) == (False, False, "dog")


def test_a_mark_with_nobody_in_is_not_met_and_has_no_hold() -> None:
    row = propose(replace(MEASURED, nose_in_s=None, nose_out_s=None, hold_s=None), SETTING)
    assert row is not None
    assert (row.met, row.hold_s, row.paid) == (False, None, True)


def test_a_rep_of_unknown_end_is_left_to_the_person() -> None:
    unknown = replace(MEASURED, ended_by="unknown")
    assert propose(unknown, SETTING) is None
    assert needs_a_person(unknown)


def test_without_an_ask_a_mark_on_a_nose_inside_is_met() -> None:
    assert is_met(MEASURED, None)
    assert not is_met(replace(MEASURED, mark_s=None), None)


def test_where_the_pay_was_not_seen_the_step_says_where_it_comes_from() -> None:
    row = propose(replace(MEASURED, pay_place=None), replace(SETTING, pay_place="away"))
    assert row is not None
    assert row.pay_place == "away"


def test_the_last_ask_goes_for_all_reps_that_follow() -> None:
    assert [ask_of((1.0, 2.0), rep) for rep in (1, 2, 3, 9)] == [1.0, 2.0, 2.0, 2.0]
    assert ask_of((), 1) is None


def test_low_certainty_is_flagged() -> None:
    assert needs_a_person(replace(MEASURED, sure=0.79))
    assert not needs_a_person(replace(MEASURED, sure=0.81))
