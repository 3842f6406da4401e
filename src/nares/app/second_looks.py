"""Which confirmed reps say something else now that the events they came from were corrected.

What a person stands by stays until a person changes it; the page says what the events would say now.
"""

from collections.abc import Iterable, Sequence

from nares.app.desk import Desk
from nares.app.pages import RepLine
from nares.app.proposals import Setting, propose
from nares.app.standing import Timeline, timeline_of
from nares.base.vocab import MeasuredRep, Rep

SAME_S = 0.002
"""Holds that differ by less are the same: readings are kept to a tenth of a millisecond. [s]"""


def changed_since(
    desk: Desk, session: str, timeline: Timeline | None, lines: Iterable[RepLine], setting: Setting
) -> dict[int, str]:
    """For each confirmed rep whose events were corrected afterwards: what they say now."""
    if timeline is None:
        return {}
    behind = [line for line in lines if line.kept is not None and line.seen < timeline.entry]
    entries = _entries(desk, session) if behind else []
    then_by: dict[int, dict[int, MeasuredRep]] = {}
    found: dict[int, str] = {}
    for line in behind:
        last = max((entry for entry in entries if entry <= line.seen), default=0)
        if last not in then_by:
            before = timeline_of(desk, session, until=last)
            then_by[last] = {rep.rep: rep for rep in before.reps} if before else {}
        said = _said(line, then_by[last].get(line.rep), setting)
        if said:
            found[line.rep] = said
    return found


def _entries(desk: Desk, session: str) -> list[int]:
    """Every entry that says where events are."""
    return [*desk.store.readings_of(session), *(one.entry for one in desk.store.corrections_of(session))]


def _said(line: RepLine, then: MeasuredRep | None, setting: Setting) -> str:
    if then is None and line.measured is None:
        return ""
    if line.measured is None:
        return "Nothing of this rep is left on the timeline. Set it aside, or leave it as it stands."
    old, new = (None if one is None else propose(one, setting) for one in (then, line.measured))
    if new is None:
        return "" if old is None else "After the correction its end cannot be told. Look again."
    differing = () if old is None else _differing(old, new)
    if not differing or line.kept is None or not _differing(line.kept, new):
        return ""
    return f"Its events were corrected since: {', '.join(differing)}. Look again."


def _differing(old: Rep, new: Rep) -> Sequence[str]:
    """Each measured value that differs, old to new."""
    names = ("ended_by", "met", "pay_place", "paid")
    shown = [
        f"{name.replace('_', ' ')} {_word(getattr(old, name))} is now {_word(getattr(new, name))}"
        for name in names
        if getattr(old, name) != getattr(new, name)
    ]
    if not _same(old.hold_s, new.hold_s):
        shown.insert(0, f"hold {_seconds(old.hold_s)} is now {_seconds(new.hold_s)}")
    return shown


def _same(one: float | None, other: float | None) -> bool:
    return one == other if one is None or other is None else abs(one - other) < SAME_S


def _seconds(hold_s: float | None) -> str:
    return "none" if hold_s is None else f"{hold_s:.2f} s"


def _word(value: object) -> str:
    return {True: "yes", False: "no"}[value] if isinstance(value, bool) else str(value)
