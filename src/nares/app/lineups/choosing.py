"""What there is to choose from when a line-up is designed: the rules of a constrained order."""

from dataclasses import dataclass

from nares.design.orders import RULES, USUAL_RULES


@dataclass(frozen=True, slots=True)
class RuleChoice:
    """One rule an order can be asked to keep. ``says``: in a sentence. ``usual``: asked for unless said."""

    key: str
    says: str
    usual: bool


def rule_choices() -> tuple[RuleChoice, ...]:
    """Every rule there is, in the order they are told."""
    return tuple(RuleChoice(key, rule.says, key in USUAL_RULES) for key, rule in RULES.items())
