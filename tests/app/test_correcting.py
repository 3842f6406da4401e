"""Corrections on the timeline: kept beside the reading, the reps follow, what is confirmed stays."""

import pytest

from nares.app import jobs
from nares.app.deeds import ConfirmReps, Corrected, CorrectEvents
from nares.app.desk import Desk
from nares.app.pages import RepLine
from nares.base.errors import Refused, Unknown
from nares.measure.corrections import Edit


def edit(name: str, deed: str, lane: str, event: str = "", now: tuple[float, ...] = ()) -> Edit:
    return Edit(name, lane, deed, event or name, (), now)  # type: ignore[arg-type]


def correct(desk: Desk, *edits: Edit, by: str = "Wren", own: bool = False) -> Corrected:
    return jobs.correct_events(desk, CorrectEvents("moss-01", by, edits, own=own))


def line(desk: Desk, rep: int) -> RepLine:
    return next(one for one in jobs.session_page(desk, "moss-01").reps if one.rep == rep)


def to_confirm(desk: Desk) -> int:
    return jobs.session_page(desk, "moss-01").line.to_confirm


def confirm(desk: Desk, rep: int, why: str = "") -> None:
    row = line(desk, rep).proposed
    assert row is not None
    jobs.confirm_reps(desk, ConfirmReps("moss-01", "Wren", (row,), why))


LATER = edit("later", "moved", "marks", "marks-0", (11.9,))


def test_a_moved_mark_changes_the_rep_and_never_the_reading(desk: Desk, session: str) -> None:
    before = jobs.session_page(desk, session).reading
    done = correct(desk, LATER)
    assert (done.saved, done.refused) == (("later",), {})
    page = jobs.session_page(desk, session)
    assert page.reading == before
    measured = line(desk, 1).measured
    assert measured is not None
    assert (measured.mark_s, round(measured.hold_s or 0, 3)) == (11.9, 1.9)
    assert jobs.lanes_as(desk, session, "machine").marks != jobs.lanes_as(desk, session, "standing").marks


def test_sent_twice_it_stands_once(desk: Desk, session: str) -> None:
    correct(desk, LATER)
    entries = jobs.record_page(desk).total
    again = correct(desk, LATER)
    assert (again.saved, again.receipt) == (("later",), None)
    assert jobs.record_page(desk).total == entries


def test_two_people_are_merged_and_a_change_of_what_is_gone_is_refused(desk: Desk, session: str) -> None:
    correct(desk, edit("gone", "removed", "marks", "marks-1"), by="Tobias")
    done = correct(desk, edit("m", "moved", "marks", "marks-1", (31.0,)), LATER)
    assert done.saved == ("later",)
    assert done.refused == {"m": "This event was removed meanwhile by Tobias: look again."}


def test_a_missed_mark_added_makes_the_dogs_rep_a_marked_one(desk: Desk, session: str) -> None:
    assert line(desk, 2).measured.ended_by == "dog"  # type: ignore[union-attr]
    correct(desk, edit("m", "added", "marks", now=(20.5,)))
    measured = line(desk, 2).measured
    assert measured is not None
    assert (measured.ended_by, round(measured.hold_s or 0, 3)) == ("mark", 0.5)


def test_a_rep_found_later_gets_the_next_number_and_keeps_it(desk: Desk, session: str) -> None:
    correct(desk, edit("n", "added", "nose_in", now=(50.0, 52.0)), edit("m", "added", "marks", now=(51.5,)))
    assert [one.rep for one in jobs.session_page(desk, session).reps] == [1, 2, 3, 4, 5]
    confirm(desk, 5)
    correct(desk, edit("n2", "added", "nose_in", now=(15.0, 17.0)), edit("m2", "added", "marks", now=(16.5,)))
    fifth, sixth = line(desk, 5).measured, line(desk, 6).measured
    assert (fifth and fifth.nose_in_s, sixth and sixth.nose_in_s) == (50.0, 15.0)
    assert line(desk, 5).look_again == ""


def test_the_number_of_a_rep_taken_away_is_not_given_again(desk: Desk, session: str) -> None:
    correct(desk, edit("n", "added", "nose_in", now=(50.0, 52.0)))
    correct(desk, edit("u", "undone", "nose_in", "n"))
    correct(desk, edit("n2", "added", "nose_in", now=(5.0, 7.0)))
    assert [one.rep for one in jobs.session_page(desk, session).reps] == [1, 2, 3, 4, 6]


def test_a_confirmed_rep_stays_and_asks_for_another_look(desk: Desk, session: str) -> None:
    confirm(desk, 1)
    kept = line(desk, 1).kept
    correct(desk, LATER)
    now = line(desk, 1)
    assert now.kept == kept
    assert now.look_again == "Its events were corrected since: hold 1.40 s is now 1.90 s. Look again."
    confirm(desk, 1, "Follows the corrected events.")
    assert line(desk, 1).look_again == ""
    assert round(line(desk, 1).kept.hold_s, 3) == 1.9  # type: ignore[union-attr,arg-type]


def test_another_confirmed_rep_does_not_ask(desk: Desk, session: str) -> None:
    confirm(desk, 3)
    correct(desk, LATER)
    assert line(desk, 3).look_again == ""


def test_a_confirmed_rep_with_nothing_left_says_so(desk: Desk, session: str) -> None:
    confirm(desk, 2)
    correct(desk, edit("r", "removed", "nose_in", "nose_in-1"))
    assert line(desk, 2).look_again.startswith("Nothing of this rep is left on the timeline.")


def test_taken_back_everything_is_as_it_was_read(desk: Desk, session: str) -> None:
    confirm(desk, 1)
    correct(desk, LATER)
    correct(desk, edit("u", "undone", "marks", "later"))
    assert line(desk, 1).look_again == ""
    assert jobs.lanes_as(desk, session, "standing").marks == jobs.lanes_as(desk, session, "machine").marks


def test_confirming_says_which_correction_it_came_from(desk: Desk, session: str) -> None:
    receipt = correct(desk, LATER).receipt
    confirm(desk, 1)
    said = next(one for one in desk.store.entries() if one.kind == "reps_confirmed").payload
    assert receipt is not None
    assert said["reading"] == receipt.entry


def test_the_call_is_made_of_the_corrected_values(desk: Desk, session: str) -> None:
    correct(desk, edit("m", "moved", "marks", "marks-0", (10.3,)))
    confirm(desk, 1)
    call = desk.store.latest_call("Moss")
    assert call is not None
    assert call.evidence["met"] == 0
    correct(desk, LATER)
    confirm(desk, 1, "Follows the corrected events.")
    call = desk.store.latest_call("Moss")
    assert call is not None
    assert call.evidence["met"] == 1


def test_a_page_opened_before_a_correction_cannot_confirm_unseen(desk: Desk, session: str) -> None:
    old = line(desk, 1)
    correct(desk, LATER, by="Tobias")
    assert old.proposed is not None
    with pytest.raises(Refused, match=r"Rep 1 was changed since this page was opened .* by Tobias"):
        jobs.confirm_reps(desk, ConfirmReps(session, "Wren", (old.proposed,), seen=old.seen))


def test_the_count_of_reps_to_confirm_follows(desk: Desk, session: str) -> None:
    assert to_confirm(desk) == 4
    correct(desk, edit("n", "added", "nose_in", now=(50.0, 52.0)))
    assert to_confirm(desk) == 5


def test_an_own_sheet_begins_empty_and_does_not_stand(desk: Desk, session: str) -> None:
    assert jobs.own_sheets(desk, session) == ()
    correct(desk, edit("a", "added", "marks", now=(11.5,)), own=True)
    correct(desk, edit("a", "added", "nose_in", now=(10.0, 12.0)), own=True, by="Tobias")
    assert jobs.own_sheets(desk, session) == ("Wren", "Tobias")
    mine, theirs = (jobs.lanes_as(desk, session, whose) for whose in ("Wren", "Tobias"))
    assert mine.marks is not None
    assert [mark.at_s for mark in mine.marks] == [11.5]
    assert (mine.nose_in, theirs.marks) == (None, None)
    assert jobs.lanes_as(desk, session, "standing").marks == jobs.lanes_as(desk, session, "machine").marks
    assert to_confirm(desk) == 4


def test_an_own_sheet_cannot_change_what_the_machine_has(desk: Desk, session: str) -> None:
    assert "m" in correct(desk, edit("m", "removed", "marks", "marks-0"), own=True).refused


@pytest.mark.parametrize("name", ["machine", "standing"])
def test_an_own_sheet_cannot_go_by_the_name_of_other_lanes(desk: Desk, session: str, name: str) -> None:
    with pytest.raises(Refused, match="lanes of that name exist"):
        correct(desk, edit("a", "added", "marks", now=(11.5,)), own=True, by=name)


def test_lanes_nobody_has_are_unknown(desk: Desk, session: str) -> None:
    with pytest.raises(Unknown, match="Nobody has not marked session moss-01"):
        jobs.lanes_as(desk, session, "Nobody")
    with pytest.raises(Unknown, match="no session called 'none'"):
        jobs.own_sheets(desk, "none")


def test_too_many_at_once_and_an_old_reading_are_refused(desk: Desk, session: str) -> None:
    many = tuple(edit(f"e{n}", "added", "marks", now=(1.0 + n / 10,)) for n in range(201))
    with pytest.raises(Refused, match="201 changes came at once"):
        correct(desk, *many)
    with pytest.raises(Refused, match="measured again meanwhile"):
        jobs.correct_events(desk, CorrectEvents(session, "Wren", (LATER,), reading=2))
