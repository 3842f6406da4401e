"""What the database counts, against the reps themselves counted one by one."""

from collections import Counter

from tests.record.kennel import proposed, rep, session, write

from nares.record.store import Store


def by_hand(store: Store, dog: str) -> list[tuple[str, str, int, int]]:
    reps, met = Counter[tuple[str, str]](), Counter[tuple[str, str]]()
    for row in store.reps(dog=dog):
        key = (row.rep.session, row.rep.step)
        reps[key] += 1
        met[key] += row.rep.met
    return [(*key, count, met[key]) for key, count in reps.items()]


def test_tallies_are_what_counting_the_reps_gives(empty: Store) -> None:
    write(empty, "dog_added", {"dog": "Brine", "breed": "Spaniel"})
    write(empty, "dog_added", {"dog": "Samphire", "breed": "Spaniel"})
    later = {"started_at": "2026-03-01T08:00:01.000Z"}
    for name, dog, at in (("b2", "Brine", later), ("b1", "Brine", {}), ("s1", "Samphire", {})):
        rows = [
            rep(n, name, dog, met=n % 3 > 0, step="hold-3" if n > 6 else "hand-inside", **at)
            for n in range(1, 9)
        ]
        confirmed = {"session": name, "reading": None, "reps": rows}
        empty.append_all(
            [proposed("session_run", session(name, dog, **at)), proposed("reps_confirmed", confirmed)]
        )
    write(empty, "rep_set_aside", {"session": "b1", "rep": 8, "why": "A door fell shut."})
    found = [(t.session, t.step, t.reps, t.met) for t in empty.tallies("Brine")]
    assert found == by_hand(empty, "Brine")
    assert found == [
        ("b1", "hand-inside", 6, 4),
        ("b1", "hold-3", 1, 1),
        ("b2", "hand-inside", 6, 4),
        ("b2", "hold-3", 2, 2),
    ]
    counts = empty.session_counts("Brine")
    assert {name: (one.reps, one.met) for name, one in counts.items()} == {"b1": (7, 5), "b2": (8, 6)}
    again = {
        "session": "b1",
        "reading": None,
        "reps": [rep(8, "b1", "Brine", met=False, step="hold-3")],
        "why": "It was one.",
    }
    write(empty, "reps_confirmed", again)
    assert [(t.session, t.step, t.reps, t.met) for t in empty.tallies("Brine")] == by_hand(empty, "Brine")
    assert empty.tallies("Brine")[1].reps == 2
    assert (empty.sessions_of("Brine"), empty.sessions_of("Tern"), empty.tallies("Tern")) == (2, 0, [])


def test_reps_measured_and_not_judged_are_counted_by_dog(store: Store) -> None:
    waiting = store.session_counts()
    assert store.to_confirm("Brine") == sum(
        waiting[one.session].to_confirm for one in store.sessions("Brine")
    )
    assert store.recorded() == {one.session for one in store.recordings()}


def test_the_newest_sessions_alone_can_be_read(store: Store) -> None:
    every = [one.session for one in store.sessions()]
    assert [one.session for one in store.sessions(most=1)] == every[:1]
    assert [one.session for one in store.sessions(most=5, newer=1)] == every[1:]
    newest = store.sessions("Brine")[0].session
    assert store.reps(dog="Brine", newest=1) == store.reps(session=newest)
