"""Which positions hold a target in which run: rules, draws, and how guessable they are (docs/orders.md)."""

from nares.design.orders.constrained import constrained_runs
from nares.design.orders.guessing import Guessed, ways_of_guessing
from nares.design.orders.independent import independent_runs
from nares.design.orders.one_order import Looked, look_at
from nares.design.orders.order import Order
from nares.design.orders.rules import RULES, USUAL_RULES, Rule

__all__ = [
    "RULES",
    "USUAL_RULES",
    "Guessed",
    "Looked",
    "Order",
    "Rule",
    "constrained_runs",
    "independent_runs",
    "look_at",
    "ways_of_guessing",
]
