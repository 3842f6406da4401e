"""How fast planned reps would move the strengths: reps until a wrong cue has faded and the target stands.

Conventions
-----------
A cycle of reps is repeated as often as needed. *Faded*: strength below `FADED`; *stands*: above `STANDS`.
Counted is the first rep after which it is so, however it goes on. None: not within `FARTHEST` reps.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from nares.design.cues.cells import Cell, pays
from nares.design.cues.strength import PLACE, Parameters
from nares.design.cues.vocabulary import TARGET

FADED, STANDS = 0.1, 0.9
FARTHEST = 2000


@dataclass(frozen=True, slots=True)
class Foreseen:
    """What the rule foretells of one way to go on: reps until the cue has faded, until the target stands."""

    way: str
    cue: str
    from_strength: float
    faded_after: int | None
    stands_after: int | None


def foresee(
    way: str, cycle: Sequence[Cell], cue: str, strengths: Mapping[str, float], parameters: Parameters
) -> Foreseen:
    """Go on with a cycle of reps and see when the cue has faded and when the target stands.

    Args:
        way: What the cycle is called.
        cycle: The reps in order, each paid if it holds the target.
        cue: The cue that is to fade.
        strengths: Where every cue stands now.
        parameters: Of the rule.

    Examples:
        Odour and hand, the hand three times as salient, together in forty paid reps and then broken up:

        >>> odd = Parameters(0.1, place=0.0, saliences={"hand": 0.3})
        >>> cycle = [frozenset({"target", "hand"}), frozenset({"target"}), frozenset({"hand"})]
        >>> found = foresee("three ways", cycle, "hand", {"target": 0.25, "hand": 0.75}, odd)
        >>> found.faded_after, found.stands_after
        (33, 43)
    """
    now = dict(strengths)
    began = now.get(cue, 0.0)
    faded = 0 if began < FADED else None
    stands = 0 if now.get(TARGET, 0.0) > STANDS else None
    most = max((sum(map(parameters.of, cell)) for cell in cycle), default=0.0) + parameters.of(PLACE)
    down = max(1.0, most * max(parameters.rate, parameters.rate_unpaid))
    for rep in range(1, FARTHEST + 1):
        if faded is not None and stands is not None:
            break
        cell = cycle[(rep - 1) % len(cycle)]
        won = pays(cell)
        rate = (parameters.rate if won else parameters.rate_unpaid) / down
        there = (*cell, PLACE)
        missing = float(won) - sum(now.get(name, 0.0) for name in there)
        for name in there:
            now[name] = now.get(name, 0.0) + parameters.of(name) * rate * missing
        if faded is None and now.get(cue, 0.0) < FADED:
            faded = rep
        if stands is None and now.get(TARGET, 0.0) > STANDS:
            stands = rep
    return Foreseen(way, cue, began, faded, stands)


def usual_ways(cue: str) -> dict[str, tuple[Cell, ...]]:
    """Ways of going on that come to mind, to set beside the chosen reps."""
    both, alone, other = frozenset({TARGET, cue}), frozenset({TARGET}), frozenset({cue})
    return {
        "both paid, the cue alone unpaid": (both, other),
        "both paid, the target alone paid": (both, alone),
        "all three in turn": (both, alone, other),
    }
