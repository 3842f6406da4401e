"""Simulated dogs at line-ups: how well they tell the target, how willing they are, what else moves them."""

from collections.abc import Sequence

import numpy as np

from nares.base.lineups import Blinding, Called, Placed, RunResult


def dog_runs(
    draws: np.random.Generator,
    *,
    runs: int,
    places: int,
    d_prime: float,
    criterion: float,
    blank: float = 0.25,
    lean: Sequence[float] | None = None,
    cue: float = 0.0,
    known: int = 0,
    lineup: str = "Sedge-1",
) -> list[RunResult]:
    """Runs of a dog that answers the strongest place if it passes its criterion.

    ``blank``: share of runs without target. ``lean``: what each position adds by itself: a dog with a side.
    ``cue``: what the handler's knowledge adds to the target in the first ``known`` runs.
    """
    made = []
    for number in range(1, runs + 1):
        target = 0 if draws.random() < blank else int(draws.integers(1, places + 1))
        smells = draws.standard_normal(places) + (0 if lean is None else np.asarray(lean))
        level: Blinding = "known" if number <= known else "double"
        if target:
            smells[target - 1] += d_prime + (cue if level == "known" else 0)
        best = int(smells.argmax())
        answer = best + 1 if smells[best] > criterion else None
        placed = tuple(
            Placed(at, "target" if at == target else "blank", "target" if at == target else "")
            for at in range(1, places + 1)
        )
        made.append(RunResult(number, placed, Called(number, answer), None, level, "", lineup))
    return made
