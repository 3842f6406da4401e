"""What people changed in a reading: events with lasting names, single edits, and what stands after them.

Conventions
-----------
An event goes by a name that never changes: ``marks-12`` for the thirteenth mark of the reading, the edit's
own id for an event that a person added. Times are seconds from the start of the recording: one for a mark,
start and end for a stretch. The reading itself is never changed; what stands is a fold of reading and
edits in the order they were written, the newest last. Taking an edit back is an edit too (``undone``, naming
the edit); taking that back brings the first one back, at its old place in the order.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Literal

from nares.base.vocab import Mark, Span

Lane = Literal["marks", "doubtful_marks", "inhales", "nose_in", "hand_in"]
Deed = Literal["moved", "added", "removed", "kept", "undone"]
LANES: tuple[Lane, ...] = ("marks", "doubtful_marks", "inhales", "nose_in", "hand_in")
POINTS = ("marks", "doubtful_marks")
"""Lanes of moments; the others hold stretches."""
BY_A_PERSON = 1.0
"""How sure an event is that a person set or kept. [-]"""


@dataclass(frozen=True, slots=True)
class Edit:
    """One gesture of a person.

    ``edit``: its own id, given where the gesture was made. ``event``: what it is about; for ``added`` its own
    id, for ``undone`` the id of the edit taken back. ``was`` and ``now``: the event's times before and after.
    ``by``: who made it, where it was carried over from an earlier reading; empty: who wrote the entry.
    """

    edit: str
    lane: Lane
    deed: Deed
    event: str
    was: tuple[float, ...] = ()
    now: tuple[float, ...] = ()
    by: str = ""


@dataclass(frozen=True, slots=True)
class Event:
    """One event as it stands.

    ``by``: who set it so, empty for the machine. ``read_s``: where the machine has it, empty for an event it
    has not. ``read``: the machine's own value, while nobody touched it.
    """

    event: str
    lane: Lane
    times_s: tuple[float, ...]
    sure: float
    by: str = ""
    read_s: tuple[float, ...] = ()
    read: Mark | Span | None = None

    def as_mark(self) -> Mark:
        """The event as a mark, with the machine's interval where nobody touched it."""
        return self.read if isinstance(self.read, Mark) else Mark(self.times_s[0], self.sure)

    def as_span(self) -> Span:
        """The event as a stretch, with the machine's intervals where nobody touched it."""
        return self.read if isinstance(self.read, Span) else Span(self.times_s[0], self.times_s[1], self.sure)


@dataclass(frozen=True, slots=True)
class Standing:
    """What stands. ``removed``: who took which event away. ``misfits``: edits that found nothing, and why."""

    events: tuple[Event, ...]
    removed: Mapping[str, str] = field(default_factory=dict)
    misfits: Mapping[str, str] = field(default_factory=dict)

    def lane(self, lane: Lane) -> tuple[Event, ...]:
        """The events of one lane in time order."""
        return tuple(event for event in self.events if event.lane == lane)

    def event(self, name: str) -> Event | None:
        """One event by its name, if it stands."""
        return next((event for event in self.events if event.event == name), None)


def read_events(reading: Mapping[str, Any]) -> tuple[Event, ...]:
    """Name every event of a reading, given as on the record. Names follow the order it was written in."""
    found: list[Event] = []
    for lane in LANES:
        for number, said in enumerate(reading.get(lane) or ()):
            one = _value(lane, said)
            times_s = (one.at_s,) if isinstance(one, Mark) else (one.start_s, one.end_s)
            found.append(Event(f"{lane}-{number}", lane, times_s, one.sure, "", times_s, one))
    return tuple(found)


def _value(lane: Lane, said: Mapping[str, Any]) -> Mark | Span:
    # By name, so that a reading of a newer release may say more.
    if lane in POINTS:
        return Mark(said["at_s"], said["sure"], said.get("within_s"))
    within = said.get("start_within_s"), said.get("end_within_s")
    return Span(said["start_s"], said["end_s"], said["sure"], *within)


def taken_back(edits: Sequence[Edit]) -> set[str]:
    """The ids of edits that a later one takes back, and is not taken back itself."""
    void: set[str] = set()
    for edit in reversed(edits):
        if edit.deed == "undone" and edit.edit not in void:
            void.add(edit.event)
    return void


def in_force(edits: Sequence[Edit]) -> tuple[Edit, ...]:
    """The edits that are not taken back, in order."""
    void = taken_back(edits)
    return tuple(edit for edit in edits if edit.edit not in void and edit.deed != "undone")


def stands(read: Iterable[Event], edits: Sequence[Edit]) -> Standing:
    """Fold edits over what was read.

    Args:
        read: The reading's events; none for a sheet that began empty.
        edits: In the order they were written, each with who made it in ``by``.
    """
    events = {event.event: event for event in read}
    removed: dict[str, str] = {}
    misfits: dict[str, str] = {}
    for edit in in_force(edits):
        said = _misfit(edit, events, removed)
        if said:
            misfits[edit.edit] = said
        elif edit.deed == "removed":
            del events[edit.event]
            removed[edit.event] = edit.by
        else:
            events[edit.event] = _after(edit, events.get(edit.event))
    order = sorted(events.values(), key=lambda event: (event.times_s, event.event))
    return Standing(tuple(order), removed, misfits)


def _misfit(edit: Edit, events: Mapping[str, Event], removed: Mapping[str, str]) -> str:
    """Why an edit finds nothing to change; empty where it does."""
    held = events.get(edit.event)
    if edit.deed == "added":
        return "An event of this name is there already." if held else ""
    if held is None:
        by = removed.get(edit.event)
        return f"This event was removed meanwhile{f' by {by}' if by else ''}: look again."
    if edit.now and (held.lane in POINTS) != (len(edit.now) == 1):
        return "A mark has one time and a stretch has two: look again."
    return ""


def _after(edit: Edit, held: Event | None) -> Event:
    if held is None:
        return Event(edit.event, edit.lane, edit.now, BY_A_PERSON, edit.by)
    # Whoever places or keeps a doubtful mark says that it is one.
    lane: Lane = "marks" if held.lane == "doubtful_marks" else held.lane
    times_s = edit.now or held.times_s
    return replace(held, lane=lane, times_s=times_s, sure=BY_A_PERSON, by=edit.by, read=None)
