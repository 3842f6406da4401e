"""The recipe of the learned settings of watching: rendered sessions in, ``settings/visits.json`` out.

    python -m benchmarks.learn_picture --keep FOLDER             render, follow, learn and write the settings
    python -m benchmarks.learn_picture --keep FOLDER --last 8    seeds 1 to 8 of every condition
    python -m benchmarks.learn_picture --keep FOLDER --only nose one judge anew, all else as it stands

As shipped, hands, visits and edges are of seeds 1 to 8 with a decay of 30, and the nose is of seeds 1 to 20
with the decay below, learned with `--only`: judges of hands from more sessions were no better on unseen ones,
and took a hand that stayed in a recording of another renderer for one that came and went.

Three things are learned in turn, each on chances that a judge of the other half of the seeds gave: whether
something is in, picture by picture (one judge for noses, one for hands); whether a visit is one; and how far
off its edges are. A hand that is in all along teaches nothing about change and is left out of the second.
"""

import argparse
import json
import time
from pathlib import Path

import numpy as np
from benchmarks.fitting import Rows, fit, settings_of
from benchmarks.picture_lessons import Lesson, lessons
from scipy.optimize import linprog

from nares.measure.picture.unlike import unlike_the_rest
from nares.measure.picture.visits import Evidence, edge_row, evidence, odds_of, span_of, visit_row, visits
from nares.measure.sound.judge import Judge

ROOT = Path(__file__).resolve().parent.parent
SETTINGS = ROOT / "src" / "nares" / "measure" / "picture" / "settings" / "visits.json"
LAST = 20
THIN = 3
DECAY = {"nose": 250.0, "hand": 30.0}
VISIT_DECAY, VISIT_HIDDEN = 20.0, 4


def learn_pictures(made: list[Lesson], what: str, *, half: int | None, seed: int) -> Judge:
    """A judge of single pictures from all seeds, or from those of one parity."""
    taught = [
        one
        for one in made
        if one.what == what
        and (half is None or one.seed % 2 == half)
        and not (what == "hand" and one.condition == "hand-always")
    ]
    rows = [v[one.known] for one in taught for v in (one.signs, *one.darker)]
    truth = [one.inside[one.known] for one in taught for _ in range(1 + len(one.darker))]
    nobody = [one.nobody[::THIN] for one in taught]
    rows += nobody
    truth += [np.zeros(len(one), bool) for one in nobody]
    return fit(
        np.concatenate(rows).astype(np.float64),
        np.concatenate(truth).astype(float),
        seed=seed,
        decay=DECAY[what],
    )


def judged(one: Lesson, by: Judge) -> Evidence:
    return evidence(one.opening.track, one.signs, odds_of(one.opening.track, one.signs, by))


def is_true(a_s: float, b_s: float, truth: list[tuple[float, float]]) -> tuple[float, float] | None:
    """The true visit that shares more than half of its union with this one."""
    for a, b in truth:
        if min(b_s, b) - max(a_s, a) > 0.5 * (max(b_s, b) - min(a_s, a)):
            return a, b
    return None


def visit_lessons(
    made: list[Lesson], by: dict[tuple[str, int], Judge]
) -> tuple[Rows, Rows, list[tuple[Lesson, Evidence, list[tuple[int, int]]]]]:
    rows, truths, found = [], [], []
    for one in made:
        if one.what == "hand" and one.condition == "hand-always":
            continue
        seen = judged(one, by[one.what, 1 - one.seed % 2])
        spans = visits(one.opening.track, seen)
        found.append((one, seen, spans))
        if not spans:
            continue
        strange = unlike_the_rest(one.opening.track, one.opening.looks, one.opening.where, spans)
        for (a, b), odd in zip(spans, strange, strict=True):
            rows.append(
                visit_row(one.opening.track, seen, a, b, is_hand=one.what == "hand", strange=bool(odd))
            )
            span = span_of(one.opening.track, seen, a, b, sure=0.5)
            truths.append(is_true(span.start_s, span.end_s, one.truth) is not None)
    return np.array(rows), np.array(truths, float), found


def edge_lessons(
    found: list[tuple[Lesson, Evidence, list[tuple[int, int]]]], sure: Rows
) -> tuple[Rows, Rows]:
    """Numbers of every edge of a right visit, and how far off it is. [s]"""
    rows, off, index = [], [], -1
    for one, seen, spans in found:
        track = one.opening.track
        for a, b in spans:
            index += 1
            span = span_of(track, seen, a, b, sure=0.5)
            true = is_true(span.start_s, span.end_s, one.truth)
            if true is None:
                continue
            for i, at, was in ((a, span.start_s, true[0]), (b + 1, span.end_s, true[1])):
                if 0.05 < was < one.length_s - 0.05:
                    rows.append(edge_row(track, seen, i, float(sure[index])))
                    off.append(abs(at - was))
    return np.array(rows), np.array(off)


def quantile_weights(rows: Rows, off: Rows, share: float) -> Rows:
    """Weights from 0 up whose sum over a row is exceeded by all but a share of the distances."""
    count, width = rows.shape
    cost = np.concatenate([np.zeros(width), np.full(count, share), np.full(count, 1 - share)])
    equal = np.hstack([rows, np.eye(count), -np.eye(count)])
    best = linprog(cost, A_eq=equal, b_eq=off, bounds=(0, None), method="highs").x
    return np.asarray(best, np.float64)[:width]


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--keep", type=Path, required=True)
    asked.add_argument("--last", type=int, default=LAST)
    asked.add_argument("--kept-only", action="store_true", help="learn from what is rendered already")
    asked.add_argument(
        "--only", choices=("nose", "hand"), help="learn this judge and leave the rest as it stands"
    )
    told = asked.parse_args()
    began = time.perf_counter()
    made = list(lessons(told.keep, range(1, told.last + 1), kept_only=told.kept_only))
    print(f"{len(made)} openings watched in {time.perf_counter() - began:.0f} s")
    if told.only:
        kept = json.loads(SETTINGS.read_text("utf-8"))
        kept[told.only] = settings_of(learn_pictures(made, told.only, half=None, seed=1))
        SETTINGS.write_text(json.dumps(kept) + "\n", "utf-8")
        return
    learned = {what: settings_of(learn_pictures(made, what, half=None, seed=1)) for what in ("nose", "hand")}
    crossed = {
        (what, half): learn_pictures(made, what, half=half, seed=2 + half)
        for what in ("nose", "hand")
        for half in (0, 1)
    }
    rows, truth, found = visit_lessons(made, crossed)
    judge = fit(rows, truth, seed=4, decay=VISIT_DECAY, hidden=VISIT_HIDDEN)
    learned["visit"] = settings_of(judge)
    edges, off = edge_lessons(found, judge.chance(rows))
    weights = quantile_weights(edges, off, 0.95)
    learned["edge"] = {"weights": [round(float(w), 4) for w in weights]}
    print(f"{len(truth)} visits, {truth.mean():.0%} true; {len(off)} edges; weights {weights.round(2)}")
    SETTINGS.parent.mkdir(exist_ok=True)
    SETTINGS.write_text(json.dumps(learned) + "\n", "utf-8")
    print(f"learned in {time.perf_counter() - began:.0f} s: {SETTINGS}")


if __name__ == "__main__":
    main()
