"""What is compared: kinds of events, lanes in time, lengths of time of a rep; and within what distance."""

from collections.abc import Callable
from dataclasses import dataclass

from nares.measure.agreement.sheets import HeldRep, Sheet, Stretch

WINDOWS_S = (0.02, 0.05)
"""Windows F1 is given for. [s]"""
FRAME_S = 0.02
"""Length of a frame of the comparison in time. [s]"""
STRETCH_S = 10.0
"""Frames of one recording are taken to hang together this long: the length of a rep with its pause. [s]"""
SAME_REP_S = 1.0
"""Reps whose nose-in lies no further apart are the same rep. [s]"""

Events = Callable[[Sheet], tuple[float, ...] | None]
Lane = Callable[[Sheet], tuple[Stretch, ...] | None]
Value = Callable[[HeldRep], float | None]


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of event: how to get it from a sheet, and how far apart two can be and still be meant as one."""

    key: str
    events: Events
    reach_s: float


def _starts(lane: Lane) -> Events:
    return lambda sheet: _edge(lane(sheet), 0)


def _ends(lane: Lane) -> Events:
    return lambda sheet: _edge(lane(sheet), 1)


def _edge(spans: tuple[Stretch, ...] | None, which: int) -> tuple[float, ...] | None:
    return None if spans is None else tuple(span[which] for span in spans)


KINDS = (
    Kind("mark", lambda sheet: sheet.marks, 0.25),
    Kind("nose_in", _starts(lambda sheet: sheet.nose_in), 1.0),
    Kind("nose_out", _ends(lambda sheet: sheet.nose_in), 1.0),
    Kind("hand_in", _starts(lambda sheet: sheet.hand_in), 1.0),
    Kind("hand_out", _ends(lambda sheet: sheet.hand_in), 1.0),
    Kind("inhale", _starts(lambda sheet: sheet.inhales), 0.08),
)
"""Kinds of events. An intake is paired within less than half a cycle, else each would find its neighbour."""
LANES: tuple[tuple[str, Lane], ...] = (
    ("nose_in", lambda sheet: sheet.nose_in),
    ("hand_in", lambda sheet: sheet.hand_in),
    ("inhaling", lambda sheet: sheet.inhales),
)
VALUES: tuple[tuple[str, Value], ...] = (
    ("hold", lambda rep: rep.hold_s),
    ("mark_delay", lambda rep: rep.mark_delay_s),
)
