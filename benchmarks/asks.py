"""Whether drawn asks are reached as often as they should be, on invented dogs, beside other ways of asking.

    python -m benchmarks.asks                         seeds 10000 on, 20 dogs of each kind
    python -m benchmarks.asks --dogs 50 --first 20000 --ways ours

A dog works session after session of twelve reps. Each session's asks come from what was seen of it so far:
holds cut short at the ask and holds broken. The first session is a trainer's guess, off by a third either
way; the first five sessions are learning and are not judged. Ways of asking:

- ours: `pooled_hold_model` refitted before each session, `draw_asks` at 0.85.
- three in a row: half a second more after three met in a row, half a second less after two missed.
- 8 of 10: a second more when eight of the last ten were met, a second less when five or fewer were.
- percentile 9/2 and 19/3: the next ask just exceeds the 2nd smallest of the last 9 holds, the 3rd of 19
  (0.80 and 0.85 paid, after Galbicka 1994).

Figures: share of asks met (mean over dogs, and standard deviation between dogs); how much longer the dog is
asked for at the end than at the start, per session; shares of asks that the dog truly holds 98 times in 100
(gifts) or less than 50 (traps); longest run of misses, mean over dogs; and how often somebody who knew the
session's asks but not their order would name the next one within a tenth (1: a dog could count).
"""

import argparse
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from benchmarks.hold_dogs import KINDS, Kind, SimulatedDog

from nares.decide import asks_between, draw_asks, pooled_hold_model

REPS, SESSIONS, LEARNING, TARGET = 12, 25, 5, 0.85
DOWN = 16
"""Sessions of a dog whose ability falls: after more of them it holds nothing that can be timed."""


@dataclass
class History:
    """What was seen of a dog: holds, endings, sessions; and what it is asked for now by a stepping rule."""

    held_s: list[float] = field(default_factory=list)
    broke: list[bool] = field(default_factory=list)
    sessions: list[str] = field(default_factory=list)
    ask_s: float = 1.0
    since: int = 0


def ours(history: History, draws: np.random.Generator) -> list[float]:
    model = pooled_hold_model(history.held_s, history.broke, sessions=history.sessions)
    return draw_asks(model, REPS, chance_target=TARGET, draws=draws)


def three_in_a_row(history: History) -> float:
    last = history.broke[history.since :]
    if len(last) >= 3 and not any(last[-3:]):
        return _moved(history, 0.5)
    if len(last) >= 2 and all(last[-2:]):
        return _moved(history, -0.5)
    return history.ask_s


def eight_of_ten(history: History) -> float:
    last = history.broke[history.since :][-10:]
    if len(last) == 10 and sum(last) <= 2:
        return _moved(history, 1.0)
    if len(last) == 10 and sum(last) >= 5:
        return _moved(history, -1.0)
    return history.ask_s


def percentile(window: int, rank: int) -> Callable[[History], float]:
    def rule(history: History) -> float:
        return max(0.1, sorted(history.held_s[-window:])[min(rank, len(history.held_s)) - 1] + 0.1)

    return rule


RULES: dict[str, Callable[[History], float]] = {
    "three in a row": three_in_a_row,
    "8 of 10": eight_of_ten,
    "percentile 9/2": percentile(9, 2),
    "percentile 19/3": percentile(19, 3),
}


def _moved(history: History, by_s: float) -> float:
    history.since = len(history.broke)
    return max(0.5, history.ask_s + by_s)


@dataclass
class Run:
    """What came of one dog under one way of asking, session by session."""

    met: list[float]
    misses: int
    true: list[float]
    asked_s: list[float]
    named: list[float]


def run(kind: Kind, seed: int, way: str, sessions: int = SESSIONS) -> Run:
    dog, draws, history = SimulatedDog(kind, seed), np.random.default_rng([9, seed]), History()
    guess = dog.reached_s(TARGET) * float(np.exp(draws.normal(0, 0.3)))
    found = Run([], 0, [], [], [])
    outcomes: list[bool] = []
    for session in range(min(sessions, DOWN) if kind.growth < 0 else sessions):
        first = asks_between(0.4 * guess, 1.6 * guess, REPS, draws=draws)
        history.ask_s = max(0.1, round(guess, 1)) if session == 0 else history.ask_s
        planned = first if session == 0 else ours(history, draws) if way == "ours" else None
        asked, true, broken = _session(dog, history, planned, RULES.get(way), str(session))
        if session >= LEARNING:
            found.met.append(1 - float(np.mean(broken)))
            found.true += true
            found.asked_s.append(float(np.median(asked)))
            found.named.append(_named(asked))
            outcomes += broken
    found.misses = _longest_run(outcomes)
    return found


def _session(
    dog: SimulatedDog,
    history: History,
    planned: list[float] | None,
    rule: Callable[[History], float] | None,
    session: str,
) -> tuple[list[float], list[float], list[bool]]:
    asked, true, broken = [], [], []
    for rep in range(REPS):
        if planned is None and rule is not None:
            history.ask_s = rule(history)
        ask_s = planned[rep] if planned is not None else round(history.ask_s, 1)
        true += [float(chance) for chance in dog.chances([ask_s])]
        held, broke = dog.session([ask_s])
        history.held_s += held
        history.broke += broke
        history.sessions.append(session)
        asked.append(ask_s)
        broken += broke
    return asked, true, broken


def _named(asked: list[float]) -> float:
    """How often the best single guess lies within a tenth of the ask."""
    times = np.asarray(asked)
    return float(max((np.abs(times - guess) <= 0.1 * guess).mean() for guess in asked))


def _longest_run(outcomes: list[bool]) -> int:
    longest = now = 0
    for broke in outcomes:
        now = now + 1 if broke else 0
        longest = max(longest, now)
    return longest


def line(kind: Kind, way: str, first: int, dogs: int) -> str:
    runs = [run(kind, first + number, way) for number in range(dogs)]
    met = np.asarray([np.mean(one.met) for one in runs])
    true = np.concatenate([one.true for one in runs])
    growth = [np.polyfit(range(len(one.asked_s)), np.log(one.asked_s), 1)[0] for one in runs]
    early, late = (
        np.mean([np.mean(one.met[part]) for one in runs]) for part in (slice(0, 5), slice(-5, None))
    )
    return (
        f"{kind.name:25} {way:16} met {met.mean():.3f} (se {met.std(ddof=1) / np.sqrt(dogs):.3f}, "
        f"between dogs {met.std(ddof=1):.3f}, first five {early:.3f}, last five {late:.3f})  asked "
        f"{100 * (np.exp(np.mean(growth)) - 1):+5.1f} % a session  gifts {np.mean(true >= 0.98):.2f}  traps "
        f"{np.mean(true < 0.5):.2f}  misses in a row {np.mean([one.misses for one in runs]):.1f}  named "
        f"{np.mean([np.mean(one.named) for one in runs]):.2f}"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--dogs", type=int, default=20)
    parser.add_argument("--first", type=int, default=10_000, help="seed of the first dog")
    parser.add_argument("--ways", nargs="+", default=["ours", *RULES])
    asked = parser.parse_args()
    for kind in KINDS:
        for way in asked.ways:
            print(line(kind, way, asked.first, asked.dogs), flush=True)


if __name__ == "__main__":
    main()
