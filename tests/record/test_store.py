from datetime import UTC, datetime, timedelta
from pathlib import Path
from sqlite3 import connect
from threading import Thread
from typing import Any

import pytest
from tests.record.kennel import BY, KENNEL, SITE, START, Clock, opened, proposed, session, write, write_day

from nares.base.errors import Refused, Unknown, Unusable
from nares.record.chain import digest_of
from nares.record.store import Store
from nares.record.verify import verify


def test_entries_are_numbered_and_linked(store: Store) -> None:
    entries = store.entries(size=100)[::-1]
    assert [entry.number for entry in entries] == list(range(1, 12))
    assert [entry.previous for entry in entries[1:]] == [entry.digest for entry in entries[:-1]]
    assert all(digest_of(entry) == entry.digest for entry in entries)


def test_what_append_returns_is_what_is_stored(empty: Store) -> None:
    entry = write(empty, "dog_added", {"dog": "Brine", "breed": "Spaniel"})
    assert empty.entry(1) == entry
    assert empty.head() == (1, entry.digest)
    assert (entry.kennel, entry.site, entry.by) == (KENNEL, SITE, BY)
    assert entry.happened_at == "2026-03-01T08:00:00.000Z"
    assert entry.entered_at == "2026-03-01T08:00:01.000Z"


def test_the_file_is_durable_and_strict(store: Store) -> None:
    connection = store._connection()
    said = {name: connection.execute(f"PRAGMA {name}").fetchone()[0] for name in _PRAGMAS}
    assert said == _PRAGMAS
    tables = "SELECT sql FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'"
    assert all(sql.endswith("STRICT") for (sql,) in connection.execute(tables))


_PRAGMAS = {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "recursive_triggers": 1}


def test_a_record_is_found_again(tmp_path: Path) -> None:
    with opened(tmp_path) as store:
        write_day(store)
        head = store.head()
    with opened(tmp_path, Clock(START + timedelta(days=1))) as store:
        assert store.head() == head
        assert write(store, "dog_added", {"dog": "Eider", "breed": "Terrier"}).number == 12
        assert verify(store).holds


def test_unknown_fields_are_kept_and_defaults_written_out(empty: Store) -> None:
    payload = {"dog": "Brine", "breed": "Spaniel", "chip": {"number": "98-1"}}
    assert write(empty, "dog_added", payload).payload == {
        **payload,
        "born": None,
        "sex": None,
        "programme": "box",
        "note": "",
        "schema": 1,
    }


def test_several_entries_are_written_all_or_none(store: Store) -> None:
    head = store.head()
    good = proposed("dog_added", {"dog": "Eider", "breed": "Terrier"})
    bad = proposed("session_run", session("b9", dog="Nobody"))
    with pytest.raises(Unknown, match="There is no dog called 'Nobody'"):
        store.append_all([good, bad])
    assert store.head() == head
    assert len(store.dogs()) == 2
    written = store.append_all([good, proposed("session_run", session("b9", dog="Eider"))])
    assert [entry.number for entry in written] == [12, 13]
    assert written[1].previous == written[0].digest


def test_nothing_half_written_when_something_breaks_midway(store: Store) -> None:
    def breaking() -> Any:
        yield proposed("dog_added", {"dog": "Eider", "breed": "Terrier"})
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        store.append_all(breaking())
    assert store.count() == 11
    assert verify(store).holds


def test_another_kennel_or_site_is_refused(tmp_path: Path) -> None:
    with opened(tmp_path) as store:
        write_day(store)
    with pytest.raises(Refused, match=r"record of Saltmarsh Kennels, laptop, not of Saltmarsh Kennels, van"):
        Store.open(tmp_path / "record.sqlite3", kennel=KENNEL, site="van", clock=Clock())


def test_a_record_opened_to_read_takes_nothing(tmp_path: Path) -> None:
    with opened(tmp_path) as store:
        write_day(store)
    with Store.open_to_read(tmp_path / "record.sqlite3") as store:
        assert (store.kennel, store.site) == (KENNEL, SITE)
        assert len(store.dogs()) == 2
        with pytest.raises(Refused, match="opened to read only"):
            write(store, "dog_added", {"dog": "Eider", "breed": "Terrier"})


def test_a_missing_record_is_unknown(tmp_path: Path) -> None:
    with pytest.raises(Unknown, match="There is no record at"):
        Store.open_to_read(tmp_path / "none.sqlite3")
    assert not (tmp_path / "none.sqlite3").exists()


def test_a_file_that_is_no_record_is_named(tmp_path: Path) -> None:
    text = tmp_path / "notes.txt"
    text.write_text("these are notes, far from being a database of any kind\n" * 40, encoding="utf-8")
    other = tmp_path / "other.sqlite3"
    connection = connect(other)
    connection.execute("CREATE TABLE reps (rep)")
    connection.commit()
    connection.close()
    for path, said in ((text, "cannot be read as a record"), (other, "a database but not a record")):
        with pytest.raises(Unusable, match=said):
            Store.open_to_read(path)
        with pytest.raises(Unusable, match=said):
            Store.open(path, kennel=KENNEL, site=SITE, clock=Clock())


def test_a_record_folded_by_an_older_release_is_folded_again(tmp_path: Path) -> None:
    with opened(tmp_path) as store:
        write_day(store)
        store._connection().execute("UPDATE meta SET value = '0' WHERE name = 'projections'")
        store._connection().execute("DROP TABLE reps")
    with opened(tmp_path) as store:
        assert len(store.reps(dog="Brine")) == 2
        assert verify(store).holds


def test_a_store_serves_several_threads(store: Store) -> None:
    def work(name: str) -> None:
        for number in range(5):
            write(store, "dog_added", {"dog": f"{name}{number}", "breed": "Terrier"})
            store.dogs()

    threads = [Thread(target=work, args=(name,)) for name in "abcd"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(store.dogs()) == 22
    assert verify(store).holds


def test_happening_later_than_now_is_refused(store: Store) -> None:
    later = START + timedelta(hours=1)
    with pytest.raises(Refused, match=r"2026-03-01T09:00:00.000Z, after the clock's 2026-03-01T08"):
        store.append("dog_added", {"dog": "Eider", "breed": "x"}, happened_at=later, by=BY)
    soon = START + timedelta(seconds=60)
    store.append("dog_added", {"dog": "Eider", "breed": "x"}, happened_at=soon, by=BY)


def test_a_clock_that_went_back_a_little_is_taken_as_it_is(store: Store, clock: Clock) -> None:
    clock.move(-60)
    entry = write(store, "dog_added", {"dog": "Eider", "breed": "Terrier"})
    assert entry.entered_at < store.entry(11).entered_at
    assert verify(store).holds


def test_a_clock_that_went_back_far_is_refused_with_both_times(store: Store, clock: Clock) -> None:
    clock.move(-86_400)
    with pytest.raises(
        Refused, match=r"clock says 2026-02-28T08:00:12.*last written at 2026-03-01T08:00:11"
    ) as told:
        store.append(
            "dog_added", {"dog": "Eider", "breed": "x"}, happened_at=START - timedelta(days=1), by=BY
        )
    assert "Set the clock" in str(told.value)
    assert store.count() == 11


def test_going_back_in_small_steps_does_not_walk_around_the_rule(store: Store, clock: Clock) -> None:
    clock.move(-100)
    write(store, "dog_added", {"dog": "Eider", "breed": "Terrier"})
    clock.move(-100)
    with pytest.raises(Refused, match="last written at 2026-03-01T08:00:11"):
        write(store, "dog_added", {"dog": "Tern", "breed": "Terrier"})


def test_a_clock_that_had_been_ahead_is_set_back_in_the_open(store: Store, clock: Clock) -> None:
    clock.at = datetime(2031, 1, 1, tzinfo=UTC)
    write(store, "dog_added", {"dog": "Eider", "breed": "Terrier"})
    clock.at = START + timedelta(hours=1)
    with pytest.raises(Refused, match="say so: nares record clock-back"):
        write(store, "dog_added", {"dog": "Tern", "breed": "Terrier"})
    with pytest.raises(Refused, match="Say why the clock was ahead"):
        store.set_clock_back(why=" ", by=BY)
    said = store.set_clock_back(why="the laptop's battery had been empty", by=BY)
    assert said.payload["was"] == "2031-01-01T00:00:01.000Z"
    write(store, "dog_added", {"dog": "Tern", "breed": "Terrier"})
    with pytest.raises(Refused, match="nothing to set back"):
        store.set_clock_back(why="again", by=BY)
    assert verify(store).holds


def test_a_clock_set_back_counts_for_what_is_written_with_it(store: Store, clock: Clock) -> None:
    clock.at = START + timedelta(days=400)
    write(store, "dog_added", {"dog": "Eider", "breed": "Terrier"})
    was = store.entry(12).entered_at
    clock.at = START + timedelta(hours=1)
    back = proposed("clock_set", {"was": was, "why": "wrong year"})
    written = store.append_all([back, proposed("dog_added", {"dog": "Tern", "breed": "Terrier"})])
    assert [entry.number for entry in written] == [13, 14]
    clock.move(-3600 * 24)
    with pytest.raises(Refused, match="last written at 2026-03-01T09:00:01"):
        write(store, "dog_added", {"dog": "Knot", "breed": "Terrier"})


@pytest.mark.parametrize(
    ("kind", "payload", "said"),
    [
        ("dog_bought", {}, r"'dog_bought' is no kind of entry\. Use one of amended, "),
        ("dog_added", {"dog": "Eider"}, r"does not fit dog_added: .*breed.*Correct that value"),
        ("dog_added", {"dog": 3, "breed": "x"}, r"Expected `str`, got `int` - at `\$\.dog`"),
        ("dog_added", {"dog": "E", "breed": "x", "sex": "bitch"}, r"Invalid enum value 'bitch'"),
        ("dog_added", {"dog": "E", "breed": "x", "schema": 2}, r"has schema 2 here.*writes schema 1"),
        ("dog_added", {"dog": "E", "breed": "x", "odd": float("nan")}, r"cannot hold this value exactly"),
        ("dog_added", {"dog": "E", "breed": "x", "odd": 2**60}, r"cannot hold this value exactly"),
        ("dog_added", {"dog": "E", "breed": "x", "odd": object()}, r"cannot hold this payload"),
        ("dog_added", ["dog"], r"is not a mapping"),
    ],
)
def test_what_does_not_fit_is_refused(store: Store, kind: str, payload: Any, said: str) -> None:
    with pytest.raises(Refused, match=said):
        write(store, kind, payload)
    assert store.count() == 11


def test_someone_must_say_it(store: Store) -> None:
    with pytest.raises(Refused, match="not said who writes this"):
        store.append("dog_added", {"dog": "Eider", "breed": "x"}, happened_at=START, by=" ")
