import re
from typing import Any

import pytest
from tests.record.kennel import (
    FILM_SHA256,
    KENNEL,
    SITE,
    amendment,
    corrected,
    reading,
    recording,
    rep,
    session,
    write,
)

from nares.base.errors import NaresError, Refused, Unknown
from nares.record.store import Store

OTHER = "0" * 64


def confirmed(*reps: Any, session: str = "b1", reading: int | None = None) -> dict[str, Any]:
    return {"session": session, "reading": reading, "reps": list(reps)}


MOVED_NOTHING = {"edit": "a", "lane": "marks", "deed": "moved", "event": "marks-0", "now": [5.0]}
PLACE = {"rep": 1, "start_s": 4.0, "end_s": 5.0}
REFUSED: list[tuple[str, Any, str]] = [
    ("kennel_founded", {"kennel": KENNEL, "site": SITE}, "founded by the first entry only"),
    (
        "kennel_founded",
        {"kennel": "Other", "site": SITE},
        "laptop, not for Other, laptop",
    ),
    ("dog_added", {"dog": "Brine", "breed": "x"}, r"already a dog called 'Brine' \(entry 2\)"),
    ("dog_added", {"dog": " ", "breed": "x"}, "empty or has blanks"),
    ("programme_kept", {"name": "box", "text": "x", "sha256": OTHER}, "does not have the digest given"),
    ("session_run", session(), r"already a session called 'b1' \(entry 4\)"),
    ("session_run", session("b2", started_at="yesterday"), "'yesterday' is not a date and time"),
    ("session_run", session("b2", asks_s=[1, -1]), "An ask in seconds is -1"),
    ("session_run", session("b2", disturbance=4), "Disturbance 4 does not exist"),
    ("session_run", session("b2", front=[0.5, 0.5, 0.9, 0.1]), "does not lie inside the picture"),
    ("recording_kept", recording(), "Entry 5 already keeps this recording"),
    ("recording_kept", {**recording(), "sha256": "ABC"}, "is no SHA-256"),
    ("reps_confirmed", confirmed(), "No reps were given"),
    ("reps_confirmed", confirmed(rep(1)), "Rep 1 of session 'b1' is already confirmed by entry 7"),
    ("reps_confirmed", confirmed(rep(4), rep(4)), "Rep 4 of session 'b1' is given twice"),
    ("reps_confirmed", confirmed(rep(4, hold_s=-0.5)), "hold in seconds of rep 4 in session 'b1' is -0.5"),
    ("reps_confirmed", confirmed(rep(4, ask_s=-1.0)), "ask in seconds of rep 4"),
    ("reps_confirmed", confirmed(rep(0)), "Rep 0 of session 'b1' does not exist"),
    ("reps_confirmed", confirmed(rep(4, session="b2")), "names session 'b2' in an entry for 'b1'"),
    (
        "reps_confirmed",
        confirmed(rep(4, dog="Samphire")),
        "names the dog 'Samphire', but session 'b1'",
    ),
    ("reps_confirmed", confirmed(rep(4, ended_by="unknown")), "Invalid enum value 'unknown'"),
    ("events_corrected", corrected("a", None), "names the reading"),
    ("events_corrected", {**corrected("a"), "whose": "Runa Vell"}, "no person's own sheet"),
    ("events_corrected", {**corrected("a", own=True), "whose": " "}, "Whose own sheet this is ' ' is empty"),
    ("events_corrected", corrected("a", at_s=91), r"91 s lies outside the recording of 90 s"),
    ("events_corrected", corrected("a b"), "no proper name"),
    ("events_corrected", {**corrected("a"), "edits": [MOVED_NOTHING]}, "was removed meanwhile"),
    ("events_corrected", {**corrected("a"), "edits": 2 * corrected("a")["edits"]}, "on the record already"),
    ("events_corrected", {**corrected("a"), "sheet": "blank"}, "does not fit events_corrected"),
    ("events_corrected", {**corrected("a"), "reps": 2 * [PLACE]}, "each once"),
    ("events_corrected", {**corrected("a"), "reps": [{**PLACE, "rep": 0}]}, "numbered from 1"),
    ("rep_set_aside", {"session": "b1", "rep": 3, "why": "x"}, "already set aside by entry 9"),
    ("rep_set_aside", {"session": "b1", "rep": 2, "why": " "}, "A reason is missing"),
    ("call_overruled", {"dog": "Brine", "step": "hold", "call": "stay", "why": "x"}, "at step 'hand-inside'"),
    ("amended", amendment(7, "/reps/1/hold_s", 1.35, 2.0), r"now holds 0\.8 at /reps/1/hold_s, not 1\.35"),
    ("amended", amendment(7, "/reps/1/hold_s", 0.8, 0.8), "already holds 0.8"),
    ("amended", amendment(7, "/reps/1/hold_s", 0.8, -2), "is -2. It cannot be less than 0"),
    ("amended", amendment(7, "/reps/1/hold_s", 0.8, "long"), "does not fit reps_confirmed"),
    ("amended", amendment(7, "/reps/1/met", True, 1), "does not fit reps_confirmed"),
    ("amended", amendment(7, "/reps/1/met", 1, False), "now holds true at /reps/1/met, not 1"),
    ("amended", amendment(7, "/reps/1/rep", 2, 1), "Set the rep aside and confirm it under the right number"),
    ("amended", amendment(7, "/reps/1", {}, {}), "is not amended"),
    ("amended", amendment(7, "/reps", [], []), "is not amended"),
    ("amended", amendment(7, "/schema", 1, 2), "schema of a reps_confirmed entry is not amended"),
    ("amended", amendment(7, "/session", "b1", "b2"), "Confirm the reps with the other session"),
    ("amended", amendment(2, "/dog", "Brine", "Brian"), "Other entries go by this name"),
    ("amended", amendment(2, "/breed", "English Springer Spaniel", "Beagle", why=""), "A reason is missing"),
    ("amended", amendment(6, "/reading", {}, {}), "A reading is what the machine measured"),
    ("amended", amendment(8, "/why", "misread", "x"), "Amend the entry it amends once more"),
    ("amended", amendment(10, "/call", "stay", "raise"), "A call is overruled, not amended"),
    ("amended", amendment(4, "/started_at", "2026-03-01T08:00:00Z", "noon"), "'noon' is not a date"),
]

UNKNOWN: list[tuple[str, Any, str]] = [
    ("session_run", session("b2", dog="Nobody"), "There is no dog called 'Nobody'"),
    ("recording_kept", recording("b2"), "There is no session called 'b2'"),
    ("reading_made", reading("b2"), "There is no session called 'b2'"),
    ("reading_made", {**reading(), "sha256": OTHER}, "keeps no recording 000000000000…"),
    ("reps_confirmed", confirmed(rep(1, session="b2"), session="b2"), "There is no session called 'b2'"),
    ("reps_confirmed", confirmed(rep(4), reading=4), "Entry 4 is no reading"),
    ("events_corrected", corrected("a", 4), "Entry 4 is no reading"),
    ("events_corrected", corrected("a", session="b2"), "There is no session called 'b2'"),
    ("rep_set_aside", {"session": "b2", "rep": 1, "why": "x"}, "There is no session called 'b2'"),
    ("rep_set_aside", {"session": "b1", "rep": 9, "why": "x"}, "no rep 9, neither measured nor confirmed"),
    (
        "step_called",
        {"dog": "Nobody", "step": "a", "call": "stay", "next_step": "a"},
        "no dog called 'Nobody'",
    ),
    (
        "step_called",
        {"dog": "Brine", "step": "a", "call": "stay", "next_step": "a", "last_session": "b2"},
        "no session called 'b2'",
    ),
    ("call_overruled", {"dog": "Samphire", "step": "a", "call": "stay", "why": "x"}, "no call to overrule"),
    ("amended", amendment(99, "/note", "", "x"), "There is no entry 99"),
    ("amended", amendment(2, "/nose", "", "x"), "There is nothing at /nose"),
    ("amended", amendment(7, "/reps/2/hold_s", 1, 2), "There is nothing at /reps/2/hold_s"),
    ("amended", amendment(4, "/dog", "Brine", "Nobody"), "There is no dog called 'Nobody'"),
]


def refusal(store: Store, kind: str, payload: Any) -> NaresError:
    head = store.head()
    with pytest.raises(NaresError) as told:
        write(store, kind, payload)
    assert store.head() == head
    return told.value


@pytest.mark.parametrize(("kind", "payload", "said"), REFUSED)
def test_what_cannot_be_is_refused(store: Store, kind: str, payload: Any, said: str) -> None:
    told = refusal(store, kind, payload)
    assert type(told) is Refused
    assert re.search(said, str(told)), str(told)


@pytest.mark.parametrize(("kind", "payload", "said"), UNKNOWN)
def test_a_name_nobody_has_given_is_unknown(store: Store, kind: str, payload: Any, said: str) -> None:
    told = refusal(store, kind, payload)
    assert type(told) is Unknown
    assert said in str(told)


@pytest.mark.parametrize(("kind", "payload", "said"), [*REFUSED, *UNKNOWN])
def test_a_refusal_is_one_or_two_sentences(store: Store, kind: str, payload: Any, said: str) -> None:
    text = str(refusal(store, kind, payload))
    assert text.endswith((".", "…"))
    assert "\n" not in text
    assert len(text) < 320


def test_a_rep_set_aside_is_taken_back_by_confirming_it(store: Store) -> None:
    write(store, "reps_confirmed", confirmed(rep(3, hold_s=0.4), reading=6))
    assert store.set_aside("b1") == []
    assert [(kept.rep.rep, kept.state) for kept in store.reps(session="b1")][-1] == (3, "confirmed")
    write(store, "rep_set_aside", {"session": "b1", "rep": 3, "why": "a paw after all"})
    write(store, "reps_confirmed", confirmed(rep(3, hold_s=0.6), reading=6))
    assert [kept.rep.hold_s for kept in store.reps(session="b1") if kept.rep.rep == 3] == [0.6]


def test_the_same_recording_may_be_kept_with_another_session(store: Store) -> None:
    write(store, "session_run", session("b2"))
    write(store, "recording_kept", recording("b2"))
    found = store.recording(FILM_SHA256)
    assert found is not None
    assert found.session == "b1"


def test_a_reading_of_another_session_is_refused(store: Store) -> None:
    write(store, "session_run", session("b2"))
    told = refusal(store, "reps_confirmed", confirmed(rep(1, session="b2"), session="b2", reading=6))
    assert "is a reading of session 'b1', not of 'b2'" in str(told)


def test_reps_may_come_from_a_correction_but_not_from_somebodys_own_sheet(store: Store) -> None:
    write(store, "events_corrected", corrected("a"))
    own = write(store, "events_corrected", corrected("b", own=True)).number
    told = refusal(store, "reps_confirmed", confirmed(rep(4), reading=own))
    assert "is no reading" in str(told)
    write(store, "reps_confirmed", confirmed(rep(4), reading=own - 1))


def test_a_correction_is_not_amended(store: Store) -> None:
    number = write(store, "events_corrected", corrected("a")).number
    told = refusal(store, "amended", amendment(number, "/edits/0/now", [5.0], [6.0]))
    assert "take the change back there" in str(told)


def test_a_rep_found_by_a_correction_can_be_set_aside(store: Store) -> None:
    write(store, "events_corrected", {**corrected("a"), "reps": [{**PLACE, "rep": 9}]})
    write(store, "rep_set_aside", {"session": "b1", "rep": 9, "why": "a cat"})


def test_own_sheets_do_not_see_the_reading_or_each_other(store: Store) -> None:
    write(store, "events_corrected", corrected("a", own=True))
    write(store, "events_corrected", {**corrected("a", own=True), "whose": "Tobias"})
    write(store, "events_corrected", corrected("a"))
    assert store.own_sheets("b1") == ["Runa Vell", "Tobias"]
    assert [len(store.corrections_of("b1", sheet="own", whose=whose)) for whose in ("Tobias", "Nobody")] == [
        1,
        0,
    ]
