"""Which new edits can be taken, and in plain words why the others cannot.

Conventions
-----------
An edit already known by its id is taken and adds nothing, so that sending twice is harmless. One edit that
cannot be taken holds up no other.
"""

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from nares.measure.corrections import POINTS, Edit, Event, stands, taken_back

NAME = re.compile(r"[A-Za-z0-9_-]{1,64}")
SHORTEST_S = 0.001
OVER_S = 0.5
"""How far an event may lie past the end: streams of one file are of unequal length. [s]"""


@dataclass(frozen=True, slots=True)
class Admitted:
    """``fresh``: edits to write. ``known``: ids that were there already. ``refused``: id to the reason."""

    fresh: tuple[Edit, ...]
    known: tuple[str, ...]
    refused: dict[str, str]


def admit(
    read: Iterable[Event], before: Sequence[Edit], new: Iterable[Edit], *, duration_s: float
) -> Admitted:
    """Sort new edits into those to write, those known and those that cannot be.

    Args:
        read: The reading's events; none for a sheet that began empty.
        before: Every edit written so far, in order.
        new: Edits in the order they were made.
        duration_s: Length of the recording. [s]
    """
    read, taken = tuple(read), list(before)
    ids = {edit.edit for edit in taken}
    fresh: list[Edit] = []
    known: list[str] = []
    refused: dict[str, str] = {}
    for edit in new:
        if edit.edit in ids:
            known.append(edit.edit)
            continue
        said = malformed(edit, duration_s=duration_s) or _out_of_place(edit, read, taken)
        if said:
            refused[edit.edit] = said
        else:
            fresh.append(edit)
            taken.append(edit)
            ids.add(edit.edit)
    return Admitted(tuple(fresh), tuple(known), refused)


def malformed(edit: Edit, *, duration_s: float) -> str:
    """What is wrong with an edit by itself; empty where nothing is."""
    if not (NAME.fullmatch(edit.edit) and NAME.fullmatch(edit.event)):
        return "A change or its event has no proper name. Reload the page and make it again."
    if edit.deed == "added" and (edit.event != edit.edit or edit.lane == "doubtful_marks"):
        return "An added event goes by its change's name, and only the machine has doubts. Make it again."
    places = edit.deed in ("added", "moved")
    if places != bool(edit.now):
        return f"A change that says {edit.deed} {'needs a' if places else 'has no'} new place. Make it again."
    return _no_place(edit, duration_s) if places else ""


def _no_place(edit: Edit, duration_s: float) -> str:
    if len(edit.now) != (1 if edit.lane in POINTS else 2):
        return "A mark has one time and a stretch has two. Make the change again."
    if not all(math.isfinite(at_s) and 0 <= at_s <= duration_s + OVER_S for at_s in edit.now):
        shown = " to ".join(f"{at_s:g}" for at_s in edit.now)
        return f"{shown} s lies outside the recording of {duration_s:g} s. Place it inside."
    if len(edit.now) == 2 and edit.now[1] - edit.now[0] < SHORTEST_S:
        return f"A stretch from {edit.now[0]:g} s to {edit.now[1]:g} s has no length. Place its end later."
    return ""


def _out_of_place(edit: Edit, read: Sequence[Event], taken: Sequence[Edit]) -> str:
    """What is wrong with an edit after those before it; empty where nothing is."""
    if edit.deed != "undone":
        return stands(read, [*taken, edit]).misfits.get(edit.edit, "")
    if edit.event not in {one.edit for one in taken}:
        return "The change to take back is not on the record. Reload the page."
    if edit.event in taken_back(taken):
        return "This change was taken back already."
    return ""
