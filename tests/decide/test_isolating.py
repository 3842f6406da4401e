"""After a fail at a combination: one criterion a session, a wrong name seldom, none where none is."""

from collections.abc import Sequence
from dataclasses import replace

import pytest
from tests.decide.test_decision import BOX, decided, session

from nares.base.vocab import Rep
from nares.decide.isolation.easing import differing, step_of
from nares.decide.isolation.isolating import Isolation
from nares.decide.isolation.probes import PROBE_CAP, WRONG, probe_risks, probe_state, probe_steps

FAILED = BOX.step("handler-2m")
DISTANCE, HAND, HOLD = "handler-2m~distance_m=0", "handler-2m~hand=side", "handler-2m~ask_s=1-2"
FAIL = [0, 0, 1, 0]


def at(key: str, number: int, met: Sequence[int]) -> list[Rep]:
    """One session at a step, set as that step says."""
    step = step_of(BOX, key)
    assert step is not None
    setting = {name: getattr(step, name) for name in ("hand", "pay_place", "distance_m", "disturbance")}
    return [replace(rep, **setting) for rep in session(number, met, step=key, ask_s=step.ask_s[1])]


def isolating(reps: list[Rep]) -> Isolation:
    found = decided(reps).isolating
    assert found is not None
    return found


def test_a_fail_names_the_suspects_and_eases_what_was_raised() -> None:
    reps = at("handler-2m", 1, FAIL)
    found = decided(reps)
    assert (found.call, found.next_step) == ("ease", DISTANCE)
    assert [(probe.name, probe.state) for probe in isolating(reps).probes] == [
        ("handler distance", "untried"),
        ("hand", "untried"),
        ("hold", "untried"),
    ]
    assert any("ease handler distance alone" in text for text in found.because)


@pytest.mark.parametrize("step", BOX.steps, ids=lambda step: step.key)
def test_a_probe_differs_in_one_criterion(step) -> None:  # type: ignore[no-untyped-def]
    assert all(differing(step, probe) == [key] for key, probe in probe_steps(step, BOX).items())


def test_a_probe_goes_on_until_it_tells() -> None:
    reps = [*at("handler-2m", 1, FAIL), *at(DISTANCE, 2, [1, 1, 0, 1, 1])]
    found = decided(reps)
    assert (found.call, found.next_step, isolating(reps).probes[0].state) == ("stay", DISTANCE, "open")


def test_a_probe_that_brings_the_dog_back_names_its_criterion_and_the_way() -> None:
    reps = [*at("handler-2m", 1, FAIL), *at(DISTANCE, 2, [1] * 12)]
    found, known = decided(reps), isolating(reps)
    assert (known.broke, known.settled) == ("handler distance", True)
    assert known.plan == ("handler-2m~distance_m=1", "handler-2m")
    assert (found.call, found.next_step) == ("raise", "handler-2m~distance_m=1")
    assert any("What was too much at Handler 2 m away is handler distance" in text for text in found.because)


def test_a_probe_that_does_not_goes_to_the_next_suspect() -> None:
    reps = [*at("handler-2m", 1, FAIL), *at(DISTANCE, 2, [0, 0, 1, 0, 0])]
    found = decided(reps)
    assert (found.call, found.next_step) == ("ease", HAND)
    reps += at(HAND, 3, [1] * 14)
    assert isolating(reps).broke == "hand"
    assert decided(reps).next_step == HOLD  # a hand is here or there: it comes back with shorter holds
    reps += at(HOLD, 4, [1] * 5)
    assert decided(reps).call == "stay"
    reps += at(HOLD, 5, [1] * 12)
    assert (decided(reps).call, decided(reps).next_step) == ("raise", "handler-2m")
    assert isolating(reps).broke == "hand"


def test_none_is_an_answer() -> None:
    reps = at("handler-2m", 1, FAIL)
    for number, key in enumerate((DISTANCE, HAND, HOLD), 2):
        reps += at(key, number, [0] * 6)
    known = isolating(reps)
    assert (known.broke, known.settled) == (None, True)
    assert any("No single criterion explains" in text for text in known.because)
    there = step_of(BOX, decided(reps).next_step)
    assert there is not None
    assert (there.hand, there.distance_m, there.ask_s) == ("side", 0.0, (1.0, 2.0))


def test_a_step_that_changed_one_thing_goes_back_one_step() -> None:
    assert decided(session(1, [1, 0, 0, 1, 0, 0])).next_step == "hold-3"


def test_a_fail_long_ago_is_no_fail_now() -> None:
    reps = [*at("handler-2m", 1, FAIL), *at("handler-2m", 2, [1] * 20), *at(DISTANCE, 3, [1] * 3)]
    assert decided(reps).isolating is None


def test_refusals_stop_before_anything_is_isolated() -> None:
    reps = [replace(rep, hold_s=0.0) for rep in at("handler-2m", 1, [0, 0, 0])]
    assert decided(reps).call == "stop"


def test_the_dogs_own_reps_are_counted_with_that_criterion_alone_eased() -> None:
    near = [replace(rep, distance_m=0.0, met=True) for rep in at("handler-2m", 1, [1] * 6)]
    blames = {blame.name: blame for blame in isolating([*near, *at("handler-2m", 2, FAIL * 2)]).blames}
    assert (blames["handler distance"].eased.met, blames["handler distance"].eased.reps) == (6, 6)
    assert (blames["handler distance"].now.met, blames["handler distance"].now.reps) == (2, 8)
    assert "6 of 6 met (61% to 100%) with it alone eased" in blames["handler distance"].said
    assert blames["hand"].said == "Hand: never eased alone."


def test_criteria_that_always_moved_together_are_said_to() -> None:
    easy = [replace(rep, hand="side", distance_m=0.0) for rep in at("handler-2m", 1, [1] * 6)]
    blames = {blame.name: blame for blame in isolating([*easy, *at("handler-2m", 2, FAIL * 3)]).blames}
    assert blames["hand"].together == ("handler distance",)
    assert blames["hand"].said == "Hand: never tried apart from handler distance."


@pytest.mark.parametrize("count", [2, 3, 4])
def test_the_exact_risks_keep_to_what_is_accepted(count: int) -> None:
    wrong, missed = probe_risks(FAILED, count)
    assert 0.02 < wrong < WRONG
    assert missed < 0.25


def test_a_probe_ends_at_its_cap() -> None:
    even = [True, True, True, False] * 20
    assert probe_state(even[: PROBE_CAP - 1], FAILED, 3) == "open"
    assert probe_state(even[:PROBE_CAP], FAILED, 3) == "not restored"
    assert probe_state([], FAILED, 3) == "untried"


def test_what_was_raised_is_probed_before_what_went_better_eased() -> None:
    short = [replace(rep, ask_s=1.5, met=True) for rep in at("handler-2m", 1, [1] * 6)]
    known = isolating([*short, *at("handler-2m", 2, FAIL * 3)])
    assert [probe.name for probe in known.probes] == ["handler distance", "hold", "hand"]


def test_a_rep_counts_once_as_now_or_as_eased() -> None:
    short = [replace(rep, ask_s=1.5, met=True) for rep in at("handler-2m", 1, [1] * 6)]
    known = isolating([*short, *at("handler-2m", 2, FAIL * 3)])
    hold = next(blame for blame in known.blames if blame.name == "hold")
    assert (hold.now.met, hold.now.reps, hold.eased.met, hold.eased.reps) == (3, 12, 6, 6)
