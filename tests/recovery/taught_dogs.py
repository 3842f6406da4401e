"""Dogs that learnt by the rule of Rescorla and Wagner what they were paid for: target, hand, or a box.

Each has saliences and a rate of its own, drawn wide of the page's usual ones, and is paid by somebody whose
pay really followed one cue; now and then a rep goes otherwise than it should.
"""

from dataclasses import dataclass

import numpy as np

from nares.design.cues.trials import Trial

CUES = ("target", "hand", "box:1", "box:2", "box:3")


@dataclass(frozen=True, slots=True)
class Taught:
    """What happened, which cue pay really followed, and how strongly the dog itself takes each cue."""

    trials: tuple[Trial, ...]
    learnt: str
    believes: dict[str, float]


def taught(learnt: str, draws: np.random.Generator, *, reps: int = 80, slips: float = 0.05) -> Taught:
    """A dog whose pay followed ``learnt``, with the cues going along with each other by chance."""
    own = {name: float(draws.uniform(0.05, 0.3)) for name in CUES}
    rate, believes, trials = float(draws.uniform(0.4, 1.0)), dict.fromkeys(CUES, 0.0), []
    lean = float(draws.uniform(0.3, 0.7))
    for rep in range(reps):
        target = draws.random() < 0.5
        hand = draws.random() < (lean if target else 1 - lean)
        there = {f"box:{draws.integers(1, 4)}", *(["target"] * target), *(["hand"] * hand)}
        paid = (learnt in there) != (draws.random() < slips)
        missing = paid - sum(believes[name] for name in there)
        for name in there:
            believes[name] += own[name] * rate * missing
        trials.append(Trial(f"s{rep // 10 + 1}", "2026-03-01T08:00:00Z", frozenset(there), bool(paid)))
    return Taught(tuple(trials), learnt, believes)
