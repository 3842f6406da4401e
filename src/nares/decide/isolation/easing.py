"""Steps made from a programme's step by easing single criteria: what comes back when one was too much.

Conventions
-----------
An *eased step* is a step of the programme with one or more criteria brought down to a level the dog was last
sure at, and everything else as it was. Its key says all of it, so that a session run at it can be read years
later without looking anything up: ``hold-5~hand=side`` is the step ``hold-5`` with the hand at the side,
``hold-5~ask_s=1.5-3`` the same with shorter holds. Where the programme already has a step with exactly these
criteria that step is used under its own name.

*Last sure* is the nearest earlier step of the programme at which the criterion was easier: the dog was raised
from there. Levels are those of `nares.decide.steps.criteria`.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from nares.decide.steps.criteria import CRITERIA, Criterion
from nares.decide.steps.programme import Programme, Step

JOINT = "~"
"""Stands between the key of a step and each criterion eased from it."""

_BY_KEY = {criterion.key: criterion for criterion in CRITERIA}
_FLAGS = {"yes": True, "no": False}


def level_of(step: Step, criterion: str) -> float:
    """How hard a criterion is at a step; higher is harder. [-]"""
    return _BY_KEY[criterion].level(getattr(step, criterion))


def name_of(criterion: str) -> str:
    """The plain name of a criterion."""
    return _BY_KEY[criterion].name


def step_of(programme: Programme, key: str) -> Step | None:
    """The step of this key: the programme's own, one eased from it, or None where neither can be.

    Examples:
        >>> from nares.decide.steps.programme_file import read_programme, shipped_programme
        >>> box = read_programme(shipped_programme())
        >>> step_of(box, "hold-5~hand=side").name
        'Hold to 5 s, hand eased to side'
        >>> step_of(box, "hold-5~hand=nowhere") is None
        True
    """
    place = programme.place_of(key)
    if place is not None:
        return programme.steps[place]
    stem, joint, said = key.rpartition(JOINT)
    parent = step_of(programme, stem) if joint else None
    criterion, _, text = said.partition("=")
    if parent is None or criterion not in _BY_KEY:
        return None
    value = _read(_BY_KEY[criterion], text)
    return None if value is None else with_eased(parent, criterion, value)


def with_eased(step: Step, criterion: str, value: Any) -> Step:
    """A step with one criterion at an easier value, under a key and a name that say so."""
    said = _written(value)
    unit = {"ask_s": " s", "distance_m": " m"}.get(criterion, "")
    plain = f"{said.replace('-', ' to ') if criterion == 'ask_s' else said}{unit}"
    return replace(
        step,
        **{criterion: value},
        key=f"{step.key}{JOINT}{criterion}={said}",
        name=f"{step.name}, {name_of(criterion)} eased to {plain}",
    )


def raised_from(step: Step, programme: Programme) -> list[str]:
    """Keys of the criteria a step of the programme raises over the one before it; for the first, none."""
    place = programme.place_of(origin_of(step.key, programme)) or 0
    if place == 0:
        return []
    before, own = programme.steps[place - 1], programme.steps[place]
    return [c.key for c in CRITERIA if level_of(own, c.key) > level_of(before, c.key)]


def origin_of(key: str, programme: Programme) -> str:
    """The programme's step that an eased one was made from; its own key for a step of the programme."""
    while programme.place_of(key) is None and JOINT in key:
        key = key.rpartition(JOINT)[0]
    return key


def parent_of(key: str) -> str:
    """The step an eased one leads back to: its last easing undone."""
    return key.rpartition(JOINT)[0] or key


def easier_value(step: Step, criterion: str, programme: Programme) -> Any | None:
    """The value of a criterion where the dog was last sure; None where it was never easier.

    For a criterion this step raised that is its value at the step before.
    """
    place = programme.place_of(origin_of(step.key, programme)) or 0
    here = level_of(step, criterion)
    for earlier in reversed(programme.steps[:place]):
        if level_of(earlier, criterion) < here:
            return getattr(earlier, criterion)
    return None


def suspects(step: Step, programme: Programme) -> tuple[str, ...]:
    """The criteria that can have been too much: first what the step raised, then all not at their easiest."""
    raised = raised_from(step, programme)
    others = [c.key for c in CRITERIA if c.key not in raised]
    return tuple(key for key in (*raised, *others) if easier_value(step, key, programme) is not None)


def own_or_eased(step: Step, programme: Programme) -> Step:
    """The programme's own step with exactly these criteria where there is one, else the step as given."""
    place = programme.place_of(origin_of(step.key, programme))
    earlier = programme.steps[: len(programme.steps) if place is None else place + 1]
    return next((own for own in reversed(earlier) if same_criteria(own, step)), step)


def same_criteria(one: Step, other: Step) -> bool:
    """Whether two steps ask the same of a dog, whatever they are called."""
    return all(getattr(one, c.key) == getattr(other, c.key) for c in CRITERIA)


def eased_by(step: Step, programme: Programme, count: int) -> Step:
    """The step with so many criteria easier, one level each; the step itself where nothing can be eased.

    What the step raised is eased first. Where fewer criteria stand above their easiest, the same ones are
    eased again.
    """
    found = step
    for turn in range(count):
        able = suspects(found, programme)
        if not able:
            break
        fresh = [key for key in able if f"{JOINT}{key}=" not in found.key]
        criterion = (fresh or able)[0 if fresh else turn % len(able)]
        found = with_eased(found, criterion, easier_value(found, criterion, programme))
    return own_or_eased(found, programme)


def differing(one: Step, other: Step) -> list[str]:
    """Keys of the criteria in which two steps differ; the length of the hold counts by its longest."""
    return [c.key for c in CRITERIA if level_of(one, c.key) != level_of(other, c.key)]


def _written(value: Any) -> str:
    """A criterion's value as it stands in a key."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Sequence) and not isinstance(value, str):
        return "-".join(f"{part:g}" for part in value)
    return f"{value:g}" if isinstance(value, int | float) else str(value)


def _read(criterion: Criterion, text: str) -> Any | None:
    """A criterion's value read from a key; None where it cannot be."""
    value: Any = _FLAGS.get(text, text)
    try:
        if criterion.key == "ask_s":
            value = [float(part) for part in text.split("-")]
        elif criterion.key in ("disturbance", "boxes", "distractors"):
            value = int(text)
        elif criterion.key in ("distance_m", "blanks"):
            value = float(text)
    except ValueError:
        return None
    if not criterion.fits(value):
        return None
    return tuple(value) if criterion.key == "ask_s" else value
