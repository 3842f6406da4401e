"""Edits over a reading: nothing lost, everything can be taken back, the order is theirs."""

import json
from dataclasses import asdict, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nares.base.vocab import Mark, Span
from nares.measure.admitting import admit
from nares.measure.corrections import Edit, Event, Standing, in_force, read_events, stands, taken_back

LENGTH_S = 60.0
READING = {
    "marks": [{"at_s": 5.0, "sure": 0.9, "within_s": 0.01}, {"at_s": 15.0, "sure": 0.6}],
    "doubtful_marks": [{"at_s": 25.0, "sure": 0.3}],
    "nose_in": [{"start_s": 4.0, "end_s": 6.0, "sure": 0.95}, {"start_s": 14.0, "end_s": 16.0, "sure": 0.7}],
}
READ = read_events(READING)


def edit(name: str, deed: str, event: str = "", now: tuple[float, ...] = (), lane: str = "marks") -> Edit:
    return Edit(name, lane, deed, event or name, (), now, "Wren")  # type: ignore[arg-type]


def places(standing: Standing) -> list[tuple[str, tuple[float, ...]]]:
    return [(event.event, event.times_s) for event in standing.events]


def test_events_are_named_by_lane_and_place() -> None:
    assert [event.event for event in READ] == [
        "marks-0",
        "marks-1",
        "doubtful_marks-0",
        "nose_in-0",
        "nose_in-1",
    ]


def test_without_edits_the_reading_stands_to_the_last_interval() -> None:
    standing = stands(READ, ())
    assert [event.as_mark() for event in standing.lane("marks")] == [Mark(5.0, 0.9, 0.01), Mark(15.0, 0.6)]
    assert standing.lane("nose_in")[0].as_span() == Span(4.0, 6.0, 0.95)


def test_what_a_person_sets_is_sure_and_says_where_the_machine_had_it() -> None:
    moved = stands(READ, [edit("a", "moved", "marks-1", (15.2,))]).event("marks-1")
    assert moved == Event("marks-1", "marks", (15.2,), 1.0, "Wren", (15.0,), None)
    assert moved.as_mark() == Mark(15.2, 1.0)


def test_a_doubtful_mark_said_yes_to_is_a_mark() -> None:
    standing = stands(READ, [edit("a", "kept", "doubtful_marks-0", lane="doubtful_marks")])
    assert [event.times_s for event in standing.lane("marks")] == [(5.0,), (15.0,), (25.0,)]
    assert standing.lane("doubtful_marks") == ()


def test_the_newest_of_two_people_wins() -> None:
    both = [edit("a", "moved", "marks-0", (5.1,)), replace(edit("b", "moved", "marks-0", (5.3,)), by="Mara")]
    held = stands(READ, both).event("marks-0")
    assert held is not None
    assert (held.times_s, held.by) == ((5.3,), "Mara")


def test_taking_back_leaves_what_somebody_else_did_afterwards() -> None:
    edits = [
        edit("a", "moved", "marks-0", (5.1,)),
        edit("b", "moved", "marks-0", (5.3,)),
        edit("c", "undone", "a"),
    ]
    held = stands(READ, edits).event("marks-0")
    assert held is not None
    assert held.times_s == (5.3,)


def test_an_edit_of_an_event_that_is_gone_is_said_in_words() -> None:
    edits = [edit("a", "removed", "marks-0"), edit("b", "moved", "marks-0", (5.1,))]
    standing = stands(READ, edits)
    assert standing.misfits == {"b": "This event was removed meanwhile by Wren: look again."}
    assert standing.removed == {"marks-0": "Wren"}


times = st.floats(0, LENGTH_S - 1).map(lambda at_s: round(at_s, 3))


@st.composite
def histories(draw: st.DrawFn) -> list[Edit]:
    """Edits as a page would make them, each admitted after those before."""
    made: list[Edit] = []
    for number in range(draw(st.integers(0, 14))):
        name, at_s = f"e{number}", draw(times)
        held = stands(READ, made).events
        deed = draw(st.sampled_from(["moved", "added", "removed", "kept", "undone"]))
        if deed == "added":
            one = edit(name, "added", now=(at_s,))
        elif deed == "undone":
            open_ones = [old.edit for old in made if old.edit not in taken_back(made)]
            if not open_ones:
                continue
            one = edit(name, "undone", draw(st.sampled_from(open_ones)))
        elif held:
            event = draw(st.sampled_from(held))
            now = (at_s, at_s + 0.5)[: len(event.times_s)] if deed == "moved" else ()
            one = edit(name, deed, event.event, now, event.lane)
        else:
            continue
        made.append(one)
    return made


@given(histories())
def test_taking_back_the_last_edit_gives_the_lanes_before_it(made: list[Edit]) -> None:
    for number, last in enumerate(made):
        before = made[:number]
        undone = [*before, last, edit("back", "undone", last.edit)]
        assert stands(READ, undone).events == stands(READ, before).events
        assert (
            stands(READ, [*undone, edit("again", "undone", "back")]).events
            == stands(READ, [*before, last]).events
        )


@given(histories())
def test_taking_everything_back_from_the_last_gives_the_reading(made: list[Edit]) -> None:
    undone = list(made)
    while open_ones := in_force(undone):
        undone.append(edit(f"back{len(undone)}", "undone", open_ones[-1].edit))
    assert stands(READ, undone).events == stands(READ, ()).events


@given(histories())
def test_no_event_is_lost(made: list[Edit]) -> None:
    """Every event read or added stands, or is named as removed, or its adding was taken back."""
    standing = stands(READ, made)
    force = in_force(made)
    known = {event.event for event in READ} | {one.event for one in force if one.deed == "added"}
    gone = {one.event for one in force if one.deed == "removed" and one.edit not in standing.misfits}
    assert {event.event for event in standing.events} == known - gone


@given(histories())
def test_sending_everything_twice_adds_nothing(made: list[Edit]) -> None:
    first = admit(READ, (), made, duration_s=LENGTH_S)
    assert first.refused == {}
    again = admit(READ, first.fresh, made, duration_s=LENGTH_S)
    assert (again.fresh, len(again.known), again.refused) == ((), len(made), {})


@given(histories(), st.integers(0, 14))
def test_batches_of_any_size_give_the_same(made: list[Edit], cut: int) -> None:
    early = admit(READ, (), made[:cut], duration_s=LENGTH_S).fresh
    late = admit(READ, early, made[cut:], duration_s=LENGTH_S).fresh
    assert (*early, *late) == admit(READ, (), made, duration_s=LENGTH_S).fresh


@given(histories())
def test_edits_come_back_from_text_as_they_were(made: list[Edit]) -> None:
    read_back = [
        Edit(**{**said, "was": tuple(said["was"]), "now": tuple(said["now"])})
        for said in json.loads(json.dumps([asdict(one) for one in made]))
    ]
    assert read_back == made


BAD = [
    (edit("a b", "added", now=(1.0,)), "no proper name"),
    (edit("x" * 65, "added", now=(1.0,)), "no proper name"),
    (edit("a", "added", "other", (1.0,)), "goes by its change's name"),
    (edit("a", "added", now=(1.0,), lane="doubtful_marks"), "only the machine has doubts"),
    (edit("a", "added"), "needs a new place"),
    (edit("a", "removed", "marks-0", (1.0,)), "has no new place"),
    (edit("a", "added", now=(1.0, 2.0)), "one time"),
    (edit("a", "added", now=(1.0,), lane="nose_in"), "two"),
    (edit("a", "added", now=(-0.1,)), r"-0.1 s lies outside the recording of 60 s"),
    (edit("a", "added", now=(61.0,)), "lies outside"),
    (edit("a", "added", now=(float("nan"),)), "lies outside"),
    (edit("a", "added", now=(2.0, 2.0), lane="nose_in"), "has no length"),
    (edit("a", "added", now=(3.0, 2.0), lane="hand_in"), "has no length"),
    (edit("a", "moved", "marks-9", (1.0,)), "removed meanwhile"),
    (edit("a", "moved", "nose_in-0", (1.0,)), "a stretch has two"),
    (edit("a", "undone", "nothing"), "not on the record"),
]


@pytest.mark.parametrize(("bad", "said"), BAD)
def test_what_cannot_be_is_refused_in_words_and_holds_up_nothing(bad: Edit, said: str) -> None:
    good = edit("good", "removed", "marks-1")
    found = admit(READ, (), [bad, good], duration_s=LENGTH_S)
    assert found.fresh == (good,)
    assert said in found.refused[bad.edit]


def test_taking_back_twice_is_refused() -> None:
    made = [edit("a", "removed", "marks-0"), edit("b", "undone", "a"), edit("c", "undone", "a")]
    assert admit(READ, (), made, duration_s=LENGTH_S).refused == {"c": "This change was taken back already."}
