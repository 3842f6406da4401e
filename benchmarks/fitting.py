"""How the small judgements are learned: likelihood with shrinkage."""

import pickle
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize

from nares.measure.sound.judge import Judge

HIDDEN = 14

Rows = NDArray[np.float64]
Lesson = TypeVar("Lesson")


def fit(
    rows: Rows, is_true: Rows, *, seed: int, decay: float = 3.0, hidden: int = HIDDEN, rising: bool = False
) -> Judge:
    """One hidden layer by maximum likelihood with shrinkage, from one drawn start.

    ``rising``: the chance never falls when an input rises, so that things beyond what was learned from are
    judged the way their neighbours are.
    """
    middle, spread = np.median(rows, axis=0), rows.std(axis=0) + 1e-6
    blank = Judge(middle, spread, np.zeros((1, 1)), np.zeros(1), np.zeros(1), 0.0)
    x, k = blank.scaled(rows), rows.shape[1]
    start = np.random.default_rng(seed).standard_normal(k * hidden + 2 * hidden + 1) * 0.3 / np.sqrt(k)

    def unpack(flat: Rows) -> tuple[Rows, Rows, Rows, float]:
        into = flat[: k * hidden].reshape(k, hidden)
        return into, flat[k * hidden : (k + 1) * hidden], flat[(k + 1) * hidden : -1], float(flat[-1])

    def loss(flat: Rows) -> tuple[float, Rows]:
        into, at, out, base = unpack(flat)
        layer = np.tanh(x @ into + at)
        score = layer @ out + base
        error = 1 / (1 + np.exp(-score)) - is_true
        value = np.sum(np.logaddexp(0, score) - is_true * score) + decay * 0.5 * np.sum(flat[:-1] ** 2)
        back = np.outer(error, out) * (1 - layer**2)
        slope = np.concatenate([(x.T @ back).ravel(), back.sum(0), layer.T @ error, [error.sum()]])
        slope[:-1] += decay * flat[:-1]
        return float(value), slope

    bounds = None
    if rising:
        positive, free = (0.0, None), (None, None)
        bounds = [positive] * (k * hidden) + [free] * hidden + [positive] * hidden + [free]
        start = np.where([low == 0.0 for low, _ in bounds], np.abs(start), start)
    best = minimize(
        loss, start, jac=True, method="L-BFGS-B", bounds=bounds, options={"maxiter": 400 if rising else 160}
    ).x
    into, at, out, base = unpack(best)
    return Judge(middle, spread, into, at, out, base)


def settings_of(judge: Judge) -> dict[str, object]:
    def short(values: Rows) -> object:
        return np.vectorize(lambda value: float(f"{value:.5g}"))(values).tolist()

    return {key: short(getattr(judge, key)) for key in ("middle", "spread", "into", "at", "out")} | {
        "base": round(judge.base, 5)
    }


def learn_crossed(
    rows: dict[int, Rows], truths: dict[int, Rows], *, seed: int, rising: bool = False
) -> tuple[Judge, dict[int, Rows]]:
    """A judge from all sessions, and the chances a judge of the other half gives to each."""

    def learned(which: list[int], seed: int) -> Judge:
        inputs, truth = (np.concatenate([part[i] for i in which]) for part in (rows, truths))
        return fit(inputs, truth, seed=seed, rising=rising)

    crossed = [learned([i for i in rows if i % 2 == k], seed + 10 * (k + 1)) for k in (0, 1)]
    return learned(list(rows), seed), {i: crossed[1 - i % 2].chance(row) for i, row in rows.items()}


def kept_lessons(keep: Path | None, sessions: int, lesson: Callable[[int], Lesson]) -> list[Lesson]:
    """What was heard of the sessions with seeds from 1, from the file it was kept in or anew."""
    if keep is not None and keep.exists():
        return list(pickle.loads(keep.read_bytes()))
    made = [lesson(seed) for seed in range(1, sessions + 1)]
    if keep is not None:
        keep.write_bytes(pickle.dumps(made))
    return made
