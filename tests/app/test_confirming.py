"""Standing by reps: what is written, what stays beside it, and what is refused with nothing written."""

from dataclasses import replace

import pytest

from nares.app import jobs
from nares.app.deeds import Amend, ConfirmReps, CorrectRep, SetAside
from nares.app.desk import Desk
from nares.base.errors import NaresError, Refused, Unknown, Unusable


def kinds_after(desk: Desk, number: int) -> list[str]:
    newest = desk.store.head()
    assert newest is not None
    return [desk.store.entry(n).kind for n in range(number + 1, newest[0] + 1)]


def head(desk: Desk) -> int:
    newest = desk.store.head()
    assert newest is not None
    return newest[0]


def test_confirming_writes_the_reps_and_the_call_that_follows(desk: Desk, session: str) -> None:
    before = head(desk)
    jobs.confirm_reps(desk, ConfirmReps(session, "Wren"))
    assert kinds_after(desk, before) == ["reps_confirmed", "step_called"]
    kept = desk.store.reps(session=session)
    assert [row.rep.rep for row in kept] == [1, 2]
    assert [row.rep.met for row in kept] == [True, False]


def test_reps_that_need_a_look_are_left_for_one_and_named(desk: Desk, session: str) -> None:
    said = jobs.confirm_reps(desk, ConfirmReps(session, "Wren")).said
    assert "Reps 1, 2 of moss-01 confirmed. Reps 3, 4 need a person's look" in said
    assert [line.state for line in jobs.session_page(desk, session).reps][2:] == ["measured", "measured"]
    unsure = jobs.session_page(desk, session).reps[2].proposed
    assert unsure is not None
    assert "look" not in jobs.confirm_reps(desk, ConfirmReps(session, "Wren", (unsure,))).said
    with pytest.raises(Refused, match=r"Rep 4 needs a person's look"):
        jobs.confirm_reps(desk, ConfirmReps(session, "Wren"))


def test_a_rep_whose_end_was_not_seen_waits_for_a_person(desk: Desk, session: str) -> None:
    jobs.confirm_reps(desk, ConfirmReps(session, "Wren"))
    line = jobs.session_page(desk, session).reps[3]
    assert (line.state, line.proposed, line.low_certainty) == ("measured", None, True)
    with pytest.raises(Refused, match="Reps 3, 4 need a person's look"):
        jobs.confirm_reps(desk, ConfirmReps(session, "Wren"))


def test_a_rep_filled_in_by_a_person_counts(desk: Desk, session: str) -> None:
    jobs.correct_rep(
        desk,
        CorrectRep(
            session, 4, {"hold_s": "1.2", "ended_by": "dog", "met": "1", "paid": "1"}, "I saw it.", "Wren"
        ),
    )
    kept = desk.store.reps(session=session)
    assert [(row.rep.rep, row.rep.hold_s) for row in kept] == [(4, 1.2)]


def test_a_correction_before_confirming_keeps_the_reading_beside_it(desk: Desk, session: str) -> None:
    jobs.correct_rep(
        desk, CorrectRep(session, 1, {"hold_s": "1.1"}, "The mark was later than heard.", "Wren")
    )
    line = jobs.session_page(desk, session).reps[0]
    assert line.measured is not None
    assert line.kept is not None
    assert (line.measured.hold_s, line.kept.hold_s, line.state) == (1.4, 1.1, "corrected")


def test_a_correction_after_confirming_amends_value_by_value(desk: Desk, session: str) -> None:
    jobs.confirm_reps(desk, ConfirmReps(session, "Wren"))
    before = head(desk)
    jobs.correct_rep(
        desk, CorrectRep(session, 1, {"hold_s": "0.7", "met": "0"}, "Seen again, slowly.", "Tobias")
    )
    assert kinds_after(desk, before) == ["amended", "amended", "step_called"]
    line = jobs.session_page(desk, session).reps[0]
    assert [(c.field, c.old, c.new, c.by) for c in line.changes] == [
        ("hold_s", "1.4", "0.7", "Tobias"),
        ("met", "yes", "no", "Tobias"),
    ]


def test_the_call_follows_what_a_person_stands_by(desk: Desk, session: str) -> None:
    jobs.confirm_reps(desk, ConfirmReps(session, "Wren"))
    before = jobs.dog_page(desk, "Moss").card.call
    jobs.correct_rep(desk, CorrectRep(session, 1, {"met": "0"}, "It was late.", "Wren"))
    after = jobs.dog_page(desk, "Moss").card.call
    assert before is not None
    assert after is not None
    assert (before.evidence.met, after.evidence.met) == (1, 0)


def test_a_rep_set_aside_counts_no_more_and_says_why(desk: Desk, session: str) -> None:
    jobs.confirm_reps(desk, ConfirmReps(session, "Wren"))
    jobs.set_aside(desk, SetAside(session, 2, "Wren", "A cat ran through."))
    page = jobs.session_page(desk, session)
    assert page.reps[1].state == "set aside"
    assert "A cat ran through." in [change.why for change in page.reps[1].changes]
    assert page.line.reps == 1


def test_a_confirmed_rep_set_aside_by_mistake_counts_again_once_confirmed_with_a_reason(
    desk: Desk, session: str
) -> None:
    jobs.confirm_reps(desk, ConfirmReps(session, "Wren"))
    row = desk.store.reps(session=session)[1].rep
    jobs.set_aside(desk, SetAside(session, row.rep, "Wren", "A cat ran through."))
    with pytest.raises(Refused, match=r"Rep 2 was set aside\. Say why"):
        jobs.confirm_reps(desk, ConfirmReps(session, "Wren", (row,)))
    done = jobs.correct_rep(desk, CorrectRep(session, row.rep, {"met": "0"}, "That was rep 3.", "Wren"))
    assert "Rep 2 of moss-01 counts again." in done.said
    page = jobs.session_page(desk, session)
    assert page.reps[1].state != "set aside"
    assert page.line.reps == 2
    assert jobs.verify_record(desk).holds


@pytest.mark.parametrize(
    ("deed", "error", "said"),
    [
        (
            CorrectRep("moss-01", 9, {"met": "1"}, "x", "Wren"),
            Unknown,
            "has no rep 9. Its reps are: 1, 2, 3, 4",
        ),
        (CorrectRep("moss-09", 1, {"met": "1"}, "x", "Wren"), Unknown, "no session called 'moss-09'"),
        (CorrectRep("moss-01", 1, {"hold": "1"}, "x", "Wren"), Unknown, "has no value 'hold'"),
        (CorrectRep("moss-01", 1, {"hold_s": "-1"}, "x", "Wren"), Unusable, "hold_s"),
        (CorrectRep("moss-01", 1, {"hold_s": "soon"}, "x", "Wren"), Unusable, "soon"),
        (CorrectRep("moss-01", 1, {"hold_s": "1.1"}, " ", "Wren"), Refused, "Say why"),
    ],
)
def test_a_correction_that_cannot_be_writes_nothing(
    desk: Desk, session: str, deed: CorrectRep, error: type[NaresError], said: str
) -> None:
    before = head(desk)
    with pytest.raises(error, match=said):
        jobs.correct_rep(desk, deed)
    assert head(desk) == before


@pytest.mark.parametrize("changes", [{"rep": "2"}, {"session": "moss-02"}, {"dog": "Juniper"}])
def test_a_correction_never_lands_on_another_rep(desk: Desk, session: str, changes: dict[str, str]) -> None:
    jobs.confirm_reps(desk, ConfirmReps(session, "Wren"))
    before = head(desk)
    with pytest.raises(Refused, match=r"of a rep is not corrected.*Set the rep aside"):
        jobs.correct_rep(desk, CorrectRep(session, 1, {**changes, "hold_s": "9"}, "Misread.", "Wren"))
    assert head(desk) == before


def test_confirming_other_values_needs_a_reason(desk: Desk, session: str) -> None:
    row = jobs.session_page(desk, session).reps[0].proposed
    assert row is not None
    with pytest.raises(Refused, match=r"Rep 1 differs .* Say why"):
        jobs.confirm_reps(desk, ConfirmReps(session, "Wren", (replace(row, hold_s=9.0),)))


def test_amending_keeps_the_old_value_in_sight(desk: Desk, session: str) -> None:
    jobs.confirm_reps(desk, ConfirmReps(session, "Wren"))
    entry = desk.store.reps(session=session)[0].entry
    said = jobs.amend(desk, Amend(entry, "/reps/0/disturbance", 2, "The van.", "Wren")).said
    assert "0 stays beside it" in said
    shown = {line.number: line for line in jobs.record_page(desk).entries}
    assert shown[entry].amended_by
    assert shown[shown[entry].amended_by[0]].amends == entry


def test_a_failed_decision_takes_its_entries_with_it(
    desk: Desk, session: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Entry and call are one transaction: when deciding breaks, nothing was confirmed either."""

    def broken(*_: object, **__: object) -> None:
        raise RuntimeError("planted")

    before = head(desk)
    monkeypatch.setattr("nares.app.confirming.decide_for", broken)
    with pytest.raises(RuntimeError, match="planted"):
        jobs.confirm_reps(desk, ConfirmReps(session, "Wren"))
    assert head(desk) == before
    assert desk.store.reps(session=session) == []


def test_no_correction_moves_a_session_or_a_rep_into_the_future(desk: Desk, session: str) -> None:
    jobs.confirm_reps(desk, ConfirmReps(session, "Wren"))
    before, later = head(desk), "2031-01-01T08:00:00Z"
    with pytest.raises(Refused, match="after the clock"):
        jobs.correct_rep(desk, CorrectRep(session, 1, {"started_at": later}, "Wrong day.", "Wren"))
    run = next(line for line in jobs.record_page(desk).entries if line.kind == "session_run")
    with pytest.raises(Refused, match="after the clock"):
        jobs.amend(desk, Amend(run.number, "/started_at", later, "Wrong day.", "Wren"))
    assert head(desk) == before


@pytest.mark.parametrize(
    ("field", "new"), [("step", "hand-side"), ("started_at", "2026-03-01T08:00:00.000Z")]
)
def test_the_reps_of_a_session_go_along_when_its_step_or_start_was_wrong(
    desk: Desk, session: str, field: str, new: str
) -> None:
    jobs.confirm_reps(desk, ConfirmReps(session, "Wren"))
    entry = desk.store.session(session).entry
    jobs.amend(desk, Amend(entry, f"/{field}", new, "Chosen wrongly.", "Wren"))
    assert getattr(desk.store.session(session), field) == new
    assert {getattr(row.rep, field) for row in desk.store.reps(session=session)} == {new}
    assert jobs.verify_record(desk).holds
