"""Which rules so many runs can be asked to keep, told before anything is drawn."""

from collections.abc import Sequence

from nares.base.errors import OutOfRange
from nares.design.orders.makeup import MakeUp, can_be_balanced
from nares.design.orders.rules import LONGEST, LONGEST_BLANKS, RULES, USUAL_RULES, Rule


def contradictions(makeup: MakeUp, rules: Sequence[Rule]) -> None:
    """Refuse rules that no order of this make-up keeps, or that mean nothing there.

    Raises:
        OutOfRange: Naming the first such rule, why, and what to change.
    """
    for rule in rules:
        why = contradiction(makeup, rule)
        if why is not None:
            raise OutOfRange(why)


def contradiction(makeup: MakeUp, rule: Rule) -> str | None:
    """Why one rule cannot be asked of this make-up, and what to change; None: nothing speaks against it."""
    if makeup.most > 1 and not rule.several:
        return (
            f"The rule {rule.key} speaks of one target a run, and here runs hold up to {makeup.most}. "
            "Leave it out, or ask for at most one."
        )
    judged = makeup.paid if makeup.positions > 1 else len(makeup.counts)
    if judged < rule.least:
        return (
            f"The rule {rule.key} needs {rule.least} runs {'with a target ' * (makeup.positions > 1)}to say "
            f"anything, and here are {judged}. Leave it out, or ask for more runs."
        )
    if rule.key == "longest_blanks_3":
        return _too_many_blanks(makeup)
    if makeup.positions == 1:
        return _two_kinds(makeup, rule)
    if rule.key == "balanced" and not can_be_balanced(makeup):
        return (
            f"{judged} runs with up to {makeup.most} targets in {makeup.positions} positions are too many to "
            "be drawn balanced. Ask for fewer runs, or one target a run, or leave out balanced."
        )
    return None


def usual_for(makeup: MakeUp) -> tuple[str, ...]:
    """Those of the usual rules that this make-up can be asked to keep."""
    return tuple(key for key in USUAL_RULES if contradiction(makeup, RULES[key]) is None)


def _too_many_blanks(makeup: MakeUp) -> str | None:
    runs, most = len(makeup.counts), LONGEST_BLANKS * (makeup.paid + 1)
    if makeup.blanks <= most:
        return None
    return (
        f"{makeup.blanks} blank runs of {runs} cannot lie so that at most {LONGEST_BLANKS} follow each "
        f"other; between {makeup.paid} others there is room for {most}. Ask for fewer blank runs, or leave "
        "out longest_blanks_3."
    )


def _two_kinds(makeup: MakeUp, rule: Rule) -> str | None:
    """With a single position, rules about places speak of runs with and without the target, half and half."""
    if rule.key == "longest_run_3":
        fewer = min(makeup.blanks, makeup.paid)
        if max(makeup.blanks, makeup.paid) <= LONGEST * (fewer + 1):
            return None
    elif rule.key == "blanks_in_halves" or abs(makeup.blanks - makeup.paid) <= 1:
        return None
    return (
        f"With a single position the rule {rule.key} asks for about as many blank runs as others, and here "
        f"are {makeup.blanks} of {len(makeup.counts)}. Ask for a share of 0.5, or leave it out."
    )
