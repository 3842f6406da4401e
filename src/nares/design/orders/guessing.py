"""How guessable orders drawn in a stated way are: simple guessers, and the best there can be.

Conventions
-----------
Rates are runs guessed right, of all runs. *Chance* is what somebody gets who knows only how often runs are
blank and how many targets they hold, and always says the same: the more frequent of "clear" and one place.
Exact where orders can be listed or counted; otherwise from orders drawn, with the standard error, from a seed
that belongs to the request, so that the same request gives the same figures.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import accumulate, combinations
from math import comb, floor, fsum, lcm, sqrt

from nares.base.errors import NotEnoughData
from nares.base.lineups import Drawing
from nares.design.chance.stream import SEED_BYTES, Stream, subseed
from nares.design.orders.best_guess import best_of_counts, best_of_listed
from nares.design.orders.constrained import draw_keeping, orders_keeping
from nares.design.orders.guessers import GUESSERS, Guesser, counting, guessers_of
from nares.design.orders.makeup import MakeUp, orders_of
from nares.design.orders.order import Asked, Runs, asked
from nares.design.orders.possible import contradiction, contradictions, usual_for
from nares.design.orders.rules import rules_named

DRAWN = 200
"""Orders drawn where a figure cannot be reckoned exactly."""

MOST_TRIES = 20_000
"""Tries after which no further order is drawn for a figure."""

LISTED = 20_000
"""Orders that are gone through one by one for exact figures at most."""

ROUNDING = 1e-9
"""A standard error below this is none: all orders give the guesser the same."""

BEST = "best possible"


@dataclass(frozen=True, slots=True)
class Guessed:
    """How often one way of guessing is right.

    ``error``: standard error of the rate; None: it is exact. ``at_least``: somebody may do better still.
    """

    name: str
    rate: float
    chance: float
    says: str
    error: float | None = None
    at_least: bool = False


def ways_of_guessing(
    *,
    runs: int,
    positions: int,
    targets_low: int,
    targets_high: int,
    blank_runs: float | None,
    drawing: Drawing,
    rules: Sequence[str] | None = None,
) -> tuple[Guessed, ...]:
    """How often simple guessers are right about orders drawn so, and the best possible one, last.

    The best possible guesser knows how the order was drawn, rules included, and sees the outcome of each run
    before the next. In independent draws it does no better than chance. Where the constrained orders are too
    many to be gone through, a guesser stands for it that counts, so the figure is "at least".

    Args:
        runs: Runs of the order. [count]
        positions: Positions of the line-up. [count]
        targets_low: Fewest targets of a run. [count]
        targets_high: Most targets of a run. [count]
        blank_runs: Chance or share of blank runs, 0 to 1; None: every count equally likely.
        drawing: ``independent`` or ``constrained``.
        rules: Rules of a constrained order; None: the usual ones that apply.

    Raises:
        OutOfRange: If the request contradicts itself or one of the rules.
        Unknown: If there is no such rule.
        NotEnoughData: If no order keeps all the rules.
    """
    request = asked(
        runs=runs,
        positions=positions,
        targets_low=targets_low,
        targets_high=targets_high,
        blank_runs=blank_runs,
    )
    if drawing == "independent":
        return _independent(request)
    return _constrained(request, None if rules is None else tuple(rules))


def _independent(request: Asked) -> tuple[Guessed, ...]:
    place, clear = _shares(request)
    chance = max(place, clear)
    rates = dict.fromkeys(guessers_of(request.positions, blank=bool(clear)), place)
    if clear:
        rates["always clear"] = clear
    rates["same as last"] = _from_the_second(request, clear * clear + (1 - clear) * place)
    if request.positions == 1:
        rates["another place"] = _from_the_second(request, 2 * clear * (1 - clear))
    guessed = [_guessed(name, rate, chance) for name, rate in rates.items()]
    says = f"Nobody does better than chance, whatever they have seen: {_in_100(chance)} runs of 100."
    return (*guessed, Guessed(BEST, float(chance), float(chance), says))


def _from_the_second(request: Asked, later: Fraction) -> Fraction:
    """The rate of who names a place in the first run and is right with chance ``later`` from then on."""
    place, _ = _shares(request)
    return (place + (request.runs - 1) * later) / request.runs


def _shares(request: Asked) -> tuple[Fraction, Fraction]:
    """The chance that one place holds a target, and that a run is blank."""
    chances = request.chances_of_counts
    targets = sum((count * chance for count, chance in chances.items()), Fraction(0))
    return targets / request.positions, chances.get(0, Fraction(0))


@lru_cache(maxsize=64)
def _constrained(request: Asked, rules: tuple[str, ...] | None) -> tuple[Guessed, ...]:
    makeups, keys = _possible(_makeups(request), rules)
    clear = sum((chance * makeup.blanks for makeup, chance in makeups.items()), Fraction(0)) / request.runs
    targets = sum((chance * sum(makeup.counts) for makeup, chance in makeups.items()), Fraction(0))
    place = targets / request.runs / request.positions
    chance = max(place, clear)
    listed = _listed(makeups, keys)
    orders = listed or _drawn(f"guessing {request!r} {rules!r}", makeups, keys)
    guessed = []
    for name in guessers_of(request.positions, blank=bool(clear)):
        rate, error = _mean(orders, GUESSERS[name][1], request.positions)
        exact = bool(listed) or error < ROUNDING
        guessed.append(_guessed(name, rate, chance, None if exact else error))
    return (*guessed, _best(request, keys, listed, orders, chance))


def _best(
    request: Asked,
    keys: dict[MakeUp, tuple[str, ...]],
    listed: list[tuple[Runs, Fraction]],
    orders: list[tuple[Runs, Fraction]],
    chance: Fraction,
) -> Guessed:
    """The best possible guesser, exactly if it can be reckoned; otherwise one that counts along."""
    exact = best_of_listed(listed) if listed else None
    if exact is None and len(keys) == 1:
        exact = next(best_of_counts(makeup, frozenset(rules)) for makeup, rules in keys.items())
    if exact is not None:
        return _guessed(BEST, exact, chance)
    rate, error = _mean(orders, counting, request.positions)
    return _guessed(BEST, max(rate, float(chance)), chance, error, at_least=True)


def _makeups(request: Asked) -> dict[MakeUp, Fraction]:
    """Every make-up that can be drawn, with its chance."""
    blanks = {0: Fraction(1)}
    if request.blank_runs is not None:
        exact = request.blank_runs * request.runs
        rest = exact - floor(exact)
        blanks = {floor(exact): 1 - rest, floor(exact) + 1: rest}
    kinds = range(request.low, request.high + 1)
    makeups: dict[MakeUp, Fraction] = {}
    for blank, chance in blanks.items():
        if not chance:
            continue
        each, more = divmod(request.runs - blank, len(kinds))
        for once_more in combinations(kinds, more):
            counts = [0] * blank + [kind for kind in kinds for _ in range(each + (kind in once_more))]
            makeups[MakeUp(tuple(sorted(counts)), request.positions)] = chance / comb(len(kinds), more)
    return makeups


def _possible(
    makeups: dict[MakeUp, Fraction], rules: tuple[str, ...] | None
) -> tuple[dict[MakeUp, Fraction], dict[MakeUp, tuple[str, ...]]]:
    """Those make-ups that can keep the rules, for no other was drawn, with their chances and rules.

    Raises:
        OutOfRange: If none can, as it is said of the first.
    """
    keys = {makeup: usual_for(makeup) if rules is None else rules for makeup in makeups}
    able = {
        makeup: chance
        for makeup, chance in makeups.items()
        if all(contradiction(makeup, rule) is None for rule in rules_named(keys[makeup]))
    }
    if not able:
        first = next(iter(makeups))
        contradictions(first, rules_named(keys[first]))
    total = sum(able.values(), Fraction(0))
    return {makeup: chance / total for makeup, chance in able.items()}, {
        makeup: keys[makeup] for makeup in able
    }


def _listed(
    makeups: dict[MakeUp, Fraction], keys: dict[MakeUp, tuple[str, ...]]
) -> list[tuple[Runs, Fraction]]:
    """Every order with its chance, where there are few enough to go through; otherwise none."""
    many = [
        orders_of(makeup, balanced="balanced" in keys[makeup] and makeup.positions > 1) for makeup in makeups
    ]
    if None in many or sum(one or 0 for one in many) > LISTED:
        return []
    kept = {makeup: orders_keeping(makeup, keys[makeup]) for makeup in makeups}
    total = sum((chance for makeup, chance in makeups.items() if kept[makeup]), Fraction(0))
    if not total:
        makeup = next(iter(makeups))
        raise NotEnoughData(
            f"No order of {len(makeup.counts)} runs in {makeup.positions} positions keeps all these "
            f"rules: {', '.join(keys[makeup])}. Leave one out, or ask for another number of runs."
        )
    return [
        (order, chance / total / len(kept[makeup]))
        for makeup, chance in makeups.items()
        for order in kept[makeup]
    ]


def _drawn(
    purpose: str, makeups: dict[MakeUp, Fraction], keys: dict[MakeUp, tuple[str, ...]]
) -> list[tuple[Runs, Fraction]]:
    """Orders drawn as they would be, from a seed that belongs to the request."""
    stream = Stream(subseed(bytes(SEED_BYTES), purpose))
    whole = lcm(*(chance.denominator for chance in makeups.values()))
    orders: list[Runs] = []
    tries = 0
    while len(orders) < DRAWN and tries < MOST_TRIES:
        lot = Fraction(stream.below(whole), whole)
        upto = accumulate(makeups.values())
        makeup = next(makeup for makeup, end in zip(makeups, upto, strict=True) if lot < end)
        order = draw_keeping(makeup, rules_named(keys[makeup]), stream)
        orders.append(order.runs)
        tries += order.tries
    return [(order, Fraction(1, len(orders))) for order in orders]


def _mean(orders: list[tuple[Runs, Fraction]], guesser: Guesser, positions: int) -> tuple[float, float]:
    """The mean share guessed right, and its standard error if the orders are a sample."""
    shares = [guesser(order, positions) / len(order) for order, _ in orders]
    weights = [float(weight) for _, weight in orders]
    mean = fsum(share * weight for share, weight in zip(shares, weights, strict=True))
    spread = fsum(weight * (share - mean) ** 2 for share, weight in zip(shares, weights, strict=True))
    return mean, sqrt(spread / max(len(orders) - 1, 1))


def _guessed(
    name: str,
    rate: Fraction | float,
    chance: Fraction,
    error: float | None = None,
    *,
    at_least: bool = False,
) -> Guessed:
    who = GUESSERS[name][0] if name in GUESSERS else "knows the rules and sees each outcome"
    if at_least:
        who = "knows how often each position and a blank run come, sees each outcome and counts"
    within = "" if error is None else f" (give or take {_in_100(2 * error)})"
    says = f"Who {who} guesses right in {_in_100(rate)} runs of 100{within}; chance is {_in_100(chance)}."
    if at_least:
        says += " Who knows all the rules may do better still."
    return Guessed(name, float(rate), float(chance), says, error, at_least)


def _in_100(share: Fraction | float) -> str:
    """A share as so many in 100, with one decimal only below 10."""
    hundred = 100 * float(share)
    return f"{hundred:.0f}" if hundred >= 9.95 else f"{hundred:.1f}"
