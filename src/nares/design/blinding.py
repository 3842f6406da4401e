"""How blind a run was, derived from who knew what lay where and who was there. Never typed.

Conventions
-----------
*known*: the handler knew. *single*: the handler did not, somebody who was there did. *double*: nobody who was
there knew, and the call stood before the key of the run was opened. None: it cannot be said, because the
record does not hold who was there, who placed, or any call.

Order is told by the numbers of entries on the record, which clocks cannot change. People are the same
person when their names differ only in case, in blanks or in the way a letter is encoded. What counts
against a run is what the record shows: a seat that was shown the key, a sheet or file with it, placing
it. Nobody can derive what one person told another.

Sources:
    swgdog-sc2-2006: double-blind, no participant or observer at the place knows the parameters.
"""

from dataclasses import dataclass

from nares.base.lineups import Blinding
from nares.design.lineups.plans import same_name

Says = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Saw:
    """Somebody was shown what lay where: in which runs, and by which entry of the record."""

    person: str
    runs: tuple[int, ...]
    entry: int


@dataclass(frozen=True, slots=True)
class Circumstances:
    """What the record holds around one run.

    ``handler``: who called. ``called``, ``opened``: the entries of the call and of the opening; None: not
    yet. ``present``: who was there, as stated when the run began; empty: not stated. ``at_work``: who was
    there because they did something there (began the run, wrote what they saw). ``placers``: who set the
    run. ``drawn_by``: who could read the whole key where it was drawn; empty: nobody. ``on_paper``: the
    call was typed in from paper, so that the order of entries does not show what was seen before it.
    """

    run: int
    handler: str = ""
    called: int | None = None
    opened: int | None = None
    present: tuple[str, ...] = ()
    at_work: tuple[str, ...] = ()
    placers: tuple[str, ...] = ()
    saw: tuple[Saw, ...] = ()
    drawn_by: str = ""
    on_paper: bool = False


def same_person(name: str) -> str:
    """A name as it is compared: case, blanks and encoding of letters do not tell people apart.

    Examples:
        >>> same_person(" Mara  QUILL") == same_person("Mara Quill")
        True
    """
    return same_name(name)


def blinding_of(around: Circumstances) -> tuple[Blinding | None, Says]:
    """Derive how blind a run was, with the sentences it rests on.

    Knowing more, or one more person there, never gives a higher level.

    Args:
        around: What the record holds around the run.

    Returns:
        The level, or None where it cannot be said, and why.

    Sources:
        swgdog-sc2-2006: double-blind.

    Examples:
        >>> from dataclasses import replace
        >>> run = Circumstances(1, "Tobin", 8, 10, ("Tobin", "Ines"), ("Ines",), ("Joss",))
        >>> blinding_of(run)[0]
        'double'
        >>> blinding_of(replace(run, present=("Tobin", "Ines", "joss ")))[0]
        'single'
    """
    if around.called is None or not around.handler.strip():
        return None, ("No call stands, so there is nothing that could have been blind.",)
    typed = (
        ("The call was typed in from paper: only the paper vouches for its time.",) if around.on_paper else ()
    )
    level, why = _level(around)
    return level, (*why, *typed)


def _level(around: Circumstances) -> tuple[Blinding | None, Says]:
    handler = around.handler
    if around.opened is not None and around.called is not None and around.called > around.opened:
        return "known", (f"The call came after the key of run {around.run} was opened.",)
    how = _how_known(around, handler, before=around.called)
    if how:
        return "known", (f"{handler}, who called, {how}.",)
    there = _there(around)
    knowing = [(name, _how_known(around, name, before=around.opened)) for name in there]
    if any(how for _, how in knowing):
        return "single", (
            f"{handler}, who called, had not been shown what lay where.",
            *(f"{name}, who was there, {how}." for name, how in knowing if how),
        )
    if not any(name.strip() for name in around.present):
        return None, ("It is not stated who was present.",)
    if not any(name.strip() for name in around.placers):
        return None, ("It is not on the record who placed this run, so who knew is not known.",)
    names = ", ".join(there)
    return "double", (
        f"Nobody who was there had been shown what lay where: {names}.",
        "The call stood before the key of the run was opened.",
    )


def _there(around: Circumstances) -> list[str]:
    """Everybody who was there, once each, as first written."""
    named = (around.handler, *around.present, *around.at_work)
    return list({same_person(name): name.strip() for name in reversed(named) if name.strip()}.values())[::-1]


def _how_known(around: Circumstances, name: str, *, before: int | None) -> str:
    """How a person came to know what lay where, before an entry; empty: not that the record shows."""
    who = same_person(name)
    if who in map(same_person, around.placers):
        return "had placed the run"
    if around.drawn_by.strip() and who == same_person(around.drawn_by):
        return "could read the key where it was drawn"
    limit = None if around.on_paper else before
    seen = [one for one in around.saw if same_person(one.person) == who and around.run in one.runs]
    early = [one.entry for one in seen if limit is None or one.entry < limit]
    return f"had been shown the key (entry {min(early)})" if early else ""
