"""A fail at a combination through the jobs: the probe is planned, run, and judged; the grounds are shown."""

from dataclasses import asdict, replace
from pathlib import Path

import pytest
from tests.app.decided import met_reps

from nares.app import jobs
from nares.app.deeds import OverruleCall
from nares.app.desk import Desk
from nares.app.pages import CallView
from nares.app.running import current_step

PROBE = "disturb-mild~disturbance=0"


def call_of(desk: Desk) -> CallView:
    call = jobs.dog_page(desk, "Moss").card.call
    assert call is not None
    return call


@pytest.fixture
def failed(desk: Desk, tmp_path: Path) -> Desk:
    """Moss failed at mild disturbance."""
    met_reps(desk, tmp_path, "m1", [1, 0, 0, 1, 0, 0], step="disturb-mild", ask_s=2.0)
    return desk


def test_the_probe_is_the_next_session(failed: Desk) -> None:
    call = call_of(failed)
    assert (call.call, call.next_step, call.next_step_name) == (
        "ease",
        PROBE,
        "Mild disturbance, disturbance eased to 0",
    )
    assert {rep.disturbance for rep in call.next_session} == {0}
    assert {rep.hand for rep in call.next_session} == {"away"}
    assert current_step(failed, "Moss") == PROBE
    assert call.isolating is not None
    assert [probe.name for probe in call.isolating.probes] == ["disturbance", "hand", "hold"]


def test_reps_at_the_probe_name_the_criterion(failed: Desk, tmp_path: Path) -> None:
    met_reps(failed, tmp_path, "m2", [1] * 13, step=PROBE, day=3, ask_s=2.0)
    call = call_of(failed)
    assert call.isolating is not None
    assert (call.isolating.broke, call.call, call.next_step) == (
        "disturbance",
        "raise",
        "disturb-mild~ask_s=1-2",
    )
    card = jobs.dog_page(failed, "Moss").card
    assert card.step_number == 14  # a probe belongs to the step it was made from


def test_a_probe_can_be_chosen_by_a_person(failed: Desk) -> None:
    page = jobs.overrulings_page(failed, dog="Moss")
    assert ("disturb-mild~hand=side", "Mild disturbance, hand eased to side") in page.steps
    asked = OverruleCall("Moss", "ease", "He watches the hand.", "Wren", "disturb-mild~hand=side")
    jobs.overrule_call(failed, asked)
    assert call_of(failed).next_session[0].hand == "side"


def test_several_at_once_are_said_to_the_person(failed: Desk) -> None:
    asked = OverruleCall("Moss", "raise", "He can.", "Wren", "disturb-hold")
    said = jobs.overrule_call(failed, asked).said
    assert "hold and disturbance are raised at once" in said
    assert "raised at once" not in jobs.overrule_call(failed, replace(asked, next_step="hold-8")).said


def test_grounds_of_another_shape_are_left_out_not_fatal(failed: Desk) -> None:
    entry = next(one for one in failed.store.entries() if one.kind == "step_called")
    other = {**entry.payload, "isolating": {"failed": 3}, "offers": "none"}
    failed.store.append("step_called", other, happened_at=failed.now(), by="Wren")
    assert call_of(failed).isolating is None
    assert asdict(call_of(failed))["offers"] == ()


def test_the_card_is_laid_out_for_the_probe(failed: Desk) -> None:
    card = jobs.card_page(failed, "Moss")
    assert (card.step, card.step_name) == (PROBE, "Mild disturbance, disturbance eased to 0")
    assert len(card.reps) == 12
