"""How well a dog's progress is told, on invented dogs of known rates, and how long that takes.

python benchmarks/progress.py [DOGS]     seeds from 20,000 on; nothing was tuned on them

Curve: share of 90 % bands that hold the truth, of dogs said to have learned, and of those said so wrongly.
Changes: dogs with any change found. Relapse: reps to an alarm, also where sessions differ. Intervals of a
share: coverage with sessions that differ. Last, the time of one curve, binned and rep by rep.
"""

import sys
import time
from collections.abc import Callable

import numpy as np
import numpy.typing as npt

from nares.base.errors import NotEnoughData
from nares.base.interval import session_spread, wilson_interval
from nares.decide.progress.change_points import change_points
from nares.decide.progress.curve import learning_curve
from nares.decide.progress.fits import Start
from nares.decide.progress.relapse import relapse_watch, run_sum

Rates = npt.NDArray[np.float64]
LEVEL = 0.6
FIRST_SEED = 20_000
STARTS: tuple[Start, ...] = ("open", "at_level", "half_way", "at_first")


def steady(rate: float) -> Callable[[int, np.random.Generator], Rates]:
    return lambda reps, chance: np.full(reps, rate)


def jump(reps: int, chance: np.random.Generator) -> Rates:
    rates = np.full(reps, 0.45)
    rates[int(chance.integers(reps // 4, 3 * reps // 4)) :] = 0.88
    return rates


def slow(reps: int, chance: np.random.Generator) -> Rates:
    return 1 / (1 + np.exp(-np.linspace(-0.6, 2.2, reps)))


def fallen(reps: int, chance: np.random.Generator) -> Rates:
    return np.where(np.arange(reps) < reps - 10, 0.92, 0.5)


DOGS = {
    "steady 0.60": steady(0.6),
    "steady 0.75": steady(0.75),
    "steady 0.90": steady(0.9),
    "jump": jump,
    "slow": slow,
    "fallen": fallen,
}


def curves(dogs: int) -> None:
    print("curve, level 0.60          reps   " + "".join(f"{start:>24}" for start in STARTS))
    print("                                  " + "      held learned wrongly" * len(STARTS))
    for name, kind in DOGS.items():
        for reps in (20, 60, 160):
            cells = "".join(_curve_line(kind, reps, start, dogs) for start in STARTS)
            print(f"  {name:22} {reps:6}   {cells}", flush=True)


def _curve_line(kind: Callable[[int, np.random.Generator], Rates], reps: int, start: Start, dogs: int) -> str:
    if start != "open" and reps > 60:
        return f"{'not run':>24}"
    held, learned, wrongly, said = 0.0, 0, 0, 0
    for dog in range(dogs if start == "open" else max(dogs // 4, 1)):  # published fits take their time
        chance = np.random.default_rng([FIRST_SEED, reps, dog])
        rates = kind(reps, chance)
        met = (chance.random(reps) < rates).astype(int).tolist()
        try:
            curve = learning_curve(met, level=LEVEL, start=start)
        except NotEnoughData:
            continue
        said += 1
        band = curve.looking_back
        held += float(np.mean((np.array(band.low) <= rates) & (rates <= np.array(band.high))))
        if curve.learned_at is not None:
            learned += 1
            wrongly += bool((rates[curve.learned_at - 1 :] <= LEVEL + 1e-9).any())
    return f"{held / said:10.2f} {learned / said:7.2f} {wrongly / said:5.2f}" if said else "      none"


def changes(dogs: int) -> None:
    print("\nchange points at odds of 100 to 1: dogs with any change found")
    for name, kind in DOGS.items():
        for reps in (60, 200):
            found = 0
            for dog in range(dogs):
                chance = np.random.default_rng([FIRST_SEED + 1, reps, dog])
                found += bool(change_points((chance.random(reps) < kind(reps, chance)).astype(int).tolist()))
            print(f"  {name:22} {reps:6} {found / dogs:8.2f}")


def by_session(rate: float, alike: float, sessions: int, reps: int, chance: np.random.Generator) -> Rates:
    if alike == 0:
        return np.full(sessions * reps, rate)
    size = (1 - alike) / alike
    return np.repeat(chance.beta(rate * size, (1 - rate) * size, sessions), reps)


def relapse(dogs: int) -> None:
    watch = relapse_watch(good=0.85, bad=0.6)
    print(f"\nalarm between 0.85 and 0.60, line {watch.line}: mean reps to an alarm, sessions of ten")
    print(f"  exact, sessions alike: {watch.false_alarm_reps:.1f} at 0.85, {watch.notice_reps:.1f} at 0.60")
    for alike in (0.0, 0.05, 0.1, 0.2):
        means = []
        for rate in (0.85, 0.6):
            runs = []
            for dog in range(dogs):
                chance = np.random.default_rng([FIRST_SEED + 2, dog])
                rates = by_session(rate, alike, 300, 10, chance)
                alarm = run_sum((chance.random(len(rates)) < rates).tolist(), watch).alarm
                runs.append(alarm.at if alarm else len(rates))
            means.append(np.mean(runs))
        print(f"  reps of a session alike by {alike:4}: {means[0]:7.1f} at 0.85 {means[1]:6.1f} at 0.60")


def intervals(dogs: int) -> None:
    print("\n95 % interval of a share, sessions of ten: coverage, plain and widened")
    for sessions in (3, 5, 8, 20):
        for alike in (0.0, 0.1, 0.2):
            for rate in (0.6, 0.85):
                plain = widened = 0
                for dog in range(dogs):
                    chance = np.random.default_rng([FIRST_SEED + 3, sessions, dog])
                    rates = by_session(rate, alike, sessions, 10, chance)
                    met = (chance.random(len(rates)) < rates).tolist()
                    worth = session_spread(met, np.repeat(range(sessions), 10).tolist()).effective_reps
                    share = sum(met) / len(met)
                    plain += _holds(share, len(met), rate)
                    widened += _holds(share, worth, rate)
                print(
                    f"  {sessions:3} sessions, alike by {alike:3}, rate {rate:4}: "
                    f"{plain / dogs:6.3f} {widened / dogs:6.3f}"
                )


def _holds(share: float, reps: float, rate: float) -> bool:
    low, high = wilson_interval(share, reps, confidence=0.95)
    return low <= rate <= high


def speed() -> None:
    print("\ntime of one curve, ms")
    chance = np.random.default_rng(FIRST_SEED + 4)
    for reps in (40, 400, 2_000, 40_000):
        met = (chance.random(reps) < 0.8).astype(int)
        size = max(1, -(-reps // 400))
        bins = [met[k : k + size] for k in range(0, reps, size)]
        binned = _ms([int(one.sum()) for one in bins], [len(one) for one in bins])
        single = _ms(met.tolist(), [1] * reps)
        told = f"{binned:8.1f} in {len(bins)} bins, {single:8.1f} rep by rep, {single / binned:6.1f} times"
        print(f"  {reps:6} reps: {told}")


def _ms(met: list[int], tried: list[int]) -> float:
    best = 1e9
    for _ in range(3):
        begun = time.perf_counter()
        learning_curve(met, tried, level=LEVEL)
        best = min(best, time.perf_counter() - begun)
    return 1000 * best


if __name__ == "__main__":
    DOGS_EACH = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    curves(max(DOGS_EACH // 2, 1))
    changes(DOGS_EACH)
    relapse(DOGS_EACH * 2)
    intervals(DOGS_EACH * 5)
    speed()
