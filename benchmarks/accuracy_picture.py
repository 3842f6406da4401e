"""How well the openings are seen, on rendered sessions with exact truth, beside a generic method.

    python -m benchmarks.accuracy_picture                    two sessions of each condition, from seed 10,001
    python -m benchmarks.accuracy_picture --first 20001 --count 1 --keep FOLDER

Per condition: F1 over pictures (least, mean, share of clips from 0.97 up), distance of the edges of found
visits from the truth in pictures (median, 90th percentile), and how certainty answers to truth. The
generic method beside it takes the mean difference of an opening from the session's median picture and
splits it in two classes. A visit is right when it shares more than half of its union with a true one.
Stretches in which the phone looked away are left out on both sides.
"""

import argparse
import tempfile
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from benchmarks.scene_clips import clip, drawn_by_hand, pictures
from numpy.typing import NDArray
from tests.generator.scene import CONDITIONS, Scene

from nares.base.vocab import Region, Span
from nares.measure.inputs import Picture
from nares.measure.picture.eye import Eye

Times = tuple[tuple[float, float], ...]
Curve = NDArray[np.float64]


@dataclass
class Tally:
    """What one method made of some clips."""

    f1: list[float] = field(default_factory=list)
    off: list[float] = field(default_factory=list)
    sure: list[float] = field(default_factory=list)
    right: list[bool] = field(default_factory=list)
    within: list[bool] = field(default_factory=list)
    missed: int = 0

    def add(self, found: tuple[Span, ...], truth: Times, scene: Scene) -> None:
        """Take in one clip."""
        at = np.arange(round(scene.length_s * scene.rate)) / scene.rate
        self.f1.append(frame_f1(found, truth, scene.away, at))
        pairs = paired(found, truth)
        self.missed += len(truth) - len(pairs)
        for index, span in enumerate(found):
            self.sure.append(span.sure)
            self.right.append(index in pairs)
        for index, (a, b) in ((i, truth[j]) for i, j in pairs.items()):
            span = found[index]
            for seen, true, within in (
                (span.start_s, a, span.start_within_s),
                (span.end_s, b, span.end_within_s),
            ):
                if 0.05 < true < scene.length_s - 0.05:
                    self.off.append(abs(seen - true) * scene.rate)
                    if within is not None:
                        self.within.append(abs(seen - true) <= within)

    def row(self, name: str) -> str:
        """One line of the table."""
        f1, off = np.array(self.f1), np.array(self.off or [np.nan])
        return (
            f"{name:28s} F1 least {f1.min():.3f} mean {f1.mean():.3f} from .97 up {np.mean(f1 >= 0.97):4.0%}"
            f"  edges {np.median(off):5.2f} p90 {np.percentile(off, 90):5.2f} pictures"
            f"  wrong {self.right.count(False)}/{len(self.right)} missed {self.missed}"
        )


def frame_f1(found: Iterable[Span], truth: Times, away: Iterable[tuple[float, float]], at: Curve) -> float:
    seen, true, looked = (np.zeros(len(at), bool) for _ in range(3))
    for span in found:
        seen |= (at >= span.start_s) & (at <= span.end_s)
    for a, b in truth:
        true |= (at >= a) & (at <= b)
    for a, b in away:
        looked |= (at >= a - 0.3) & (at <= b + 0.3)
    seen, true = seen & ~looked, true & ~looked
    total = int(seen.sum() + true.sum())
    return 2 * int((seen & true).sum()) / total if total else 1.0


def paired(found: tuple[Span, ...], truth: Times) -> dict[int, int]:
    """Found to true visits that share more than half of their union."""
    pairs = {}
    for i, span in enumerate(found):
        for j, (a, b) in enumerate(truth):
            shared = min(span.end_s, b) - max(span.start_s, a)
            if shared > 0.5 * (max(span.end_s, b) - min(span.start_s, a)):
                pairs[i] = j
    return pairs


def generic(levels: Curve, at: Curve) -> tuple[Span, ...]:
    """Two classes of the difference from the median picture, split where they lie furthest apart."""
    order = np.sort(levels)
    count = np.arange(1, len(order))
    low = np.cumsum(order)[:-1] / count
    high = (order.sum() - np.cumsum(order)[:-1]) / (len(order) - count)
    split = order[int(np.argmax(count * (len(order) - count) * (high - low) ** 2))]
    held = np.concatenate([[False], levels > split, [False]])
    edges = np.flatnonzero(np.diff(held.astype(np.int8))).reshape(-1, 2)
    return tuple(Span(float(at[a]), float(at[b - 1]), 0.5) for a, b in edges if b - a >= 5)


def cut(picture: Picture, region: Region) -> NDArray[np.uint8]:
    rows, cols = picture.luma.shape
    top, left = int(region.y * rows), int(region.x * cols)
    return picture.luma[top : top + max(1, int(region.h * rows)), left : left + max(1, int(region.w * cols))]


def calibration_error(sure: list[float], right: list[bool]) -> float:
    """Expected calibration error over ten equal bins."""
    chance, true = np.array(sure), np.array(right, float)
    bins = np.minimum((chance * 10).astype(int), 9)
    return float(
        sum(
            abs(chance[bins == b].mean() - true[bins == b].mean()) * (bins == b).mean()
            for b in np.unique(bins)
        )
    )


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--first", type=int, default=10_001)
    asked.add_argument("--count", type=int, default=2)
    asked.add_argument("--keep", type=Path, help="folder for the clips")
    told = asked.parse_args()
    folder = told.keep or Path(tempfile.mkdtemp())
    table: dict[tuple[str, str, str], Tally] = {}
    for condition in CONDITIONS:
        for seed in range(told.first, told.first + told.count):
            _measure(folder, seed, condition, table)
        for what in ("nose", "hand"):
            for method in ("ours", "generic"):
                print(table[condition, what, method].row(f"{condition} {what} {method}"), flush=True)
    _summary(table)


def _measure(folder: Path, seed: int, condition: str, table: dict[tuple[str, str, str], Tally]) -> None:
    scene, path = clip(folder, seed, condition)
    regions = drawn_by_hand(scene)
    eye, kept, at = Eye(*regions), [], []
    for picture in pictures(path):
        eye.see(picture)
        kept.append([cut(picture, region) for region in regions])
        at.append(picture.at.seconds)
    seen = eye.finish()
    for index, (what, truth) in enumerate((("nose", scene.nose), ("hand", scene.hand))):
        found = seen.nose_in if what == "nose" else seen.hand_in
        table.setdefault((condition, what, "ours"), Tally()).add(found, tuple(truth), scene)
        stack = np.array([one[index] for one in kept], np.float32)
        levels = np.abs(stack - np.median(stack, axis=0)).mean(axis=(1, 2)).astype(np.float64)
        spans = generic(levels, np.array(at))
        table.setdefault((condition, what, "generic"), Tally()).add(spans, tuple(truth), scene)


def _summary(table: dict[tuple[str, str, str], Tally]) -> None:
    for what in ("nose", "hand"):
        for method in ("ours", "generic"):
            tallies = [t for (_, w, m), t in table.items() if w == what and m == method]
            whole = Tally(
                [v for t in tallies for v in t.f1], [v for t in tallies for v in t.off],
                [v for t in tallies for v in t.sure], [v for t in tallies for v in t.right],
                [v for t in tallies for v in t.within], sum(t.missed for t in tallies),
            )  # fmt: skip
            print(whole.row(f"all {what} {method}"))
            if method == "ours":
                _certainty(whole)


def _certainty(whole: Tally) -> None:
    sure, right = np.array(whole.sure), np.array(whole.right)
    for low, high in ((0, 0.5), (0.5, 0.8), (0.8, 0.95), (0.95, 1.01)):
        here = (sure >= low) & (sure < high)
        if here.any():
            print(
                f"  given {low:.2f} to {min(high, 1):.2f}: {here.sum()} visits, {right[here].mean():.0%} true"
            )
    print(f"  expected calibration error {calibration_error(whole.sure, whole.right):.3f}")
    if whole.within:
        print(f"  edges within their stated 95 %: {np.mean(whole.within):.0%} of {len(whole.within)}")


if __name__ == "__main__":
    main()
