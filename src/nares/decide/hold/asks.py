"""The hold to ask for in each rep of the next session, settled before the first rep.

Conventions
-----------
Asks are seconds, rounded to 0.1 s. They are drawn before the session so that the moment of the mark never
depends on how the dog looks, which is what keeps cut-short holds honest evidence.

A session opens with easy reps and ends with one, so that the dog starts and stops on success. Between
them lie durations of the Fleshler-Hoffman progression in a drawn order, cut off at a floor and a cap and
scaled so that the expected share of holds reached over the whole session is ``chance_target``. Where a
limit would hold most of them at one value, they range over all that is allowed instead: a dog that can count
does not wait.
"""

from collections import Counter
from collections.abc import Sequence

import numpy as np

from nares.base.errors import OutOfRange
from nares.decide.hold.holds import HoldModel
from nares.decide.hold.schedule import fleshler_hoffman

TICK_S = 0.1
EASY_CHANCE = 0.95
"""An easy rep is one the dog is expected to hold with at least this chance."""

FLOOR_SHARE = 0.4
CAP_SHARE = 2.0
"""Asks between the easy ones stay from 0.4 to 2 times the single ask of the same chance: far enough apart
that the dog cannot count, near enough that no rep is a gift or a trap."""


LEAST_RANGE_S = 0.3
"""Where a step asks more than the dog can hold, asks still range this far from the step's shortest."""

SCALES, SCALE_ROUNDS = 24, 4
"""The scale of a session is found among so many, then again between the two nearest, to a millionth."""

MOST_BENT = 2.0
"""How far durations may crowd to one end of their range: as the square, or as the square root."""


def draw_asks(
    model: HoldModel,
    reps: int,
    *,
    chance_target: float = 0.85,
    draws: np.random.Generator,
    shortest_s: float | None = None,
    longest_s: float = float("inf"),
) -> list[float]:
    """Draw the asks of a session from what is known of the dog's holds.

    Args:
        model: The dog's holds.
        reps: Reps of the session, at least 1. [count]
        chance_target: Expected share of holds reached over the session. [-]
        draws: Where chance comes from.
        shortest_s: No ask between the easy ones is below this, no easy one above it. [s]
        longest_s: No ask is above this, nor above the model's ceiling. [s]

    Returns:
        ``reps`` asks in the order they are to be used. When the ceiling or ``longest_s`` keeps asks
        short, more holds than the target are expected to be reached.

    Raises:
        OutOfRange: If the count, the target or the limits cannot be.

    Sources:
        fleshler-hoffman-1962: the durations between the easy reps.

    Examples:
        >>> from nares.decide import hold_model
        >>> model = hold_model([5, 5, 3.2, 5, 5, 4.1, 5, 5, 2, 5], [0, 0, 1, 0, 0, 1, 0, 0, 1, 0])
        >>> asks = draw_asks(model, 12, draws=np.random.default_rng(1))
        >>> len(asks), asks[0] < max(asks), asks[-1] < max(asks)
        (12, True, True)
    """
    _require_session(reps, shortest_s or 0.0, longest_s)
    fixed = model.ask(chance_target)
    top = max(TICK_S, min(model.ceiling_s, longest_s))
    cap = min(top, max(CAP_SHARE * fixed, shortest_s or TICK_S))
    floor = min(shortest_s or max(FLOOR_SHARE * fixed, TICK_S), cap)
    easy = max(TICK_S, min(model.ask(max(EASY_CHANCE, chance_target)), shortest_s or fixed, cap))
    warm, middle = _shares(reps)
    wanted = chance_target * reps - (reps - middle) * model.chance(easy)
    between = _scaled(model, middle, wanted, floor, cap) if middle else []
    if _can_be_counted(between):
        between = _spread(model, middle, wanted, floor, max(cap, min(top, floor + LEAST_RANGE_S)))
    return _in_order(easy, warm, between, reps, draws)


def asks_between(low_s: float, high_s: float, reps: int, *, draws: np.random.Generator) -> list[float]:
    """Draw the asks of a session where nothing is known of the holds yet: evenly over a step's range.

    Raises:
        OutOfRange: If the count or the range cannot be.
    """
    _require_session(reps, low_s, high_s)
    warm, middle = _shares(reps)
    between = [float(t) for t in np.linspace(low_s, high_s, middle)] if middle else []
    return _in_order(low_s, warm, between, reps, draws)


def expected_success(model: HoldModel, asks_s: Sequence[float]) -> float:
    """The share of these asks the model expects the dog to hold. [-]"""
    return float(model.chances(asks_s).mean())


def _shares(reps: int) -> tuple[int, int]:
    """Warm-up reps and reps in between; one more, the last, is easy when there are two or more."""
    if reps == 1:
        return 1, 0
    warm = 1 if reps < 10 else 2
    return warm, reps - warm - 1


def _can_be_counted(between: Sequence[float]) -> bool:
    """Whether one duration fills so much of the middle that a dog would know it."""
    ticks = Counter(round(t / TICK_S) for t in between)
    return len(between) > 2 and max(ticks.values()) > max(2, len(between) // 3)


def _spread(model: HoldModel, count: int, wanted: float, floor: float, cap: float) -> list[float]:
    """Durations over the whole range from floor to cap, crowded to the end that brings the chance wanted.

    For where a limit holds most durations of the progression at one value.
    """
    places = [(index + 0.5) / count for index in range(count)]

    def at(bend: float) -> list[float]:
        return [floor + (cap - floor) * place**bend for place in places]

    short, long = MOST_BENT, 1 / MOST_BENT
    for _ in range(20):
        bend = (short * long) ** 0.5
        enough = float(model.chances(at(bend)).sum()) >= wanted
        short, long = (bend, long) if enough else (short, bend)
    return at(short)


def _scaled(model: HoldModel, count: int, wanted: float, floor: float, cap: float) -> list[float]:
    """Durations whose chances add up to what is wanted of the middle; by narrowing the scale."""
    unit = np.asarray(fleshler_hoffman(count, mean_s=1.0))

    def at(mean_s: float) -> list[float]:
        return [float(t) for t in np.clip(mean_s * unit, floor, cap)]

    low, high = 0.0, cap
    for _ in range(SCALE_ROUNDS):
        scales = np.linspace(low, high, SCALES)
        tried = np.clip(scales[:, None] * unit, floor, cap)
        totals = model.chances(tried.ravel()).reshape(tried.shape).sum(axis=1)
        enough = int((totals >= wanted).sum())
        if enough == SCALES:
            return at(high)
        low, high = float(scales[max(enough - 1, 0)]), float(scales[max(enough, 1)])
    return at(low)


def _in_order(
    easy: float, warm: int, between: Sequence[float], reps: int, draws: np.random.Generator
) -> list[float]:
    order = [between[i] for i in draws.permutation(len(between))]
    asks = [easy] * warm + order + ([easy] if reps > 1 else [])
    return _not_all_equal([max(TICK_S, round(round(t / TICK_S) * TICK_S, 1)) for t in asks])


def _not_all_equal(asks: list[float]) -> list[float]:
    """Ease the ends by a tick (or lengthen one in the middle where they are already shortest)."""
    if len(asks) < 2 or len(set(asks)) > 1:
        return asks
    if asks[0] > TICK_S:
        return [round(asks[0] - TICK_S, 1), *asks[1:]]
    middle = len(asks) // 2
    return [round(t + TICK_S, 1) if i == middle else t for i, t in enumerate(asks)]


def _require_session(reps: int, shortest_s: float, longest_s: float) -> None:
    if reps < 1:
        raise OutOfRange(f"A session of {reps} reps cannot be planned. Ask for at least 1 rep.")
    if not 0 <= shortest_s <= longest_s:
        raise OutOfRange(
            f"Asks from {shortest_s:g} s to {longest_s:g} s cannot be. "
            "Give the shorter time first, from 0 s up."
        )
