"""Training orders: all runs drawn together, every order that keeps the rules equally likely.

Conventions
-----------
First the make-up is drawn (`nares.design.orders.makeup`), then orders of it until one keeps every rule: an
order is never mended, so none is favoured. Where many tries in a row fail and the orders can be listed, they
are, and one of those that keep the rules is picked: still each equally likely. Where none does, the request
is refused with the rule that stands in the way; no rule is dropped and no run cut off.
"""

from collections.abc import Sequence
from functools import lru_cache

from nares.base.errors import NotEnoughData
from nares.design.chance.stream import Stream
from nares.design.orders.makeup import MakeUp, draw_makeup, draw_of, every_order, orders_of
from nares.design.orders.order import Order, Runs, asked
from nares.design.orders.possible import contradictions, usual_for
from nares.design.orders.rules import RULES, Rule, rules_named

FIRST_TRIES = 1_000
"""Orders drawn before they are listed instead, where they can be."""

MOST_TRIES = 50_000
"""Orders drawn before a request is refused as good as impossible; fewer where orders are long."""

MOST_RUNS = 400_000
"""Runs drawn, in all those orders together, before it is refused; but 1,000 orders at least."""

MOST_LISTED = 60_000
"""Orders that are listed one by one at most."""


def constrained_runs(
    *,
    runs: int,
    positions: int,
    targets_low: int,
    targets_high: int,
    blank_runs: float | None,
    rules: Sequence[str] | None,
    stream: Stream,
) -> Order:
    """Draw an order that keeps the rules, each such order equally likely.

    Args:
        runs: Runs wanted, 1 at least. [count]
        positions: Positions of the line-up, 1 at least. [count]
        targets_low: Fewest targets of a run. [count]
        targets_high: Most targets of a run. [count]
        blank_runs: Share of blank runs, 0 to 1; where it gives no whole number, one of the two neighbours is
            drawn. None: every count of targets equally often.
        rules: Names of the rules to keep; None: those of the usual ones that so many runs can be asked to
        keep
            (`Order.rules` tells which).
        stream: Where chance comes from.

    Returns:
        The order, with its tries and the rules it keeps.

    Raises:
        OutOfRange: If the request contradicts itself or one of the rules.
        Unknown: If there is no such rule.
        NotEnoughData: If no order keeps all the rules, or none of those drawn (50,000, or 400,000 runs in
            all); the message says which rule stands in the way.
    """
    request = asked(
        runs=runs,
        positions=positions,
        targets_low=targets_low,
        targets_high=targets_high,
        blank_runs=blank_runs,
    )
    makeup = draw_makeup(request, stream)
    kept = rules_named(usual_for(makeup) if rules is None else rules)
    contradictions(makeup, kept)
    return draw_keeping(makeup, kept, stream)


def draw_keeping(makeup: MakeUp, kept: Sequence[Rule], stream: Stream) -> Order:
    """An order of this make-up that keeps the rules, each equally likely.

    Raises:
        NotEnoughData: If there is none, or none of those drawn keeps them all.
    """
    runs, positions = len(makeup.counts), makeup.positions
    keys = tuple(rule.key for rule in kept)
    balanced = "balanced" in keys and positions > 1
    listable = _listable(makeup, keys)
    broken: dict[str, int] = dict.fromkeys(keys, 0)
    most = FIRST_TRIES if listable else min(MOST_TRIES, max(FIRST_TRIES, MOST_RUNS // runs))
    for tries in range(1, most + 1):
        order = draw_of(makeup, balanced=balanced, stream=stream)
        first = first_broken(order, positions, kept)
        if first is None:
            return Order(order, tries, keys)
        broken[first.key] += 1
    if not listable:
        worst = max(broken, key=lambda key: broken[key])
        raise NotEnoughData(
            f"None of {most:,} orders drawn kept all rules; {broken[worst]:,} broke {worst} "
            f"({RULES[worst].says}) Leave that rule out, or ask for another number of runs."
        )
    listed = orders_keeping(makeup, keys)
    if not listed:
        raise NotEnoughData(_in_the_way(makeup, kept))
    return Order(stream.pick(listed), most + 1, keys, len(listed))


def first_broken(order: Runs, positions: int, rules: Sequence[Rule]) -> Rule | None:
    """The first of the rules that an order breaks; None: it keeps them all."""
    return next((rule for rule in rules if not rule.holds(order, positions)), None)


@lru_cache(maxsize=32)
def orders_keeping(makeup: MakeUp, keys: tuple[str, ...]) -> tuple[tuple[tuple[int, ...], ...], ...]:
    """Every order of a make-up that keeps the rules of these names, in a fixed sequence."""
    rules = rules_named(keys)
    balanced = "balanced" in keys and makeup.positions > 1
    return tuple(
        order
        for order in every_order(makeup, balanced=balanced)
        if first_broken(order, makeup.positions, rules) is None
    )


def _listable(makeup: MakeUp, keys: Sequence[str]) -> bool:
    many = orders_of(makeup, balanced="balanced" in keys and makeup.positions > 1)
    return many is not None and many <= MOST_LISTED


def _in_the_way(makeup: MakeUp, rules: Sequence[Rule]) -> str:
    """Which rule to leave out, by counting what would be left without each."""
    keys = tuple(rule.key for rule in rules)
    without = {key: tuple(other for other in keys if other != key) for key in keys}
    left = {
        key: len(orders_keeping(makeup, others))
        for key, others in without.items()
        if _listable(makeup, others)
    }
    free = [f"without {key} {count:,} would" for key, count in left.items() if count]
    found = f"No order of {len(makeup.counts)} runs in {makeup.positions} positions keeps all these rules: "
    found += ", ".join(keys)
    if free:
        return f"{found}. {'; '.join(free).capitalize()}: leave one out, or ask for more runs."
    return f"{found}. Leave two or more of them out, or ask for another number of runs."
