"""How guessable orders drawn like this are: reckoned from what was asked, never from what was drawn."""

from functools import lru_cache

from nares.app.lineups.values import Guess
from nares.base.lineups import Drawing
from nares.design.lineups import Brief
from nares.design.orders import RULES, ways_of_guessing


def guesses_of(brief: Brief, drawing: Drawing, rules: tuple[str, ...]) -> tuple[Guess, ...]:
    """Ways of guessing, with how often each is right beside chance."""
    return _guesses(
        brief.runs,
        brief.positions,
        brief.targets_low,
        brief.targets_high,
        brief.blank_runs,
        drawing,
        rules,
    )


def rules_in_words(rules: tuple[str, ...]) -> tuple[str, ...]:
    """What was asked of an order, a sentence each; a rule of a newer release by its name."""
    return tuple(RULES[rule].says if rule in RULES else rule for rule in rules)


@lru_cache(maxsize=64)
def _guesses(
    runs: int,
    positions: int,
    targets_low: int,
    targets_high: int,
    blank_runs: float | None,
    drawing: Drawing,
    rules: tuple[str, ...],
) -> tuple[Guess, ...]:
    # A constrained order takes seconds to judge, and every look at its page asks for the same.
    found = ways_of_guessing(
        runs=runs,
        positions=positions,
        targets_low=targets_low,
        targets_high=targets_high,
        blank_runs=blank_runs,
        drawing=drawing,
        rules=rules,
    )
    return tuple(Guess(one.name, one.rate, one.chance, one.says) for one in found)
