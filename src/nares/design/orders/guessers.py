"""Simple ways of guessing where the target is next, played over one order.

Conventions
-----------
A guesser names one place a run, or "clear", is right if a target lies there, or if
the run is blank, and then sees what there was. Where a guesser may choose among places, what it gets right
is the average over what it may choose; before it has seen what it goes by, it names any place. Blank runs
are passed over by guessers that go by places. Every guesser returns runs right.
"""

from collections.abc import Callable
from itertools import pairwise
from typing import TypeAlias

from nares.design.orders.order import Runs
from nares.design.orders.scores import going_on, places_of

Guesser: TypeAlias = Callable[[Runs, int], float]


def favourite_place(order: Runs, positions: int) -> float:
    """Always the same place."""
    return sum(map(len, order)) / positions


def always_clear(order: Runs, positions: int) -> float:
    """Always "clear"."""
    return sum(not run for run in order)


def same_as_last(order: Runs, positions: int) -> float:
    """What the last run had: one of its places, or "clear"."""
    right = len(order[0]) / positions
    for before, now in pairwise(order):
        right += _shared(before, now) if before else not now
    return right


def last_place(order: Runs, positions: int) -> float:
    """Where the target was last."""
    return _after_last(order, positions, _shared)


def another_place(order: Runs, positions: int) -> float:
    """Any place but where the target was last; with a single position, what the last run was not."""
    if positions == 1:
        return len(order[0]) + sum(bool(before) != bool(now) for before, now in pairwise(order))

    def elsewhere(before: tuple[int, ...], now: tuple[int, ...]) -> float:
        others = positions - len(before)
        return len(set(now).difference(before)) / others if others else 0.0

    return _after_last(order, positions, elsewhere)


def next_place(order: Runs, positions: int) -> float:
    """The place after where the target was last; after the last place the first."""

    def after(before: tuple[int, ...], now: tuple[int, ...]) -> float:
        return _shared(tuple(place % positions + 1 for place in before), now)

    return _after_last(order, positions, after)


def win_stay_lose_shift(order: Runs, positions: int) -> float:
    """Staying after a right guess, going elsewhere after a wrong one."""
    runs, places = places_of(order, positions)
    first = len(runs[0]) / places if runs else 0.0
    return first + going_on(order, positions, after="wrong").right


def _shared(before: tuple[int, ...], now: tuple[int, ...]) -> float:
    return len(set(now).intersection(before)) / len(before)


def _after_last(
    order: Runs, positions: int, step: Callable[[tuple[int, ...], tuple[int, ...]], float]
) -> float:
    paid = [run for run in order if run]
    first = len(paid[0]) / positions if paid else 0.0
    return first + sum(step(before, now) for before, now in pairwise(paid))


def counting(order: Runs, positions: int) -> float:
    """The place that was least often the target's, or "clear" while more blank runs are left than its share.

    Knows how many blank runs and how many targets there are in all, and that every place comes equally often;
    and does not name a place that held a target in the last three runs. The first of equals is named.
    """
    held = [0] * (positions + 1)
    blanks, targets, running = sum(not run for run in order), sum(map(len, order)), [0] * (positions + 1)
    even = -(-targets // positions)
    right = 0
    for number, run in enumerate(order):
        free = [place for place in range(1, positions + 1) if running[place] < 3] or [1]
        named = min(free, key=lambda place: held[place])
        left, owed = len(order) - number, even - held[named]
        room = sum(even - times for times in held[1:])
        share = (targets / (left - blanks)) * (left - blanks) / left * owed / room if left > blanks else 0.0
        right += (not run) if blanks / left > share else named in run
        blanks -= not run
        targets -= len(run)
        for place in range(1, positions + 1):
            held[place] += place in run
            if run:
                running[place] = running[place] + 1 if place in run else 0
    return right


GUESSERS: dict[str, tuple[str, Guesser]] = {
    "favourite place": ("always names the same place", favourite_place),
    "always clear": ('always says "clear"', always_clear),
    "same as last": ("says what the last run had", same_as_last),
    "last place": ("names where the target was last", last_place),
    "another place": ("names any place but where the target was last", another_place),
    "next place": ("names the place after where the target was last", next_place),
    "stays after right": (
        "stays after a right guess and goes elsewhere after a wrong one",
        win_stay_lose_shift,
    ),
}
"""Every simple way of guessing: what somebody who guesses so does, and the guesser."""


def guessers_of(positions: int, *, blank: bool) -> tuple[str, ...]:
    """The simple guessers that differ from each other there: some need blank runs, some a second position."""
    alone = ("last place", "next place", "stays after right") if positions == 1 else ()
    return tuple(name for name in GUESSERS if name not in alone and (blank or name != "always clear"))
