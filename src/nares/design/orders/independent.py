"""Blind and proof orders: every run is drawn by itself, so that earlier runs tell nothing about the next."""

from nares.design.chance.stream import Stream
from nares.design.orders.order import asked


def independent_runs(
    *,
    runs: int,
    positions: int,
    targets_low: int,
    targets_high: int,
    blank_runs: float | None,
    stream: Stream,
) -> tuple[tuple[int, ...], ...]:
    """Draw the target positions of every run by itself, the number of targets too.

    Run by run: with ``blank_runs`` given, whether the run is blank is drawn first, with exactly that
    chance; a run that is not holds 1 (or ``targets_low``, if more) to ``targets_high`` targets, every count
    equally likely. Without it, every count from ``targets_low`` to ``targets_high`` is equally likely, 0
    being a blank run. The positions are the first so many of all positions shuffled. Count and positions
    are drawn in every run, needed or not, so that the recipe has no side ways.

    Args:
        runs: Runs wanted, 1 at least. [count]
        positions: Positions of the line-up, 1 at least. [count]
        targets_low: Fewest targets of a run. [count]
        targets_high: Most targets of a run. [count]
        blank_runs: Chance that a run is blank, 0 to 1; None: as the counts have it.
        stream: Where chance comes from.

    Returns:
        One tuple of sorted target positions a run; ``()`` is a blank run.

    Raises:
        OutOfRange: If the request contradicts itself; the message says what to change.
    """
    request = asked(
        runs=runs,
        positions=positions,
        targets_low=targets_low,
        targets_high=targets_high,
        blank_runs=blank_runs,
    )
    places = range(1, positions + 1)
    drawn: list[tuple[int, ...]] = []
    for _ in range(runs):
        blank = blank_runs is not None and stream.chance(blank_runs)
        count = request.low + stream.below(request.high - request.low + 1)
        order = stream.shuffled(places)
        drawn.append(() if blank else tuple(sorted(order[:count])))
    return tuple(drawn)
