"""What the page What if shows, as data: other levels for the step test, another chance for the ask."""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Levels:
    """What may be changed. Rates and chances 0 to 1, ``cap`` in reps. ``chance``: aimed at by the ask."""

    ready: float
    not_ready: float
    false_raise: float
    missed_raise: float
    cap: int
    chance: float


@dataclass(frozen=True, slots=True)
class DogAt:
    """What the test does to a dog that really meets ``rate`` of its reps; ``own_…``: the programme's do."""

    rate: float
    to_raise: float
    to_ease: float
    undecided: float
    reps: float
    own_to_raise: float
    own_to_ease: float
    own_reps: float


@dataclass(frozen=True, slots=True)
class Ladder:
    """Chance of a false raise over so many raises, and what each may risk to keep it to ``kept_to``."""

    raises: int
    over: float
    own_over: float
    kept_to: float
    each: float


@dataclass(frozen=True, slots=True)
class AskThen:
    """The hold to ask for at the chance aimed at. Limits None where nothing bounds them.

    ``beyond``: whether no hold that long was seen. ``bound``: whether the model would say more than may be
    asked. ``from_s``, ``to_s``: the step's range.
    """

    ask_s: float
    low_s: float | None
    high_s: float | None
    own_ask_s: float
    longest_s: float
    reps: int
    breaks: int
    beyond: bool
    bound: bool
    from_s: float
    to_s: float
    note: str


@dataclass(frozen=True, slots=True)
class CallThen:
    """The call of today by some levels, on the reps there are."""

    call: str
    next_step_name: str
    because: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class WhatIfPage:
    """A dog's step by other levels. Nothing here is on the record.

    ``rows``: over true rates. ``raise_at``, ``ease_at``: counts (met, reps) at which a run raises, eases.
    ``how``: "optimal" or "wald". ``allowed``: least, most and step of each level.
    """

    dog: str
    step: str
    step_name: str
    levels: Levels
    own: Levels
    changed: tuple[str, ...]
    said: tuple[str, ...]
    at_not_ready: DogAt
    between: DogAt
    at_ready: DogAt
    rows: tuple[DogAt, ...]
    raise_at: tuple[tuple[int, int], ...]
    ease_at: tuple[tuple[int, int], ...]
    own_raise_at: tuple[tuple[int, int], ...]
    how: str
    ladder: Ladder
    then: CallThen
    own_call: CallThen
    counted: int
    counted_met: int
    ask: AskThen | None
    allowed: Mapping[str, tuple[float, float, float]]
    chances_svg: str
    reps_svg: str
