"""Signs of stress through the jobs: what they do to the call, what ends them, what is refused."""

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from tests.app.decided import met_reps
from tests.app.kennels import TickingClock

from nares.app import jobs
from nares.app.deeds import ClearSigns, NoteSigns, OverruleCall, TakeCard
from nares.app.desk import Desk
from nares.app.pages import CallView
from nares.base.errors import NaresError, Refused


def call_of(desk: Desk) -> CallView:
    call = jobs.dog_page(desk, "Moss").card.call
    assert call is not None
    return call


@pytest.fixture
def raised(desk: Desk, tmp_path: Path) -> Desk:
    """Moss with ten reps met at the second step: the numbers say raise."""
    met_reps(desk, tmp_path, "m1", [1] * 10)
    assert call_of(desk).call == "raise"
    return desk


def test_strong_signs_stop_whatever_the_numbers_say(raised: Desk) -> None:
    receipt = jobs.note_signs(raised, NoteSigns("Moss", ("crouch",), "Wren", session="m1", rep=9))
    call = call_of(raised)
    assert (call.call, call.alone) == ("stop", "raise")
    assert call.because[0].startswith("Signs come before the numbers: crouches (level 3, in m1). Stop the")
    assert "The numbers alone would have said raise" in call.because[1]
    assert "Stop the session" in receipt.said
    assert call.evidence.met == 10


def test_plain_signs_step_back_one_criterion(raised: Desk) -> None:
    jobs.note_signs(raised, NoteSigns("Moss", ("ears_tail",), "Wren"))
    call = call_of(raised)
    assert (call.call, call.next_step, call.alone) == ("ease", "source-value", "raise")
    assert "rest at least 5 minutes" in call.because[0]


def test_one_mild_sign_leaves_the_call_and_a_second_near_it_does_not(raised: Desk) -> None:
    before = call_of(raised)
    jobs.note_signs(raised, NoteSigns("Moss", ("yawn",), "Wren", session="m1", rep=3))
    assert call_of(raised) == before
    jobs.note_signs(raised, NoteSigns("Moss", ("paw_lift",), "Wren", session="m1", rep=5))
    assert call_of(raised).call == "ease"


def test_signs_stay_in_force_over_later_sessions_until_looked_into(raised: Desk, tmp_path: Path) -> None:
    jobs.note_signs(raised, NoteSigns("Moss", ("whine",), "Wren", session="m1"))
    met_reps(raised, tmp_path, "m2", [1] * 10, day=3)
    assert call_of(raised).call == "stop"
    jobs.clear_signs(raised, ClearSigns("Moss", "A sharp edge, filed off.", "Wren"))
    assert (call_of(raised).call, call_of(raised).alone) == ("raise", None)
    page = jobs.signs_page(raised, "Moss")
    assert (page.standing.level, page.lines[0].cleared_by) == (0, "Wren")


def test_plain_signs_pass_with_a_later_session(raised: Desk, tmp_path: Path) -> None:
    jobs.note_signs(raised, NoteSigns("Moss", ("move_away",), "Wren", session="m1"))
    met_reps(raised, tmp_path, "m2", [1] * 10, day=3)
    assert call_of(raised).call == "raise"
    assert not jobs.signs_page(raised, "Moss").lines[0].stands


def test_the_second_session_with_strong_signs_wants_a_vet(raised: Desk, tmp_path: Path) -> None:
    jobs.note_signs(raised, NoteSigns("Moss", ("crouch",), "Wren", session="m1"))
    jobs.clear_signs(raised, ClearSigns("Moss", "Looked fine.", "Wren"))
    met_reps(raised, tmp_path, "m2", [1] * 4, day=3)
    said = jobs.note_signs(raised, NoteSigns("Moss", ("salivating",), "Wren", session="m2")).said
    assert "A vet sees the dog before more work" in said
    with pytest.raises(Refused, match="A vet is to see Moss"):
        jobs.clear_signs(raised, ClearSigns("Moss", "Looked fine.", "Wren"))
    jobs.clear_signs(raised, ClearSigns("Moss", "Dr Hale: a tooth.", "Wren", vet=True))
    assert call_of(raised).call != "stop"


def test_a_dog_without_reps_is_stopped_too(desk: Desk) -> None:
    jobs.note_signs(desk, NoteSigns("Moss", ("stuck",), "Wren"))
    call = call_of(desk)
    assert call.call == "stop"
    assert "follow your vet's protocol and call them now" in call.because[0]


def test_nobody_overrules_signs(raised: Desk) -> None:
    jobs.note_signs(raised, NoteSigns("Moss", ("crouch",), "Wren"))
    before = raised.store.count()
    with pytest.raises(Refused, match="Look into them first"):
        jobs.overrule_call(raised, OverruleCall("Moss", "raise", "He is fine.", "Wren"))
    assert raised.store.count() == before


GOOD = NoteSigns("Moss", ("yawn",), "Wren", session="m1")


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (replace(GOOD, signs=()), "No sign was chosen"),
        (replace(GOOD, signs=("tired",)), "no sign 'tired'"),
        (replace(GOOD, session="m9"), "no session called 'm9'"),
        (replace(GOOD, dog="Rex"), "no dog called 'Rex'"),
        (replace(GOOD, rep=0), "Reps count from 1"),
    ],
)
def test_what_cannot_be_is_refused_whole(raised: Desk, asked: NoteSigns, said: str) -> None:
    before = raised.store.count()
    with pytest.raises(NaresError, match=said):
        jobs.note_signs(raised, asked)
    assert raised.store.count() == before


def test_signs_written_meanwhile_are_not_cleared_unseen(raised: Desk) -> None:
    jobs.note_signs(raised, NoteSigns("Moss", ("crouch",), "Wren"))
    seen = jobs.signs_page(raised, "Moss").newest
    jobs.note_signs(raised, NoteSigns("Moss", ("whine",), "Tobias"))
    with pytest.raises(Refused, match="since this page was opened"):
        jobs.clear_signs(raised, ClearSigns("Moss", "Fine.", "Wren", seen=seen))
    with pytest.raises(Refused, match="Say why"):
        jobs.clear_signs(raised, ClearSigns("Moss", "", "Wren"))


def test_nothing_stands_nothing_to_clear(desk: Desk) -> None:
    with pytest.raises(Refused, match="No signs of Moss stand"):
        jobs.clear_signs(desk, ClearSigns("Moss", "Fine.", "Wren"))


def test_going_in_again_ever_later_is_flagged_of_the_newest_measured_session(
    desk: Desk, session: str
) -> None:
    page = jobs.signs_page(desk, "Moss")
    assert (page.returned_in, page.returned) == (session, None)  # four reps are too few
    kept = desk.store.reading_of(session)
    assert kept is not None
    pauses = [1.0] * 6 + [3.0] * 5
    edges = [(10.0 + sum(pauses[:n]) + 2 * n, 12.0 + sum(pauses[:n]) + 2 * n) for n in range(12)]
    reps = [
        {**kept.reading["reps"][0], "rep": n, "nose_in_s": a, "nose_out_s": b}
        for n, (a, b) in enumerate(edges, 1)
    ]
    made = {**desk.store.entry(kept.entry).payload, "reading": {**kept.reading, "reps": reps}}
    desk.store.append("reading_made", made, happened_at=desk.now(), by="Wren")
    found = jobs.signs_page(desk, "Moss").returned
    assert found is not None
    assert (found.first_s, found.last_s, found.flagged) == (1.0, 3.0, True)


def test_signs_are_offered_for_a_session_of_the_last_hours_only(desk: Desk, session: str) -> None:
    clock = desk.now
    assert isinstance(clock, TickingClock)
    assert jobs.signs_page(desk, "Moss").session_now == session  # an hour ago
    clock.at += timedelta(hours=4)
    assert jobs.signs_page(desk, "Moss").session_now == ""


def test_a_session_entered_later_that_began_before_the_signs_lets_nothing_pass(
    raised: Desk, tmp_path: Path
) -> None:
    clock = raised.now
    assert isinstance(clock, TickingClock)
    clock.at += timedelta(days=1)
    jobs.note_signs(raised, NoteSigns("Moss", ("move_away",), "Wren"))
    met_reps(raised, tmp_path, "m2", [1] * 10, day=3, hour=8)
    assert call_of(raised).call == "ease"
    met_reps(raised, tmp_path, "m3", [1] * 10, day=4)
    assert call_of(raised).call == "raise"


def test_the_session_card_says_it_too_and_a_card_taken_before_no_longer_stands(raised: Desk) -> None:
    jobs.take_card(raised, TakeCard("Moss", "Wren"))
    assert jobs.card_page(raised, "Moss").taken is not None
    jobs.note_signs(raised, NoteSigns("Moss", ("crouch",), "Wren"))
    card = jobs.card_page(raised, "Moss")
    assert (card.taken, card.call) == (None, "stop")
    assert card.warnings[0].startswith("Signs come before the numbers")
