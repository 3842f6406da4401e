"""Rations and session cards on the record: what is refused, what stands, what is never changed."""

from typing import Any

import pytest
from tests.record.kennel import amendment, card, ration, reading, rep, session, write

from nares.base.errors import Refused, Unknown
from nares.record.store import Store


def test_the_newest_ration_of_a_day_stands(store: Store) -> None:
    write(store, "ration_set", ration())
    newest = write(store, "ration_set", ration(bowl_g=250.0))
    kept = store.ration("Brine", "2026-03-01")
    assert kept is not None
    assert (kept.ration.bowl_g, kept.entry) == (250.0, newest.number)
    assert store.ration("Brine", "2026-03-02") is None
    assert store.ration("Samphire", "2026-03-01") is None


def test_an_amended_ration_holds_its_new_value(store: Store) -> None:
    entry = write(store, "ration_set", ration())
    write(store, "amended", amendment(entry.number, "/bowl_g", 300.0, 200.0))
    kept = store.ration("Brine", "2026-03-01")
    assert kept is not None
    assert kept.ration.bowl_g == 200.0


@pytest.mark.parametrize(
    ("said", "error", "words"),
    [
        (ration("Eider"), Unknown, "no dog called 'Eider'"),
        (ration(day="yesterday"), Refused, "'yesterday' is not a day"),
        (ration(reward_g=-1.0), Refused, "A reward of -1 g"),
        (ration(reward_g=None), Refused, "ration and one reward"),
        (ration(bowl_g=500.0), Refused, "more than the day's"),
    ],
)
def test_a_ration_that_cannot_be_is_refused(
    store: Store, said: dict[str, Any], error: type[Exception], words: str
) -> None:
    before = store.count()
    with pytest.raises(error, match=words):
        write(store, "ration_set", said)
    assert store.count() == before


def test_a_ration_is_not_amended_into_one_that_cannot_be(store: Store) -> None:
    entry = write(store, "ration_set", ration())
    with pytest.raises(Refused, match="more than the day's"):
        write(store, "amended", amendment(entry.number, "/bowl_g", 300.0, 500.0))
    with pytest.raises(Refused, match="Set the other day's ration"):
        write(store, "amended", amendment(entry.number, "/day", "2026-03-01", "2026-03-02"))


def test_a_card_is_kept_with_every_rep(store: Store) -> None:
    entry = write(store, "session_planned", card(10))
    kept = store.card_taken("Brine")
    assert kept is not None
    assert kept == store.card(entry.number)
    assert [(row.rep, row.ask_s, row.source) for row in kept.reps] == [
        (1, 1.2, "target"),
        (2, None, "blank"),
        (3, 1.2, "target"),
    ]
    assert (kept.reps[0].boxes, kept.reps[0].target_box, kept.reps[1].target_box) == (4, 2, None)
    assert store.cards_on("Brine", 10) == 1
    assert store.cards_on("Brine", None) == 0
    assert store.card_taken("Samphire") is None


def test_a_card_on_an_older_call_is_refused(store: Store) -> None:
    with pytest.raises(Refused, match="older call than the newest one, entry 10"):
        write(store, "session_planned", card(None))
    assert write(store, "session_planned", card(None, "Samphire")).number == 12


def test_a_card_without_reps_or_with_misnumbered_ones_is_refused(store: Store) -> None:
    with pytest.raises(Refused, match="numbered 1, 2, 3"):
        write(store, "session_planned", {**card(10), "reps": []})
    with pytest.raises(Refused, match="numbered 1, 2, 3"):
        write(store, "session_planned", {**card(10), "reps": card(10)["reps"][1:]})


def test_a_card_is_never_amended(store: Store) -> None:
    entry = write(store, "session_planned", card(10))
    with pytest.raises(Refused, match="Take a new card instead"):
        write(store, "amended", amendment(entry.number, "/reps/1/source", "blank", "target"))


def test_what_is_no_card_is_not_found_as_one(store: Store) -> None:
    with pytest.raises(Unknown, match="Entry 2 is no session card"):
        store.card(2)


def test_paid_reps_and_reps_nobody_has_judged_are_told_apart(store: Store) -> None:
    """Session b1: reps 1 and 2 confirmed and paid, rep 3 read and set aside."""
    assert store.paid_in("b1") == (2, 0)
    write(store, "session_run", session("b2"))
    write(store, "recording_kept", {**_film(), "session": "b2"})
    write(store, "reading_made", reading("b2", reps=5))
    assert store.paid_in("b2") == (0, 5)
    rows = [rep(1, "b2"), rep(2, "b2", paid=False)]
    write(store, "reps_confirmed", {"session": "b2", "reading": None, "reps": rows})
    assert store.paid_in("b2") == (1, 3)
    write(store, "rep_set_aside", {"session": "b2", "rep": 1, "why": "a cat"})
    assert store.paid_in("b2") == (0, 3)


def test_sessions_since_a_time_are_those_of_the_dog(store: Store) -> None:
    write(store, "session_run", session("b2", started_at="2026-03-01T09:30:00+01:30"))
    assert [name for name, _ in store.started_since("Brine", "2026-03-01T07:59:00.000Z")] == ["b1", "b2"]
    assert store.started_since("Brine", "2026-03-01T08:00:00.001Z") == []
    assert store.started_since("Samphire", "2026-01-01T00:00:00.000Z") == []


def _film() -> dict[str, Any]:
    from tests.record.kennel import recording

    return recording()
