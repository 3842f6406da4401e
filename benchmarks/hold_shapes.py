"""Which way of choosing a shape foretells best, whether intervals hold the truth, and what a fit costs.

    python -m benchmarks.hold_shapes                  seeds 10000 on, 25 dogs of each steady kind
    python -m benchmarks.hold_shapes --dogs 60 --first 30000

A steady dog is asked for holds drawn evenly between 0.3 and 1.6 times what it reaches 75 times in 100, over
3, 6 and 12 sessions of twelve. For each way, on the same holds:

- loss: how much worse than the truth it foretells holds of 0.3 to 2 times that length, in thousandths of a
  nat a hold (Kullback and Leibler's divergence; 0 is the truth), and the standard error of the difference
  from the averaged shapes, dog by dog;
- asked: how often the hold it would ask for at 0.85 is really held, and how far off that is in the mean.

Then how often 95 % limits of the chance (at half, one and one and a half times that length) and of the ask
hold the truth; and the time of a model against one Weibull fit by lifelines on the same holds, in turn,
medians.
"""

import argparse
import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from benchmarks.hold_dogs import KINDS, Floats, SimulatedDog

from nares.decide import HoldModel, hold_model, pooled_hold_model

STEADY = [kind for kind in KINDS if kind.growth == 0 and kind.uneven == 0 and kind.declines == 0]
REPS = 12


@dataclass
class Seen:
    """One dog's holds and the truth about it."""

    dog: SimulatedDog
    reach_s: float
    held: list[float]
    broke: list[bool]
    sessions: list[str]


def seen_of(kind_number: int, seed: int, sessions: int) -> Seen:
    dog, draws = SimulatedDog(STEADY[kind_number], seed), np.random.default_rng([3, seed])
    found = Seen(dog, dog.reached_s(0.75), [], [], [])
    for number in range(sessions):
        held, broke = dog.session(
            [round(float(t), 1) + 0.1 for t in found.reach_s * draws.uniform(0.3, 1.6, REPS)]
        )
        found.held += held
        found.broke += broke
        found.sessions += [str(number)] * REPS
    return found


def _only(choose: Callable[[HoldModel], int]) -> Callable[[Seen], HoldModel]:
    """The model with one of its shapes at the whole share."""

    def way(seen: Seen) -> HoldModel:
        model = hold_model(seen.held, seen.broke, sessions=seen.sessions)
        if len(model.fits) < 2:
            return model
        kept = choose(model)
        return replace(model, fits=(model.fits[kept],), shares=(1.0,))

    return way


def _named(name: str) -> Callable[[HoldModel], int]:
    return lambda model: [fit.name for fit in model.fits].index(name)  # type: ignore[arg-type]


def _by_aic(seen: Seen) -> HoldModel:
    model = hold_model(seen.held, seen.broke, sessions=seen.sessions)
    worth = np.asarray([-fit.aic / 2 for fit in model.fits])
    shares = np.exp(worth - worth.max()) if len(worth) else worth
    return replace(model, shares=tuple(float(share) for share in shares / max(shares.sum(), 1e-9)))


WAYS: dict[str, Callable[[Seen], HoldModel]] = {
    "averaged by foresight": lambda seen: hold_model(seen.held, seen.broke, sessions=seen.sessions),
    "best by foresight": _only(lambda model: 0),
    "averaged by AIC": _by_aic,
    "best by AIC": _only(lambda model: int(np.argmin([fit.aic for fit in model.fits]))),
    "Weibull": _only(_named("weibull")),
    "log-normal": _only(_named("log-normal")),
    "pooled (trend, foretold)": lambda seen: pooled_hold_model(seen.held, seen.broke, sessions=seen.sessions),
}


def loss(model: HoldModel, seen: Seen) -> float:
    times = seen.reach_s * np.linspace(0.3, 2.0, 18)
    truth = np.clip(seen.dog.chances([float(t) for t in times]), 1e-9, 1 - 1e-9)
    said = np.clip(model.chances(times), 1e-4, 1 - 1e-4)
    worse = truth * np.log(truth / said) + (1 - truth) * np.log((1 - truth) / (1 - said))
    return 1000 * float(worse.mean())


def compare(first: int, dogs: int, sessions: int) -> None:
    held = [seen_of(kind, first + n, sessions) for kind in range(len(STEADY)) for n in range(dogs)]
    losses: dict[str, Floats] = {}
    for name, way in WAYS.items():
        models = [way(seen) for seen in held]
        losses[name] = np.asarray([loss(model, seen) for model, seen in zip(models, held, strict=True)])
        real = np.asarray([seen.dog.chances([m.ask()])[0] for m, seen in zip(models, held, strict=True)])
        apart = losses[name] - losses["averaged by foresight"]
        print(
            f"{sessions:2} sessions  {name:25} loss {losses[name].mean():6.1f}  "
            f"difference {apart.mean():+5.1f} "
            f"(se {apart.std(ddof=1) / np.sqrt(len(apart)):.1f})  asked {real.mean():.3f}  off by "
            f"{np.abs(real - 0.85).mean():.3f}  {covered(models, held)}",
            flush=True,
        )


def covered(models: list[HoldModel], held: list[Seen]) -> str:
    """How often the limits hold the truth."""
    chance, ask = [], []
    for model, seen in zip(models, held, strict=True):
        times = [part * seen.reach_s for part in (0.5, 1.0, 1.5)]
        low, high = model.limits(times)
        truth = seen.dog.chances(times)
        chance += [bool(inside) for inside in (low <= truth) & (truth <= high)]
        at_low, at_high = model.ask_limits(0.85)
        ask.append(at_low <= seen.dog.reached_s(0.85) <= at_high)
    return f"95 % limits hold the chance {np.mean(chance):.2f}, the ask {np.mean(ask):.2f}"


def cost(first: int, sessions: int, repeats: int = 9) -> None:
    from lifelines import WeibullFitter

    seen = seen_of(0, first, sessions)
    ways: dict[str, Callable[[], object]] = {
        "lifelines, one Weibull": lambda: WeibullFitter().fit(seen.held, seen.broke),
        "hold_model": lambda: hold_model(seen.held, seen.broke, sessions=seen.sessions),
        "pooled_hold_model": lambda: pooled_hold_model(seen.held, seen.broke, sessions=seen.sessions),
    }
    times: dict[str, list[float]] = {name: [] for name in ways}
    for _ in range(repeats):
        for name, way in ways.items():
            begun = time.process_time()
            way()
            times[name].append(time.process_time() - begun)
    usual = statistics.median(times["lifelines, one Weibull"])
    for name, taken in times.items():
        print(
            f"{sessions * REPS} holds  {name:24} {statistics.median(taken) / usual:.2f} of lifelines' one fit"
        )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--dogs", type=int, default=25)
    parser.add_argument("--first", type=int, default=10_000, help="seed of the first dog")
    asked = parser.parse_args()
    for sessions in (3, 6, 12):
        compare(asked.first, asked.dogs, sessions)
    for sessions in (5, 20):
        cost(asked.first, sessions)


if __name__ == "__main__":
    main()
