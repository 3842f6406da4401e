"""Steps with single criteria brought back: keys that say everything, and nothing eased by guess."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.decide.test_decision import BOX

from nares.decide.isolation.easing import (
    differing,
    eased_by,
    easier_value,
    level_of,
    origin_of,
    parent_of,
    same_criteria,
    step_of,
    suspects,
    with_eased,
)
from nares.decide.steps.criteria import CRITERIA


@given(st.sampled_from(BOX.steps), st.data())
def test_a_key_says_all_of_an_eased_step(step, data) -> None:  # type: ignore[no-untyped-def]
    for key in data.draw(st.permutations(suspects(step, BOX))):
        value = easier_value(step, key, BOX)
        if value is None:
            continue
        eased = with_eased(step, key, value)
        assert step_of(BOX, eased.key) == eased
        assert differing(step, eased) == [key]
        assert level_of(eased, key) < level_of(step, key)
        assert origin_of(eased.key, BOX) == origin_of(step.key, BOX)
        assert parent_of(eased.key) == step.key
        step = eased


@pytest.mark.parametrize(
    "key",
    [
        "nowhere",
        "hold-5~",
        "hold-5~hand",
        "hold-5~hand=nowhere",
        "hold-5~ask_s=3",
        "hold-5~ask_s=5-3",
        "hold-5~disturbance=x",
        "hold-5~colour=red",
        "nowhere~hand=side",
    ],
)
def test_a_key_that_says_nothing_is_no_step(key: str) -> None:
    assert step_of(BOX, key) is None


def test_what_a_step_raised_is_suspected_first_and_the_easiest_never() -> None:
    assert suspects(BOX.step("disturb-hold"), BOX) == ("ask_s", "hand", "disturbance")
    assert suspects(BOX.step("handler-2m"), BOX) == ("distance_m", "hand", "ask_s")
    assert suspects(BOX.steps[0], BOX) == ()


def test_eased_alone_means_as_the_dog_was_last_sure() -> None:
    assert easier_value(BOX.step("hold-5"), "ask_s", BOX) == (1.5, 3.0)
    assert easier_value(BOX.step("hold-5"), "hand", BOX) == "side"
    assert easier_value(BOX.step("disturb-hold"), "disturbance", BOX) == 1


def test_a_step_the_programme_has_goes_by_its_own_name() -> None:
    assert eased_by(BOX.step("hold-5"), BOX, 1) is BOX.step("hold-3")
    assert eased_by(BOX.step("disturb-mild"), BOX, 1).key == "disturb-mild~disturbance=0"
    assert eased_by(BOX.steps[0], BOX, 2) is BOX.steps[0]


@pytest.mark.parametrize("step", BOX.steps[1:], ids=lambda step: step.key)
def test_two_criteria_easier_is_nowhere_harder(step) -> None:  # type: ignore[no-untyped-def]
    easier = eased_by(step, BOX, 2)
    assert not same_criteria(easier, step)
    assert all(level_of(easier, c.key) <= level_of(step, c.key) for c in CRITERIA)
    assert 1 <= len(differing(step, easier)) <= 2
