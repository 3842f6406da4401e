"""How often isolating names the criterion that broke a dog, how often a wrong one, and after how many reps.

    python -m benchmarks.isolating [RUNS [FIRST_SEED]]

Simulated dogs that one criterion broke (`tests.recovery.broken_dogs`), at every step of the box programme
whose probes are all steps of their own. Seeds from 10,000 on; nothing in isolating was fitted to any seed.
"""

import sys
from collections import Counter

import numpy as np
from tests.recovery.broken_dogs import Found, guilty, plain, until_named

from nares.decide import read_programme, shipped_programme
from nares.decide.isolation.easing import suspects
from nares.decide.isolation.probes import probe_risks, probe_steps
from nares.decide.steps.programme import Step

BOX = read_programme(shipped_programme())
FIRST_SEED = 10_000


def steps_probed() -> list[Step]:
    """Steps with several suspects, whose probes are all steps of their own."""
    return [
        step
        for step in BOX.steps
        if len(suspects(step, BOX)) > 1
        and all(BOX.place_of(probe.key) is None for probe in probe_steps(step, BOX).values())
    ]


def run(good: float, bad: float, runs: int) -> None:
    """One kind of dog: print shares of right, wrong, none and open, and the reps it took."""
    steps, came, reps = steps_probed(), Counter[str](), list[int]()
    sessions = list[int]()
    for number in range(runs):
        draws = np.random.default_rng(FIRST_SEED + number)
        failed = steps[int(draws.integers(len(steps)))]
        able = suspects(failed, BOX)
        which = able[int(draws.integers(len(able)))]
        found = until_named(BOX, failed, guilty(which, failed, good=good, bad=bad), draws)
        came[_as(found, plain(which))] += 1
        reps.append(found.reps)
        sessions.append(found.sessions)
    shares = "  ".join(f"{name} {came[name] / runs:6.3f}" for name in ("right", "wrong", "none", "open"))
    took = f"reps {np.mean(reps):5.1f}  sessions {np.mean(sessions):4.1f}"
    print(f"{good:4.2f} eased {bad:4.2f} not  {shares}  {took}")


def unbroken(bad: float, runs: int) -> None:
    """Dogs that no single criterion broke: every answer but none is wrong."""
    steps, came = steps_probed(), Counter[str]()
    for number in range(runs):
        draws = np.random.default_rng(FIRST_SEED + number)
        failed = steps[int(draws.integers(len(steps)))]
        came[_as(until_named(BOX, failed, lambda step: bad, draws), "")] += 1
    print(f"{bad:4.2f} everywhere      wrong {came['wrong'] / runs:6.3f}  none {came['none'] / runs:6.3f}")


def _as(found: Found, truth: str) -> str:
    if found.named in ("none", "open"):
        return found.named
    return "right" if found.named == truth else "wrong"


def main() -> None:
    """Print both tables and the exact risks."""
    global FIRST_SEED
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    FIRST_SEED = int(sys.argv[2]) if len(sys.argv) > 2 else FIRST_SEED
    print(f"{len(steps_probed())} steps, {runs} dogs a line, seeds {FIRST_SEED} to {FIRST_SEED + runs - 1}")
    for count in (2, 3, 4):
        wrong, missed = probe_risks(BOX.steps[0], count)
        print(f"{count} suspects, exactly: wrong at most {wrong:.4f}, right one missed {missed:.4f}")
    for good in (0.85, 0.90, 0.95):
        for bad in (0.35, 0.50, 0.60):
            run(good, bad, runs)
    for bad in (0.35, 0.50, 0.60):
        unbroken(bad, runs)


if __name__ == "__main__":
    main()
