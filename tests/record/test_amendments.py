from tests.record.kennel import amendment, rep, write

from nares.record.payloads import completed
from nares.record.store import Store
from nares.record.verify import verify


def holds(store: Store) -> list[float | None]:
    return [kept.rep.hold_s for kept in store.reps(session="b1")]


def test_the_new_value_is_read_and_the_old_stays_visible(store: Store) -> None:
    assert holds(store) == [1.35, 0.8]
    assert store.entry(7).payload["reps"][1]["hold_s"] == 1.35  # as it was written, for ever
    assert store.present(7).payload["reps"][1]["hold_s"] == 0.8
    (change,) = store.changes(session="b1")
    assert (change.old, change.new, change.why, change.by) == (1.35, 0.8, "misread", "Runa Vell")
    assert (change.entry, change.amends, change.kind, change.place) == (8, 7, "reps_confirmed", 1)
    assert store.amended_by() == {7: (8,)}


def test_an_amended_rep_is_called_corrected(store: Store) -> None:
    assert [kept.state for kept in store.reps(session="b1")] == ["confirmed", "corrected"]


def test_amending_again_names_the_value_that_holds_now(store: Store) -> None:
    write(store, "amended", amendment(7, "/reps/1/hold_s", 0.8, 0.9, "measured again"))
    assert holds(store) == [1.35, 0.9]
    assert [(change.old, change.new) for change in store.changes(entry=7)] == [(1.35, 0.8), (0.8, 0.9)]
    assert store.amended_by([7]) == {7: (8, 12)}
    assert store.amended_by([2]) == {}


def test_amending_back_is_an_amendment_too(store: Store) -> None:
    write(store, "amended", amendment(7, "/reps/1/hold_s", 0.8, 1.35, "it was right"))
    assert holds(store) == [1.35, 1.35]
    assert store.reps(session="b1")[1].state == "corrected"


def test_a_session_run_with_another_dog_takes_its_reps_along(store: Store) -> None:
    write(store, "amended", amendment(4, "/dog", "Brine", "Samphire", "wrong lead"))
    assert store.reps(dog="Brine") == []
    assert {kept.rep.dog for kept in store.reps(dog="Samphire")} == {"Samphire"}
    assert [found.session for found in store.sessions("Samphire")] == ["b1"]


def test_the_facts_of_a_dog_are_amended(store: Store) -> None:
    write(store, "amended", amendment(2, "/born", None, "2024-04-02"))
    assert store.dog("Brine").born == "2024-04-02"


def test_a_note_on_a_session_and_an_ask_are_amended(store: Store) -> None:
    write(store, "amended", amendment(4, "/asks_s/1", 1.5, 2))
    write(store, "amended", amendment(4, "/note", "", "windy"))
    assert store.session("b1").asks_s == (1.0, 2.0)
    assert store.session("b1").note == "windy"


def test_words_of_an_overruling_and_of_a_set_aside_are_amended(store: Store) -> None:
    write(store, "amended", amendment(11, "/why", "hot day", "34 degrees"))
    write(store, "amended", amendment(9, "/why", "a paw, not a nose", "a paw"))
    call = store.latest_call("Brine")
    assert call is not None
    assert call.overruled is not None
    assert call.overruled.why == "34 degrees"
    assert store.set_aside("b1")[0].why == "a paw"
    assert verify(store).holds


def test_an_unknown_field_can_be_amended(store: Store) -> None:
    entry = write(store, "dog_added", {"dog": "Eider", "breed": "Terrier", "chip": {"a/b": [1]}})
    write(store, "amended", amendment(entry.number, "/chip/a~1b/0", 1, 2))
    assert store.present(entry.number).payload["chip"] == {"a/b": [2]}


def test_amending_a_rep_that_was_set_aside_leaves_it_aside(store: Store) -> None:
    write(store, "rep_set_aside", {"session": "b1", "rep": 1, "why": "leashed"})
    write(store, "amended", amendment(7, "/reps/0/hold_s", 1.35, 1.2))
    kept = store.reps(session="b1", also_set_aside=True)[0]
    assert (kept.state, kept.rep.hold_s) == ("set aside", 1.2)


def test_amending_a_rep_that_was_confirmed_anew_leaves_the_newer_standing(store: Store) -> None:
    write(store, "rep_set_aside", {"session": "b1", "rep": 1, "why": "leashed"})
    write(store, "reps_confirmed", {"session": "b1", "reading": None, "reps": [rep(1, hold_s=0.3)]})
    write(store, "amended", amendment(7, "/reps/0/hold_s", 1.35, 1.2))
    assert holds(store) == [0.3, 0.8]


def test_amending_an_overruling_touches_the_call_it_overruled(store: Store) -> None:
    call = {"dog": "Brine", "step": "hand-inside", "call": "raise", "next_step": "hold"}
    write(store, "step_called", call)
    write(store, "amended", amendment(11, "/call", "ease", "stop"))
    newest, older = store.calls("Brine")
    assert newest.overruled is None
    assert older.overruled is not None
    assert older.overruled.call == "stop"


def test_a_value_its_kind_has_gained_since_can_be_amended() -> None:
    old = {"session": "b1", "dog": "Brine", "step": "hold", "started_at": "2026-02-01T08:00:00Z", "schema": 1}
    whole = completed("session_run", old)
    assert whole["marked_by"] == ""
    assert {name: whole[name] for name in old} == old
    assert completed("of a newer release", old) == old
    assert completed("session_run", {**old, "schema": 9}) == {**old, "schema": 9}
