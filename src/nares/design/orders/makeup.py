"""What a training order is made up of: how many runs hold how many targets, and every order of that make-up.

Conventions
-----------
The make-up is drawn before the order and settled then: a share of blank runs that
gives no whole number is drawn between the two neighbours, so that it comes out on average (0.25 of 10 runs:
two or three, each half the time). The other counts of targets are spread as evenly as they go; which of
them come once more is drawn.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations, islice
from math import comb, exp, factorial, floor

from nares.design.chance.stream import Stream
from nares.design.orders.order import Asked

MOST_COUNTED = 300_000
"""Steps that counting the ways of filling runs may take."""

MOST_DEEP = 200
"""Runs for which they are counted at most."""

LEAST_CUT = 1e-3
"""About how many shuffles in one may be cut into runs without a place twice in a run."""


@dataclass(frozen=True, slots=True)
class MakeUp:
    """How many targets the runs of an order hold, fewest first, and among how many positions."""

    counts: tuple[int, ...]
    positions: int

    @property
    def blanks(self) -> int:
        """How many of the runs are blank."""
        return self.counts.count(0)

    @property
    def paid(self) -> int:
        """How many of the runs hold a target."""
        return len(self.counts) - self.blanks

    @property
    def most(self) -> int:
        """The most targets of a run."""
        return max(self.counts)


def draw_makeup(request: Asked, stream: Stream) -> MakeUp:
    """How many runs hold how many targets: blanks by their share, the rest spread evenly."""
    blanks = 0
    if request.blank_runs is not None:
        exact = request.blank_runs * request.runs
        rest = exact - floor(exact)
        blanks = floor(exact) + (stream.below(rest.denominator) < rest.numerator)
    kinds = stream.shuffled(range(request.low, request.high + 1))
    counts = [kinds[number % len(kinds)] for number in range(request.runs - blanks)]
    return MakeUp(tuple(sorted([0] * blanks + counts)), request.positions)


def draw_of(makeup: MakeUp, *, balanced: bool, stream: Stream) -> tuple[tuple[int, ...], ...]:
    """One order of this make-up, each equally likely; with ``balanced``, of those alone that are balanced.

    Balanced means every position as often as every other, give or take one.
    """
    counts = stream.shuffled(makeup.counts)
    places = range(1, makeup.positions + 1)
    if not balanced:
        return tuple(tuple(sorted(stream.shuffled(places)[:count])) for count in counts)
    sets = _draw_balanced(makeup, stream)
    waiting = {count: iter([one for one in sets if len(one) == count]) for count in set(counts) if count}
    return tuple(next(waiting[count]) if count else () for count in counts)


def _draw_balanced(makeup: MakeUp, stream: Stream) -> list[tuple[int, ...]]:
    sizes = tuple(sorted((count for count in makeup.counts if count), reverse=True))
    room = list(stream.shuffled(_rooms(makeup)))
    if not _countable(makeup):
        return _draw_cut(sizes, room, stream)
    drawn: list[tuple[int, ...]] = []
    for number, size in enumerate(sizes):
        lot = stream.below(_ways(tuple(sorted(room)), sizes[number:]))
        for chosen in combinations(range(makeup.positions), size):
            if all(room[place] for place in chosen):
                left = _without(room, chosen)
                lot -= _ways(tuple(sorted(left)), sizes[number + 1 :])
                if lot < 0:
                    room = left
                    drawn.append(tuple(place + 1 for place in chosen))
                    break
    return drawn


def _draw_cut(sizes: tuple[int, ...], room: list[int], stream: Stream) -> list[tuple[int, ...]]:
    """The places, each so often as it has room, shuffled and cut into runs, until no run has one twice.

    Every run of *k* places comes from *k*! cuts, so all are equally likely.
    """
    places = [place for place, times in enumerate(room, 1) for _ in range(times)]
    while True:
        shuffled = iter(stream.shuffled(places))
        drawn = [tuple(sorted(islice(shuffled, size))) for size in sizes]
        if all(len(set(one)) == len(one) for one in drawn):
            return drawn


def _countable(makeup: MakeUp) -> bool:
    """Whether the ways of filling runs of several targets are few enough to be counted."""
    if makeup.most <= 1:
        return False
    most = max(_rooms(makeup))
    work = comb(most + makeup.positions, most) * comb(makeup.positions, makeup.most)
    return work <= MOST_COUNTED and len(makeup.counts) <= MOST_DEEP


def can_be_balanced(makeup: MakeUp) -> bool:
    """Whether a balanced order can be drawn in reasonable time; one target a run can always."""
    pairs = sum(comb(count, 2) for count in makeup.counts)
    return _countable(makeup) or exp(-pairs / makeup.positions) >= LEAST_CUT


def _without(room: list[int], chosen: tuple[int, ...]) -> list[int]:
    return [left - (place in chosen) for place, left in enumerate(room)]


def _rooms(makeup: MakeUp) -> tuple[int, ...]:
    each, more = divmod(sum(makeup.counts), makeup.positions)
    return tuple(each + (place < more) for place in range(makeup.positions))


@lru_cache(maxsize=1 << 18)
def _ways(room: tuple[int, ...], sizes: tuple[int, ...]) -> int:
    """In how many ways runs of these sizes fill the places, each place so often as it has room."""
    if not sizes:
        return int(not any(room))
    return sum(
        _ways(tuple(sorted(_without(list(room), chosen))), sizes[1:])
        for chosen in combinations(range(len(room)), sizes[0])
        if all(room[place] for place in chosen)
    )


def orders_of(makeup: MakeUp, *, balanced: bool) -> int | None:
    """How many orders of this make-up there are, or how many balanced ones; None: too many to be counted."""
    kinds = Counter(makeup.counts)
    arrangements = factorial(len(makeup.counts))
    for times in kinds.values():
        arrangements //= factorial(times)
    if not balanced:
        for count, times in kinds.items():
            arrangements *= comb(makeup.positions, count) ** times
        return arrangements
    sizes = tuple(sorted((count for count in makeup.counts if count), reverse=True))
    rooms = _rooms(makeup)
    if all(size == 1 for size in sizes):
        ways = factorial(sum(rooms))
        for room in rooms:
            ways //= factorial(room)
    elif _countable(makeup):
        ways = _ways(tuple(sorted(rooms)), sizes)
    else:
        return None
    return arrangements * ways * comb(makeup.positions, sum(makeup.counts) % makeup.positions)


def every_order(makeup: MakeUp, *, balanced: bool) -> Iterator[tuple[tuple[int, ...], ...]]:
    """Every order of this make-up, or every balanced one, in a fixed sequence."""
    each, more = divmod(sum(makeup.counts), makeup.positions)
    most = each + 1 if more else each
    left = Counter(makeup.counts)
    held = [0] * (makeup.positions + 1)
    order: list[tuple[int, ...]] = []

    def further() -> Iterator[tuple[tuple[int, ...], ...]]:
        if len(order) == len(makeup.counts):
            if not balanced or min(held[1:]) >= each:
                yield tuple(order)
            return
        for count in sorted(left):
            if not left[count]:
                continue
            left[count] -= 1
            for places in combinations(range(1, makeup.positions + 1), count):
                if balanced and any(held[place] >= most for place in places):
                    continue
                order.append(places)
                for place in places:
                    held[place] += 1
                yield from further()
                for place in places:
                    held[place] -= 1
                order.pop()
            left[count] += 1

    return further()
