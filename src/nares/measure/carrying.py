"""What people changed in one reading, taken over to a later reading of the same recording.

Conventions
-----------
Not the gestures are carried but what they came to: where a person put an event, that it stands, that it is
none. Events of the two readings are the same where they lie at the same time in the same lane. Each event of
the later reading takes one change; a second one that would change it too is not carried, and is returned.
Times are seconds from the start of the recording.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from nares.measure.corrections import POINTS, Edit, Event, Standing

SAME_MARK_S = 0.05
"""Two readings hear the same sound within a few milliseconds; two marks are farther apart than this. [s]"""
LEAST_SHARED = 0.5
"""Share of the shorter stretch that two readings of the same stretch have in common at least. [-]"""


@dataclass(frozen=True, slots=True)
class Carried:
    """``edits`` to write on the later reading; ``left``: events as a person had them that found no place."""

    edits: tuple[Edit, ...]
    left: tuple[Event, ...]


def carry(before: Standing, read_before: Iterable[Event], read_now: Sequence[Event]) -> Carried:
    """Take what people changed over to a later reading.

    Args:
        before: What stood of the earlier reading.
        read_before: The earlier reading's events.
        read_now: The later reading's events.
    """
    edits: list[Edit] = []
    left: list[Event] = []
    taken: set[str] = set()
    for event in (event for event in before.events if event.by):
        same = _same(event.read_s, event.lane, read_now) if event.read_s else None
        if same is not None and same.event in taken:
            left.append(event)
            continue
        edits.append(_as_edit(event, same, _fresh(event, edits)))
        if same is not None:
            taken.add(same.event)
    for event in (one for one in read_before if one.event in before.removed):
        same = _same(event.times_s, event.lane, read_now)
        if same is not None and same.event not in taken:
            taken.add(same.event)
            name = _fresh(event, edits)
            edits.append(
                Edit(name, same.lane, "removed", same.event, same.times_s, (), before.removed[event.event])
            )
    return Carried(tuple(edits), tuple(left))


def _fresh(event: Event, edits: Iterable[Edit]) -> str:
    """A name for the edit: an added event keeps its own, others say that they were carried."""
    name = event.event if not event.read_s else f"carried-{event.event}"
    used = {edit.edit for edit in edits}
    while name in used:
        name += "-"
    return name


def _as_edit(event: Event, same: Event | None, name: str) -> Edit:
    """The change that puts an event where a person had it: on its twin, or as an event of its own."""
    if same is None:
        return Edit(name, event.lane, "added", name, (), event.times_s, event.by)
    if event.times_s == event.read_s:
        return Edit(name, same.lane, "kept", same.event, same.times_s, (), event.by)
    return Edit(name, same.lane, "moved", same.event, same.times_s, event.times_s, event.by)


def _same(times_s: Sequence[float], lane: str, read_now: Iterable[Event]) -> Event | None:
    """The later reading's event at the same time, nearest first; a doubtful mark may be a mark there."""
    lanes = POINTS if lane in POINTS else (lane,)
    near = [
        (_apart_s(times_s, event.times_s), event.event, event) for event in read_now if event.lane in lanes
    ]
    fitting = [one for one in near if one[0] is not None]
    return min(fitting, key=lambda one: one[:2])[2] if fitting else None


def _apart_s(one: Sequence[float], other: Sequence[float]) -> float | None:
    """How far apart two events are, None where they are not the same. [s]"""
    if len(one) == 1:
        apart_s = abs(one[0] - other[0])
        return apart_s if apart_s <= SAME_MARK_S else None
    shared_s = min(one[1], other[1]) - max(one[0], other[0])
    if shared_s < LEAST_SHARED * min(one[1] - one[0], other[1] - other[0]):
        return None
    return abs(one[0] - other[0]) + abs(one[1] - other[1])
