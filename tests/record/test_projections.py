"""The tables are a pure fold: however a record came to be, folding it anew gives the same tables."""

import contextlib
import hashlib
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.record import line_ups
from tests.record.kennel import (
    amendment,
    card,
    corrected,
    opened,
    ration,
    reading,
    recording,
    rep,
    session,
    sheet,
    write,
    write_day,
)

from nares.base.errors import NaresError
from nares.record.chain import entry_from, seal
from nares.record.payloads import understood
from nares.record.projections.fold import TABLES
from nares.record.store import Store
from nares.record.verify import verify

DOGS = st.sampled_from(["Brine", "Samphire", "Eider"])
SESSIONS = st.sampled_from(["b1", "b2", "b3"])
HOLDS = st.sampled_from([0.2, 0.8, 1.35, 3.0, None])
NUMBERS = st.integers(1, 4)
LEVELS = {"yawn": 1, "ears_tail": 2, "crouch": 3}
CALLS = st.sampled_from(["raise", "stay", "ease", "stop"])
STEPS = st.sampled_from(["hand-inside", "hold"])
FIELDS = st.sampled_from(
    [
        "/note",
        "/dog",
        "/why",
        "/reps/0/hold_s",
        "/reps/0/met",
        "/reps/1/ask_s",
        "/breed",
        "/call",
        "/name",
        "/bowl_g",
        "/about",
    ]
)
DEEDS = st.one_of(
    st.builds(lambda dog: ("dog_added", {"dog": dog, "breed": "Terrier"}), DOGS),
    st.builds(lambda name, dog: ("session_run", session(name, dog)), SESSIONS, DOGS),
    st.builds(lambda name: ("recording_kept", recording(name)), SESSIONS),
    st.builds(lambda name: ("reading_made", reading(name)), SESSIONS),
    st.builds(
        lambda n, own, name: ("events_corrected", corrected(f"e{n}", 6, own=own, session=name)),
        st.integers(1, 9),
        st.booleans(),
        SESSIONS,
    ),
    st.builds(
        lambda name, dog, numbers, hold_s: (
            "reps_confirmed",
            {
                "session": name,
                "reading": None,
                "reps": [rep(number, name, dog, hold_s=hold_s) for number in sorted(numbers)],
            },
        ),
        SESSIONS,
        DOGS,
        st.sets(NUMBERS, min_size=1, max_size=3),
        HOLDS,
    ),
    st.builds(lambda name, n: ("rep_set_aside", {"session": name, "rep": n, "why": "x"}), SESSIONS, NUMBERS),
    st.builds(
        lambda dog, step, call: ("step_called", {"dog": dog, "step": step, "call": call, "next_step": step}),
        DOGS,
        STEPS,
        CALLS,
    ),
    st.builds(
        lambda dog, step, call: ("call_overruled", {"dog": dog, "step": step, "call": call, "why": "x"}),
        DOGS,
        STEPS,
        CALLS,
    ),
    st.builds(lambda dog, grams: ("ration_set", ration(dog, bowl_g=grams or 0)), DOGS, HOLDS),
    st.builds(lambda dog, entry: ("session_planned", card(entry, dog)), DOGS, st.none() | st.integers(1, 20)),
    st.builds(
        lambda dog, entry: ("overruling_withdrawn", {"dog": dog, "overruling": entry, "why": "x"}),
        DOGS,
        st.integers(1, 40),
    ),
    st.builds(
        lambda dog, sign, rep: (
            "signs_seen",
            {"dog": dog, "signs": [sign], "level": LEVELS[sign], "rep": rep},
        ),
        DOGS,
        st.sampled_from(["yawn", "ears_tail", "crouch"]),
        NUMBERS,
    ),
    st.builds(
        lambda dog, entry, vet: ("signs_cleared", {"dog": dog, "signs": [entry], "why": "x", "vet": vet}),
        DOGS,
        st.integers(1, 40),
        st.booleans(),
    ),
    st.builds(lambda cue, about: ("cue_named", {"cue": cue, "about": about}), STEPS, DOGS),
    st.tuples(st.just("amend"), st.tuples(st.integers(1, 30), FIELDS, HOLDS | DOGS | st.booleans() | CALLS)),
)


def tables(store: Store) -> dict[str, list[Any]]:
    connection = store._connection()
    return {
        table.name: connection.execute(
            f"SELECT * FROM {table.name} ORDER BY {', '.join(table.key)}"
        ).fetchall()
        for table in TABLES
    }


def do(store: Store, kind: str, payload: Any) -> None:
    if kind == "amend":
        number, field, new = payload
        now: Any = store.present(number).payload
        for part in field.split("/")[1:]:
            now = now[int(part)] if isinstance(now, list) else now[part]
        kind, payload = "amended", amendment(number, field, now, new)
    write(store, kind, payload)


@settings(max_examples=25, deadline=None)
@given(st.lists(DEEDS, min_size=10, max_size=40))
def test_tables_kept_up_are_the_tables_rebuilt(deeds: list[tuple[str, Any]]) -> None:
    with TemporaryDirectory() as folder, opened(Path(folder)) as store:
        for kind, payload in deeds:
            with contextlib.suppress(NaresError, LookupError, TypeError):
                do(store, kind, payload)
        kept_up = tables(store)
        store.rebuild()
        assert tables(store) == kept_up
        assert verify(store).holds


def test_every_table_is_filled_by_a_day(store: Store) -> None:
    text = "[[step]]"
    sha256 = hashlib.sha256(text.encode()).hexdigest()
    write(store, "programme_kept", {"name": "box", "text": text, "sha256": sha256})
    write(store, "events_corrected", corrected("a"))
    write(store, "ration_set", ration())
    write(store, "session_planned", card(10))
    write(store, "sheet_imported", sheet())
    signs = write(store, "signs_seen", {"dog": "Brine", "signs": ["yawn"], "level": 1})
    write(store, "signs_cleared", {"dog": "Brine", "signs": [signs.number], "why": "x"})
    store.append_all(line_ups.whole())
    write(store, "cue_named", {"cue": "rain"})
    assert [name for name, rows in tables(store).items() if not rows] == []


STEPS = st.integers(1, 2).flatmap(
    lambda run: st.sampled_from(
        [
            ("key_seen", line_ups.seen(run)),
            ("run_placed", line_ups.placed(run)),
            ("run_begun", line_ups.begun(run)),
            ("call_made", line_ups.called(run)),
            ("call_made", line_ups.called(run, None, on_paper=True)),
            ("run_observed", line_ups.observed(run)),
            ("run_observed", line_ups.observed(run, None, role="recorder")),
            ("run_opened", line_ups.run_open(run)),
            ("run_voided", line_ups.void(run)),
            ("run_voided", line_ups.void(run, was_open=True)),
            ("key_opened", line_ups.key_open()),
            ("amend", ("/present", ["Mara Quill"])),
            ("amend", ("/observed/alerted_at", 3)),
            ("amend", ("/why", "it rained")),
            ("amend", ("/note", "late")),
        ]
    )
)


def amend_newest(store: Store, field: str, new: Any) -> None:
    """Amend the newest entry that has a value there."""
    for number in range(store.count(), 0, -1):
        payload = store.entry(number).payload
        head, *rest = field.strip("/").split("/")
        if head in payload:
            old = payload[head][rest[0]] if rest else payload[head]
            write(store, "amended", amendment(number, field, old, new))
            return


@settings(max_examples=40, deadline=None)
@given(st.lists(STEPS, min_size=10, max_size=50))
def test_whatever_is_tried_at_a_line_up_its_tables_are_those_rebuilt(steps: list[tuple[str, Any]]) -> None:
    with TemporaryDirectory() as folder, opened(Path(folder)) as store:
        write_day(store)
        write(store, "lineup_sealed", line_ups.sealed())
        for kind, said in steps:
            with contextlib.suppress(NaresError):
                if kind == "amend":
                    amend_newest(store, *said)
                else:
                    write(store, kind, said)
        for run in store.runs_of("brine-1"):  # whatever came before, order is kept
            called, opened_by = run.called_entry or 10**9, run.opened_entry or 10**9
            assert called <= opened_by
            assert run.begun_entry is None or (run.placed_entry or 10**9) < run.begun_entry
        kept_up, results = tables(store), store.run_results("brine-1")
        store.rebuild()
        assert tables(store) == kept_up
        assert store.run_results("brine-1") == results
        assert verify(store).holds


def test_dropping_every_table_loses_nothing(store: Store) -> None:
    before = tables(store)
    for table in TABLES:
        store._connection().execute(f"DROP TABLE {table.name}")
    assert store.rebuild() == 11
    assert tables(store) == before


def test_an_entry_of_a_kind_nobody_knows_yet_is_kept_and_shown(tmp_path: Path) -> None:
    with opened(tmp_path) as store:
        write_day(store)
        last = store.entry(11)
        said = {name: getattr(last, name) for name in ("kennel", "site", "happened_at", "entered_at", "by")}
        newer = seal(12, last.digest, {**said, "kind": "aid_moved", "payload": {"aid": "A1", "schema": 1}})
        later = seal(13, newer.digest, {**said, "kind": "dog_added", "payload": {"dog": 1, "schema": 2}})
        for sealed in (newer, later):
            row = (sealed.number, sealed.body, sealed.digest)
            store._connection().execute("INSERT INTO entries VALUES (?, ?, ?)", row)
        assert understood("dog_added", entry_from(later).payload) is None
        store.rebuild()
        assert verify(store).holds
        assert [entry.kind for entry in store.entries(size=2)] == ["dog_added", "aid_moved"]
        assert "aid_moved" in store.kinds()
        assert write(store, "dog_added", {"dog": "Eider", "breed": "Terrier"}).number == 14
