import hashlib

import pytest
from tests.record.kennel import FILM_SHA256, Clock, amendment, reading, session, write

from nares.base.errors import Unknown
from nares.record.store import Store


def test_entries_come_newest_first_a_page_at_a_time(store: Store) -> None:
    assert [entry.number for entry in store.entries(page=1, size=4)] == [11, 10, 9, 8]
    assert [entry.number for entry in store.entries(page=3, size=4)] == [3, 2, 1]
    assert store.entries(page=4, size=4) == []
    assert [entry.number for entry in store.entries(kind="dog_added")] == [3, 2]
    assert (store.count(), store.count("dog_added"), store.count("nothing")) == (11, 2, 0)


def test_an_empty_record_answers(empty: Store) -> None:
    assert empty.head() is None
    assert (empty.dogs(), empty.sessions(), empty.reps(), empty.entries(), empty.kinds()) == (
        [],
        [],
        [],
        [],
        [],
    )


def test_dogs_are_found_by_name(store: Store) -> None:
    assert [found.dog for found in store.dogs()] == ["Brine", "Samphire"]
    assert store.dog("Samphire").sex == "female"
    with pytest.raises(Unknown, match="There is no dog called 'Tern'"):
        store.dog("Tern")


def test_a_session_with_its_recording_and_reading(store: Store) -> None:
    found = store.session("b1")
    assert (found.dog, found.asks_s, found.started_at) == ("Brine", (1.0, 1.5), "2026-03-01T08:00:00.000Z")
    kept = store.recording_of("b1")
    assert kept is not None
    assert (kept.sha256, kept.entry) == (FILM_SHA256, 5)
    read = store.reading_of("b1")
    assert read is not None
    assert (read.entry, read.reading["reps"][2]) == (6, {"rep": 3})
    with pytest.raises(Unknown, match="There is no session called 'b9'"):
        store.session("b9")
    assert (store.recording_of("b9"), store.reading_of("b9"), store.recording("0" * 64)) == (None, None, None)


def test_the_newest_reading_is_read(store: Store) -> None:
    write(store, "reading_made", reading(reps=5))
    read = store.reading_of("b1")
    assert read is not None
    assert read.entry == 12
    assert store.session_counts()["b1"].to_confirm == 2


def test_sessions_come_newest_first(store: Store, clock: Clock) -> None:
    clock.move(3600)
    write(store, "session_run", session("b2", started_at="2026-02-01T09:00:00+01:00"))
    write(store, "session_run", session("b3", started_at="2026-03-01T09:30:00+01:00"))
    assert [found.session for found in store.sessions("Brine")] == ["b3", "b1", "b2"]
    assert store.sessions("Samphire") == []


def test_reps_set_aside_are_left_out_unless_asked_for(store: Store) -> None:
    write(store, "rep_set_aside", {"session": "b1", "rep": 1, "why": "dog was leashed"})
    assert [kept.rep.rep for kept in store.reps(dog="Brine")] == [2]
    assert [kept.state for kept in store.reps(dog="Brine", also_set_aside=True)] == ["set aside", "corrected"]
    assert [(found.rep, found.entry) for found in store.set_aside("b1")] == [(1, 12), (3, 9)]
    assert [kept.rep.rep for kept in store.reps(step="hand-inside")] == [2]
    assert store.reps(step="hold") == []


def test_a_session_counts_what_is_confirmed_met_and_still_to_judge(store: Store) -> None:
    write(store, "amended", amendment(7, "/reps/1/met", True, False))
    counted = store.session_counts("Brine")["b1"]
    assert (counted.reps, counted.met, counted.to_confirm) == (2, 1, 0)
    assert store.session_counts("Samphire") == {}


def test_calls_come_newest_first_with_their_overruling(store: Store) -> None:
    call = {"dog": "Brine", "step": "hand-inside", "call": "raise", "next_step": "hold", "asks_s": [1.5]}
    write(store, "step_called", {**call, "because": ["Nine of ten."], "evidence": {"reps": 10}})
    newest, older = store.calls("Brine")
    assert (newest.call, newest.overruled, newest.asks_s) == ("raise", None, (1.5,))
    assert (newest.because, newest.evidence) == (("Nine of ten.",), {"reps": 10})
    assert older.overruled is not None
    assert (older.overruled.call, older.overruled.entry) == ("ease", 11)
    assert store.latest_call("Brine") == newest
    assert store.latest_call("Samphire") is None


def test_programmes_are_kept_whole_and_the_newest_is_read(store: Store) -> None:
    for text in ("one", "two"):
        digest = hashlib.sha256(text.encode()).hexdigest()
        write(store, "programme_kept", {"name": "box", "text": text, "sha256": digest})
    found = store.programme("box")
    assert found is not None
    assert (found.text, found.entry) == ("two", 13)
    assert [each.text for each in store.programmes()] == ["two"]
    assert store.programme("other") is None
