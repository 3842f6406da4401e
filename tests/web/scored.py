"""Sample scores, made by the parts themselves from invented runs of Bracken's."""

from functools import lru_cache

import numpy as np
from tests.design.scored_runs import run, walked

from nares.app.lineups.score_pages import (
    DogLineupLine,
    DogLineupsPage,
    ScorePage,
    dog_laid_out,
    laid_out,
    with_counts,
)
from nares.app.lineups.scoring import score_lineup
from nares.base.lineups import Observed, RunResult

LINEUP = "Bracken-3"
NOVEL: dict[tuple[str, str], bool | None] = {(LINEUP, "tape"): False, (LINEUP, "food"): True}
ORDERS = ("Tbtfgb", "bTftbg", "btTgfb", "gbfTbt", "tbgbTf", "fbbtgT", "btbfbg", "gtfbbb")


def runs(lineup: str = LINEUP, count: int = 18, seed: int = 5) -> list[RunResult]:
    """Runs of a dog that tells the target well, likes position 1 and once was called off."""
    draws = np.random.default_rng(seed)
    made = []
    for number in range(1, count + 1):
        letters = ORDERS[(3 * number) % len(ORDERS)]
        target = letters.find("T") + 1
        lot = draws.random()
        alert: int | None = target or None
        if lot < 0.25:
            alert = 1 if letters[0] != "T" else None
        elif lot < 0.35:
            alert = None
        alert = target if number == 4 else alert
        called = None if number == 4 else alert
        order = "".join(str(place) for place in range(1, (alert or 6) + 1))
        seen = walked(number, order, alert, latency_s=2.0 * len(order) + 1 if alert else None)
        if number == 7:
            seen = Observed(number, alert, None, seen.visits, "stood still at position 3")
        made.append(
            run(
                number,
                letters,
                called,
                lineup=lineup,
                blinding="known" if number <= 5 else "double",
                void="The dog was called off: a visitor walked in." if number == 11 else "",
                observed=seen,
            )
        )
    return made


def _score(results: list[RunResult], total: int) -> ScorePage:
    return laid_out(score_lineup(LINEUP, "Bracken", results, commitment="ab" * 32, runs=total, novel=NOVEL))


@lru_cache
def score() -> ScorePage:
    return _score(runs(), 20)


def nothing_open() -> ScorePage:
    return _score([], 20)


@lru_cache
def all_alike() -> ScorePage:
    """Call and alert the same in every run, and every one right."""
    made = []
    for number in range(1, 13):
        letters = ORDERS[number % 6]
        target = letters.find("T") + 1
        made.append(run(number, letters, target, lineup=LINEUP, observed=Observed(number, target)))
    return _score(made, 12)


@lru_cache
def dog() -> DogLineupsPage:
    results = [one for k in range(1, 4) for one in runs(f"Bracken-{k}", seed=k)]
    lines = [
        DogLineupLine(
            f"Bracken-{k}",
            f"2026-11-{10 + k}T09:00:00.000Z",
            "Saltmarsh barn",
            6,
            20,
            0,
            0,
            k < 3,
            None,
            None,
        )
        for k in (3, 2, 1)
    ]
    told = tuple(with_counts(one, [each for each in results if each.lineup == one.lineup]) for one in lines)
    return dog_laid_out("Bracken", told, results, NOVEL)


def dog_without() -> DogLineupsPage:
    return dog_laid_out("Bracken", (), [], {})
