"""How fast pay links are worked out, and how many reps choosing saves.

    python -m benchmarks.cues

Speed: 10,000 reps with 30 cues, everything of the page but the drawing, as a ratio to one least-squares
solution (numpy's `lstsq`) of the same reps in long form, in one run.

Reps saved: histories in which cues always came together (40 reps with all of them, paid, 20 with none), then
reps until every cue's variance inflation is under 5, going on by: the chosen reps (one after the other),
cells drawn at random, all three usual ways in turn, both together and the wrong cue alone in alternation.

Verdicts: dogs that learnt the target, the hand or a box (tests/recovery/taught_dogs.py), by reps.
"""

import time
from collections import Counter
from collections.abc import Callable, Sequence
from statistics import median

import numpy as np
from tests.recovery.taught_dogs import taught

from nares.design.chance import Stream
from nares.design.cues.cells import cells_of, pays
from nares.design.cues.choosing import choose_reps, columns_of, logged_of
from nares.design.cues.effects import effect_of
from nares.design.cues.links import links_of
from nares.design.cues.planning import next_reps
from nares.design.cues.trials import History, Trial, counted
from nares.design.cues.verdict import verdict_of

AT = "2026-03-01T08:00:00Z"
FARTHEST = 200
VIF_WANTED = 5.0


def history(reps: int, cues: int, seed: int = 1) -> History:
    """Reps in which the target pays and every other cue comes and goes, partly with it."""
    draws = np.random.default_rng(seed)
    leans = draws.uniform(0.3, 0.7, size=cues - 1)
    trials = []
    for rep in range(reps):
        target = bool(draws.random() < 0.5)
        there = draws.random(cues - 1) < (leans if target else 1 - leans)
        names = {f"cue{k}" for k in np.flatnonzero(there)} | ({"target"} if target else set())
        trials.append(Trial(f"s{rep // 20}", AT, frozenset(names), bool(draws.random() < 0.1 + 0.8 * target)))
    return History(tuple(trials))


def quickest(deed: Callable[[], object], times: int = 3) -> float:
    took = []
    for _ in range(times):
        began = time.perf_counter()
        deed()
        took.append(time.perf_counter() - began)
    return min(took)


def speed() -> None:
    """One page against one least-squares solution."""
    reps, cues = 10_000, 30
    made = history(reps, cues)
    names = counted(made.trials).names
    design = np.array([[1.0, *(name in trial.cues for name in names)] for trial in made.trials])
    pay = np.array([float(trial.paid) for trial in made.trials])
    bare = quickest(lambda: np.linalg.lstsq(design, pay, rcond=None), 9)
    links = links_of(made)
    whole = quickest(lambda: links_of(made))
    planned = quickest(lambda: next_reps(links, draws=Stream(bytes(32))))
    print(f"{reps} reps, {cues} cues: least squares alone {1000 * bare:.1f} ms")
    print(f"  pay links {whole / bare:.0f} times as long, next reps {planned / bare:.1f} times")


def until_apart(tied: Sequence[str], more: Callable[[int, Sequence[Trial]], frozenset[str]]) -> int | None:
    """Reps until every cue's variance inflation is small."""
    trials = [Trial("s", AT, frozenset(tied), True)] * 40 + [Trial("s", AT, frozenset(), False)] * 20
    for reps in range(FARTHEST + 1):
        table = counted(trials, tied)
        found = [effect_of(table, name).vif for name in tied]
        if all(vif is not None and vif < VIF_WANTED for vif in found):
            return reps
        cell = more(reps, trials)
        trials.append(Trial("s", AT, cell, pays(cell)))
    return None


def saved(tied: Sequence[str]) -> None:
    """Reps needed by each way of going on."""
    cells = cells_of(tied, [])
    rows = columns_of(cells, tied)

    def chosen(_: int, trials: Sequence[Trial]) -> frozenset[str]:
        logged = logged_of(counted(trials, tied), tied)
        return cells[choose_reps(rows, logged, 1, Stream(bytes(32)))[0]]

    all_there, wrong, target = frozenset(tied), frozenset(tied[1:]), frozenset(tied[:1])
    ways: dict[str, Callable[[int, Sequence[Trial]], frozenset[str]]] = {
        "chosen": chosen,
        "all, target alone, others alone in turn": lambda n, _: (all_there, target, wrong)[n % 3],
        "all and others alone in turn": lambda n, _: (all_there, wrong)[n % 2],
    }
    print(f"{' and '.join(tied)} always together:")
    for way, more in ways.items():
        print(f"  {way}: {until_apart(tied, more) or f'not within {FARTHEST}'} reps")
    draws = np.random.default_rng(3)
    found = [until_apart(tied, lambda n, t: cells[draws.integers(len(cells))]) for _ in range(101)]
    sure = [reps for reps in found if reps is not None]
    print(
        f"  drawn at random: median {median(sure):.0f} reps, nine of ten within {np.quantile(sure, 0.9):.0f}"
    )


def verdicts(dogs: int = 100) -> None:
    """How often the verdict names what the dog was paid for."""
    for reps in (20, 40, 80, 160):
        told = []
        for learnt in ("target", "hand", "box:2"):
            draws, named = np.random.default_rng(reps), Counter[str]()
            for _ in range(dogs):
                found = verdict_of(links_of(History(taught(learnt, draws, reps=reps).trials)))
                named[found.cues[0] if found.kind == "another" else found.kind] += 1
            told.append(
                f"{learnt} {named[learnt]} ({', '.join(f'{k} {v}' for k, v in named.most_common(3))})"
            )
        print(f"{reps} reps, {dogs} dogs each: " + "; ".join(told))


if __name__ == "__main__":
    speed()
    for together in (("target", "hand"), ("target", "hand", "food"), ("target", "hand", "food", "rain")):
        saved(together)
    verdicts()
