"""Two people at one session: what the second one decides on what stood before is refused, not written."""

from collections.abc import Callable

import pytest

from nares.app import jobs
from nares.app.deeds import Amend, ConfirmReps, CorrectRep, Receipt, SetAside
from nares.app.desk import Desk
from nares.base.errors import Refused
from nares.record.store import Proposed

Deed = Callable[[Desk, int], Receipt]


def newest(desk: Desk) -> int:
    head = desk.store.head()
    assert head is not None
    return head[0]


def seen_of(desk: Desk, rep: int) -> int:
    return jobs.session_page(desk, "moss-01").reps[rep - 1].seen


def confirm_one(desk: Desk, seen: int) -> Receipt:
    row = jobs.session_page(desk, "moss-01").reps[0].proposed
    assert row is not None
    return jobs.confirm_reps(desk, ConfirmReps("moss-01", "Wren", (row,), "Seen.", seen))


def correct(desk: Desk, seen: int) -> Receipt:
    return jobs.correct_rep(desk, CorrectRep("moss-01", 1, {"met": "0"}, "Seen.", "Wren", seen))


def set_aside(desk: Desk, seen: int) -> Receipt:
    return jobs.set_aside(desk, SetAside("moss-01", 1, "Wren", "A cat.", seen))


DEEDS = {"confirm one": confirm_one, "correct": correct, "set aside": set_aside}


@pytest.mark.parametrize("deed", DEEDS.values(), ids=DEEDS)
def test_a_rep_changed_after_it_was_seen_is_left_as_it_is(desk: Desk, session: str, deed: Deed) -> None:
    seen = seen_of(desk, 1)
    jobs.correct_rep(desk, CorrectRep(session, 1, {"hold_s": "1.1"}, "Slowly.", "Tobias"))
    theirs, before = seen_of(desk, 1), newest(desk)
    said = rf"Rep 1 was changed since this page was opened \(entry {theirs} by Tobias\): look again\."
    with pytest.raises(Refused, match=said):
        deed(desk, seen)
    assert newest(desk) == before
    deed(desk, theirs)


@pytest.mark.parametrize("deed", DEEDS.values(), ids=DEEDS)
def test_another_rep_of_the_session_changes_nothing(desk: Desk, session: str, deed: Deed) -> None:
    seen = seen_of(desk, 1)
    jobs.correct_rep(desk, CorrectRep(session, 2, {"hold_s": "0.5"}, "Slowly.", "Tobias"))
    deed(desk, seen)


def test_every_further_correction_is_newer_than_what_was_seen(desk: Desk, session: str) -> None:
    seen = [seen_of(desk, 1)]
    for deed in (confirm_one, correct, set_aside, confirm_one):
        deed(desk, seen[-1])
        seen.append(seen_of(desk, 1))
    assert seen == sorted(set(seen))


def test_an_ask_corrected_meanwhile_makes_the_proposal_another(desk: Desk, session: str) -> None:
    seen = seen_of(desk, 1)
    run = desk.store.session(session).entry
    jobs.amend(desk, Amend(run, "/asks_s", [2.0], "Misread.", "Tobias"))
    with pytest.raises(Refused, match="Rep 1 was changed"):
        confirm_one(desk, seen)


def test_confirming_all_is_refused_when_one_of_them_is_another_meanwhile(desk: Desk, session: str) -> None:
    seen = newest(desk)
    run = desk.store.session(session).entry
    jobs.amend(desk, Amend(run, "/asks_s", [2.0], "Misread.", "Tobias"))
    with pytest.raises(Refused, match="Rep 1 was changed"):
        jobs.confirm_reps(desk, ConfirmReps(session, "Wren", seen=seen))
    jobs.confirm_reps(desk, ConfirmReps(session, "Wren", seen=newest(desk)))


@pytest.mark.parametrize("theirs", ["/reps/0/hold_s"])
def test_a_value_amended_after_it_was_seen_is_left_as_it_is(desk: Desk, session: str, theirs: str) -> None:
    jobs.confirm_reps(desk, ConfirmReps(session, "Wren"))
    entry, seen = desk.store.reps(session=session)[0].entry, newest(desk)
    held = desk.store.present(entry).payload["reps"][0]
    new = 1.1 if theirs.endswith("hold_s") else {**held, "hold_s": 1.1}
    jobs.amend(desk, Amend(entry, theirs, new, "Slowly.", "Tobias"))
    before = newest(desk)
    with pytest.raises(Refused, match=r"was changed since this page was opened .*by Tobias"):
        jobs.amend(desk, Amend(entry, "/reps/0/hold_s", 0.9, "Seen.", "Wren", seen))
    assert newest(desk) == before
    jobs.amend(desk, Amend(entry, "/reps/0/disturbance", 2, "Van.", "Wren", before))


def test_nobody_comes_between_looking_and_writing(
    desk: Desk, session: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A colleague's entry lands after the first look: the look inside the transaction finds it."""
    seen, plain = seen_of(desk, 1), desk.store.append_all

    def late(proposed: object) -> object:
        monkeypatch.setattr(type(desk.store), "append_all", lambda store, rows: plain(rows))
        plain(
            [Proposed("rep_set_aside", {"session": session, "rep": 1, "why": "A cat."}, desk.now(), "Tobias")]
        )
        return plain(proposed)  # type: ignore[arg-type]

    monkeypatch.setattr(type(desk.store), "append_all", lambda store, rows: late(rows))
    with pytest.raises(Refused, match="by Tobias"):
        confirm_one(desk, seen)
    assert desk.store.reps(session=session) == []
