"""What drawing orders costs, beside the standard library's shuffle, and how guessable orders are.

    python -m benchmarks.orders                 every request, 300 orders each
    python -m benchmarks.orders --orders 1000

For each request orders are drawn in two ways that differ in where chance comes from alone: from our
documented expansion (`nares.design.chance`), and from `random.Random`, shuffled and thrown away until the
same rules hold. Figures: tries for one order, microseconds of either, the ratio of one try to one try; and
the best guess, as a page shows it.
"""

import argparse
import random
from time import perf_counter

from nares.design.chance import Stream, subseed
from nares.design.orders import RULES, constrained_runs, independent_runs, ways_of_guessing

REQUESTS: list[tuple[str, int, int, int, float | None]] = [
    ("10 runs, 2 sides", 10, 2, 1, None),
    ("20 runs, 2 sides", 20, 2, 1, None),
    ("20 runs, 5 positions", 20, 5, 1, None),
    ("20 runs, 6 positions, a quarter blank", 20, 6, 0, 0.25),
    ("40 runs, 6 positions, a quarter blank", 40, 6, 0, 0.25),
    ("24 runs, 8 positions", 24, 8, 1, None),
]
SEED = bytes(range(32))


def by_the_library(
    runs: int, positions: int, blanks: int, rules: tuple[str, ...], draws: random.Random
) -> tuple[tuple[tuple[int, ...], ...], int]:
    tries = 0
    while True:
        tries += 1
        places = list(range(1, positions + 1))
        draws.shuffle(places)
        paid = runs - blanks
        order = [()] * blanks + [(places[number % positions],) for number in range(paid)]
        draws.shuffle(order)
        if all(RULES[rule].holds(order, positions) for rule in rules):
            return tuple(order), tries


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--orders", type=int, default=300)
    count = parser.parse_args().orders
    print(f"{'training orders':40} tries   ours us  library us  ratio  best guess  chance")
    for name, runs, positions, low, blank_runs in REQUESTS:
        stream, draws = Stream(subseed(SEED, name)), random.Random(name)
        blanks = round(runs * (blank_runs or 0))
        ours = library = 0.0
        tries = library_tries = 0
        for _ in range(count):
            start = perf_counter()
            order = constrained_runs(
                runs=runs,
                positions=positions,
                targets_low=low,
                targets_high=1,
                blank_runs=blank_runs,
                rules=None,
                stream=stream,
            )
            between = perf_counter()
            _, tried = by_the_library(runs, positions, blanks, order.rules, draws)
            ours, library = ours + between - start, library + perf_counter() - between
            tries, library_tries = tries + order.tries, library_tries + tried
        best = ways_of_guessing(
            runs=runs,
            positions=positions,
            targets_low=low,
            targets_high=1,
            blank_runs=blank_runs,
            drawing="constrained",
        )[-1]
        each = ours / tries / (library / library_tries)
        least = "at least " if best.at_least else ""
        us = f"{1e6 * ours / count:9.0f} {1e6 * library / count:11.0f}"
        print(f"{name:40} {tries / count:5.1f} {us} {each:6.2f}  {least}{best.rate:.3f}  {best.chance:.3f}")
    blind(count)


def blind(count: int) -> None:
    """Independent draws of 20 runs, beside the same from the library."""
    print(f"\n{'blind orders, 20 runs':40} ours us  library us  ratio")
    for positions in (2, 6, 12):
        stream, draws = Stream(subseed(SEED, f"blind {positions}")), random.Random(positions)
        start = perf_counter()
        for _ in range(count):
            independent_runs(
                runs=20, positions=positions, targets_low=0, targets_high=1, blank_runs=0.25, stream=stream
            )
        between = perf_counter()
        for _ in range(count):
            for _ in range(20):
                blank, places = draws.random() < 0.25, list(range(1, positions + 1))
                draws.shuffle(places)
                _ = () if blank else tuple(places[:1])
        end = perf_counter()
        ratio = (between - start) / (end - between)
        name = f"{positions} positions, a quarter blank"
        us = f"{1e6 * (between - start) / count:7.0f} {1e6 * (end - between) / count:11.0f}"
        print(f"{name:40} {us} {ratio:6.2f}")


if __name__ == "__main__":
    main()
