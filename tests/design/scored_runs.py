"""Runs of a line-up written in a few letters.

``T`` target, ``b`` blank, ``g`` control gloves, ``w`` warm; ``t`` tape, ``f`` food: distractors.
"""

from nares.base.lineups import Blinding, Called, Holds, Observed, Placed, RunResult, Visit

LETTERS: dict[str, tuple[Holds, str]] = {
    "T": ("target", "target"),
    "b": ("blank", ""),
    "g": ("control", "gloves"),
    "w": ("warm", ""),
    "t": ("distractor", "tape"),
    "f": ("distractor", "food"),
}


def placed(letters: str) -> tuple[Placed, ...]:
    return tuple(Placed(at, *LETTERS[letter]) for at, letter in enumerate(letters, start=1))


def run(
    number: int,
    letters: str,
    called: int | None,
    *,
    lineup: str = "Teasel-1",
    blinding: Blinding | None = None,
    void: str = "",
    observed: Observed | None = None,
    made: bool = True,
) -> RunResult:
    """A run with its call: a position, or None for clear; ``made`` False: no call at all."""
    call = Called(number, called, "Joss Pike") if made else None
    return RunResult(number, placed(letters), call, observed, blinding, void, lineup)


def walked(number: int, order: str, alert: int | None, *, latency_s: float | None = None) -> Observed:
    """What was seen of a dog that went to these positions in turn, two seconds each."""
    visits = tuple(
        Visit(int(one), 2.0 * k, 2.0, alerted=int(one) == alert and k == len(order) - 1)
        for k, one in enumerate(order)
    )
    return Observed(number, alert, latency_s, visits)
