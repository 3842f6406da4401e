"""Deciding otherwise: the plan follows the person, the advice stays, and what came of it is counted."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest
from tests.app.decided import met_reps

from nares.app import jobs, overruling
from nares.app.deciding import decide_for
from nares.app.deeds import OverruleCall, TakeCard, WithdrawOverruling
from nares.app.desk import Desk
from nares.app.pages import CallView
from nares.app.running import current_step
from nares.base.errors import NaresError, Refused
from nares.base.vocab import Rep
from nares.decide import Decision
from nares.decide.isolation.heeding import Instead

RAISE = OverruleCall("Moss", "raise", "Seen him hold longer at home.", "Wren")


def call_of(desk: Desk) -> CallView:
    call = jobs.dog_page(desk, "Moss").card.call
    assert call is not None
    return call


@pytest.fixture
def staying(desk: Desk, tmp_path: Path) -> Desk:
    """Moss with too few reps to decide: the call is to stay."""
    met_reps(desk, tmp_path, "m1", [1, 1, 0, 1, 1])
    assert (call_of(desk).call, call_of(desk).next_step) == ("stay", "source-breaths")
    return desk


def test_plan_asks_and_next_session_follow_the_person(staying: Desk) -> None:
    jobs.overrule_call(staying, RAISE)
    call = call_of(staying)
    assert (call.call, call.next_step, call.next_session[0].hand) == ("raise", "hand-side", "side")
    assert max(call.asks_s) <= 0.8  # the range of the step gone to, not of the step left
    assert current_step(staying, "Moss") == "hand-side"
    assert call.overruling is not None
    assert (call.overruling.advised, call.overruling.decided) == ("stay", "raise")


def test_the_advice_stays_on_the_record(staying: Desk) -> None:
    before = [entry for entry in staying.store.entries() if entry.kind == "step_called"]
    jobs.overrule_call(staying, RAISE)
    after = [entry for entry in staying.store.entries() if entry.kind == "step_called"]
    assert after == before
    assert staying.store.entries()[0].payload["overrules"] == before[0].number


@pytest.mark.parametrize(
    ("call", "step", "leads_to"),
    [
        ("ease", "", "source-value"),
        ("stop", "", "source-value"),
        ("stay", "source-value", "source-value"),
        ("raise", "hold-3", "hold-3"),
        ("ease", "source-breaths~ask_s=0.5-1", "source-breaths~ask_s=0.5-1"),
    ],
)
def test_a_person_may_name_the_step(staying: Desk, call: str, step: str, leads_to: str) -> None:
    jobs.overrule_call(staying, replace(RAISE, call=call, next_step=step))
    assert (call_of(staying).call, call_of(staying).next_step) == (call, leads_to)
    assert len(call_of(staying).next_session) == 12


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (replace(RAISE, why="  "), "reason is missing"),
        (replace(RAISE, call="leap"), "no call 'leap'"),
        (replace(RAISE, next_step="hold-99"), "no step 'hold-99'"),
        (replace(RAISE, dog="Rex"), "no dog called 'Rex'"),
        (replace(RAISE, call="stay"), "what was called"),
        (replace(RAISE, seen=1), "changed since this page was opened"),
    ],
)
def test_what_cannot_be_is_refused_whole(staying: Desk, asked: OverruleCall, said: str) -> None:
    before = staying.store.count()
    with pytest.raises(NaresError, match=said):
        jobs.overrule_call(staying, asked)
    assert staying.store.count() == before


def test_without_a_call_there_is_nothing_to_overrule(desk: Desk) -> None:
    with pytest.raises(NaresError, match="Nothing has been called"):
        jobs.overrule_call(desk, RAISE)


def test_taken_back_the_call_counts_again_and_both_stay(staying: Desk) -> None:
    advised = call_of(staying)
    jobs.overrule_call(staying, RAISE)
    jobs.withdraw_overruling(staying, WithdrawOverruling("Moss", "Too soon.", "Wren", call_of(staying).entry))
    assert replace(call_of(staying), entry=0) == replace(advised, entry=0)
    line = jobs.overrulings_page(staying, dog="Moss").lines[0]
    assert (line.outcome, line.taken_back) == ("taken back", "Too soon.")
    with pytest.raises(Refused, match="nothing to take back"):
        jobs.withdraw_overruling(staying, WithdrawOverruling("Moss", "Again.", "Wren"))


def test_two_people_do_not_overrule_each_other_unseen(staying: Desk) -> None:
    seen = call_of(staying).entry
    jobs.overrule_call(staying, replace(RAISE, seen=seen))
    with pytest.raises(Refused, match="by Wren"):
        jobs.overrule_call(staying, replace(RAISE, call="ease", by="Tobias", seen=seen))


def test_deciding_once_more_replaces_the_first(staying: Desk) -> None:
    jobs.overrule_call(staying, RAISE)
    jobs.overrule_call(staying, replace(RAISE, call="ease", by="Tobias"))
    lines = jobs.overrulings_page(staying).lines
    assert [(line.decided, line.outcome) for line in lines] == [("ease", "unknown"), ("raise", "taken back")]


@pytest.mark.parametrize(
    ("met", "outcome"),
    [
        ([1] * 6, "too early to say"),
        ([1, 1, 1, 0, 1, 1, 1, 1, 0, 1], "bore out"),
        ([1, 1, 1, 0, 1, 0, 1, 1, 0, 1], "did not"),
    ],
)
def test_was_the_trainer_right(staying: Desk, tmp_path: Path, met: list[int], outcome: str) -> None:
    jobs.overrule_call(staying, RAISE)
    met_reps(staying, tmp_path, "m2", met, step="hand-side", day=3, ask_s=0.5)
    page = jobs.overrulings_page(staying, dog="Moss")
    assert page.lines[0].outcome == outcome
    assert page.tallies[0].bore_out == (outcome == "bore out")
    assert "too few to say" in page.tallies[0].said


def test_reps_before_the_decision_say_nothing_of_it(staying: Desk, tmp_path: Path) -> None:
    jobs.overrule_call(staying, RAISE)
    met_reps(staying, tmp_path, "m0", [1] * 10, step="hand-side", day=1, ask_s=0.5)
    assert jobs.overrulings_page(staying, dog="Moss").lines[0].outcome == "too early to say"


def test_a_new_call_ends_an_overruling(staying: Desk, tmp_path: Path) -> None:
    jobs.overrule_call(staying, RAISE)
    met_reps(staying, tmp_path, "m2", [1] * 3, step="hand-side", day=3, ask_s=0.5)
    call = call_of(staying)
    assert (call.step, call.call, call.overruling) == ("hand-side", "stay", None)


def test_a_card_taken_before_a_person_decided_otherwise_no_longer_stands(staying: Desk) -> None:
    jobs.take_card(staying, TakeCard("Moss", "Wren"))
    jobs.overrule_call(staying, RAISE)
    card = jobs.card_page(staying, "Moss")
    assert (card.taken, card.step) == (None, "hand-side")
    jobs.take_card(staying, TakeCard("Moss", "Wren"))
    jobs.withdraw_overruling(staying, WithdrawOverruling("Moss", "Too soon.", "Wren"))
    assert (jobs.card_page(staying, "Moss").taken, jobs.card_page(staying, "Moss").step) == (
        None,
        "source-breaths",
    )


def test_a_card_shown_before_a_person_decided_otherwise_is_not_taken_unseen(staying: Desk) -> None:
    shown = jobs.card_page(staying, "Moss").call_entry
    jobs.overrule_call(staying, RAISE)
    with pytest.raises(Refused, match="or one overruled, since this card was shown"):
        jobs.take_card(staying, TakeCard("Moss", "Wren", seen=shown))
    jobs.take_card(staying, TakeCard("Moss", "Wren", seen=jobs.card_page(staying, "Moss").call_entry))


def test_nobody_comes_between_looking_and_writing(staying: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    seen, really = call_of(staying).entry, decide_for

    def meanwhile(desk: Desk, dog: str, reps: Sequence[Rep], instead: Instead | None = None) -> Decision:
        monkeypatch.setattr(overruling, "decide_for", really)
        jobs.overrule_call(staying, replace(RAISE, call="ease", by="Tobias"))
        return really(desk, dog, reps, instead)

    monkeypatch.setattr(overruling, "decide_for", meanwhile)
    with pytest.raises(Refused, match="by Tobias"):
        jobs.overrule_call(staying, replace(RAISE, seen=seen))
    assert [one.by for one in staying.store.overrulings()] == ["Tobias"]
