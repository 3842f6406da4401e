"""What people changed finds its place in a later reading, or is named."""

from nares.measure.carrying import carry
from nares.measure.corrections import Edit, Event, read_events, stands


def span(start_s: float, end_s: float) -> dict[str, float]:
    return {"start_s": start_s, "end_s": end_s, "sure": 0.8}


def mark(at_s: float) -> dict[str, float]:
    return {"at_s": at_s, "sure": 0.7}


OLD = read_events(
    {"marks": [mark(5), mark(15)], "doubtful_marks": [mark(25)], "nose_in": [span(4, 6), span(14, 16)]}
)
NEW = read_events({"marks": [mark(5), mark(15.01), mark(25)], "nose_in": [span(3.9, 6.2), span(30, 31)]})


def edit(name: str, deed: str, event: str, now: tuple[float, ...] = (), lane: str = "marks") -> Edit:
    return Edit(name, lane, deed, event, (), now, "Wren")  # type: ignore[arg-type]


def carried(*edits: Edit) -> dict[str, Event]:
    before = stands(OLD, edits)
    found = carry(before, OLD, NEW)
    after = stands(NEW, found.edits)
    assert after.misfits == {}
    assert len({one.edit for one in found.edits}) == len(found.edits)
    return {event.event: event for event in after.events}


def test_without_changes_nothing_is_carried() -> None:
    assert carry(stands(OLD, ()), OLD, NEW).edits == ()


def test_a_moved_edge_lands_on_the_same_stretch() -> None:
    event = carried(edit("a", "moved", "nose_in-0", (4.1, 6.0), "nose_in"))["nose_in-0"]
    assert (event.times_s, event.by, event.read_s) == ((4.1, 6.0), "Wren", (3.9, 6.2))


def test_a_stretch_no_longer_seen_is_added_as_the_person_had_it() -> None:
    after = carried(edit("a", "moved", "nose_in-1", (14.1, 16.0), "nose_in"))
    assert after["carried-nose_in-1"].times_s == (14.1, 16.0)


def test_an_added_event_keeps_its_name() -> None:
    assert carried(edit("mine", "added", "mine", (9.0,)))["mine"].times_s == (9.0,)


def test_a_removal_finds_its_mark_again_and_one_gone_anyway_needs_none() -> None:
    after = carried(edit("a", "removed", "marks-1"), edit("b", "removed", "nose_in-1", lane="nose_in"))
    assert "marks-1" not in after
    assert {"nose_in-0", "nose_in-1"} <= after.keys()


def test_a_yes_to_a_doubtful_mark_stands_where_it_is_a_mark_now() -> None:
    event = carried(edit("a", "kept", "doubtful_marks-0", lane="doubtful_marks"))["marks-2"]
    assert (event.times_s, event.sure, event.by) == ((25.0,), 1.0, "Wren")


def test_two_changes_that_come_to_one_event_are_named() -> None:
    """What was one stretch in two is one in the later reading."""
    old = read_events({"nose_in": [span(4, 5), span(5.2, 6)]})
    both = [
        edit("a", "kept", "nose_in-0", lane="nose_in"),
        edit("b", "moved", "nose_in-1", (5.3, 6.0), "nose_in"),
    ]
    found = carry(stands(old, both), old, NEW)
    assert [one.event for one in found.edits] == ["nose_in-0"]
    assert [event.event for event in found.left] == ["nose_in-1"]


def test_carried_twice_no_name_is_used_twice() -> None:
    first = carry(stands(OLD, [edit("a", "moved", "nose_in-1", (14.1, 16.0), "nose_in")]), OLD, NEW)
    more = [*first.edits, edit("b", "moved", "nose_in-1", (30.1, 31.0), "nose_in")]
    again = carry(stands(NEW, more), NEW, NEW)
    assert len({one.edit for one in again.edits}) == len(again.edits) == 2
