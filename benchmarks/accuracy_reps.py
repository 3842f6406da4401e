"""How well whole reps are put together: filmed sessions, sound and picture on one clock, with exact truth.

    python -m benchmarks.accuracy_reps                       one session of each condition, from seed 30,001
    python -m benchmarks.accuracy_reps --first 40001 --count 2

A rep is found when a measured one begins within `NEAR_S` of it (by its nose, or by its mark where nobody was
in); anything else is invented. Of the found ones: whether `ended_by` and the mark are right, how far hold and
mark delay are off, how often the truth lies in the stated 95 % interval, and how certainty answers to truth.
"""

import argparse
from dataclasses import dataclass, field

import numpy as np
from tests.generator.filmed import Filmed, TrueRep, filmed
from tests.generator.scene import CONDITIONS, performed

from nares.base.vocab import MeasuredRep
from nares.measure.picture.eye import Eye
from nares.measure.reps import assemble_reps
from nares.measure.scoring import pair_events
from nares.measure.sound.ear import Ear

NEAR_S = 0.25


@dataclass
class Tally:
    """What came of some sessions."""

    true: int = 0
    found: int = 0
    paired: int = 0
    ended: int = 0
    marked: int = 0
    holds_s: list[float] = field(default_factory=list)
    covered: list[float] = field(default_factory=list)
    sure: list[float] = field(default_factory=list)
    right: list[bool] = field(default_factory=list)

    def add(self, true: list[TrueRep], found: tuple[MeasuredRep, ...]) -> None:
        """Take in one session."""
        pairs = dict(pair_events([_start(t) for t in true], [_begun(f) for f in found], NEAR_S))
        self.true, self.found, self.paired = (
            self.true + len(true),
            self.found + len(found),
            self.paired + len(pairs),
        )
        told = {found_at: true[true_at] for true_at, found_at in pairs.items()}
        for index, rep in enumerate(found):
            truth = told.get(index)
            good = truth is not None and truth.ended_by == rep.ended_by and _same(truth.mark_s, rep.mark_s)
            self.sure.append(rep.sure)
            self.right.append(good)
            if truth is None:
                continue
            self.ended += truth.ended_by == rep.ended_by
            self.marked += _same(truth.mark_s, rep.mark_s)
            hold_s = _hold(truth)
            if good and hold_s is not None and rep.hold_s is not None:
                self.holds_s.append(rep.hold_s - hold_s)
                self.covered.append(float(abs(rep.hold_s - hold_s) <= rep.within_s["hold_s"]))

    def row(self, name: str) -> str:
        """One line of the table."""
        off = np.abs(self.holds_s or [np.nan]) * 1000
        share = self.paired or 1
        return (
            f"{name:14s} reps {self.paired}/{self.true} found, {self.found - self.paired} invented"
            f"  ended_by {self.ended / share:.3f}  mark {self.marked / share:.3f}"
            f"  hold off {np.median(off):4.0f} ms p90 {np.percentile(off, 90):4.0f}"
            f"  in interval {np.mean(np.array(self.covered or [np.nan], float)):.2f}"
        )


def _start(rep: TrueRep) -> float:
    return rep.nose_in_s if rep.nose_in_s is not None else rep.mark_s or 0.0


def _begun(rep: MeasuredRep) -> float:
    return rep.nose_in_s if rep.nose_in_s is not None else rep.mark_s or 0.0


def _hold(rep: TrueRep) -> float | None:
    if rep.nose_in_s is None or rep.nose_in_s <= 0:
        return None
    end_s = rep.mark_s if rep.mark_s is not None else rep.nose_out_s
    return None if end_s is None else end_s - rep.nose_in_s


def _same(one: float | None, other: float | None) -> bool:
    if one is None or other is None:
        return one is other
    return abs(one - other) < 0.02


def measured(session: Filmed) -> tuple[MeasuredRep, ...]:
    """The reps that listening and watching give."""
    ear, eye = Ear(), Eye(*session.scene.regions)
    for block in session.blocks():
        ear.hear(block)
    for picture in performed(session.scene):
        eye.see(picture)
    heard, seen = ear.finish(), eye.finish()
    carried = heard.breath_measurable
    return assemble_reps(
        marks=heard.marks,
        inhales=heard.inhales if carried else None,
        bouts=heard.bouts if carried else None,
        nose_in=seen.nose_in,
        hand_in=seen.hand_in,
        duration_s=session.scene.length_s,
        lost=seen.lost,
        doubtful_marks=heard.doubtful_marks,
    )


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--first", type=int, default=30_001)
    asked.add_argument("--count", type=int, default=1)
    told = asked.parse_args()
    every = Tally()
    for condition in CONDITIONS:
        own = Tally()
        for seed in range(told.first, told.first + told.count):
            session = filmed(seed, condition)
            reps = measured(session)
            own.add(session.reps, reps)
            every.add(session.reps, reps)
        print(own.row(condition), flush=True)
    print(every.row("all"))
    sure, right = np.array(every.sure), np.array(every.right, float)
    for low, high in ((0.0, 0.5), (0.5, 0.8), (0.8, 0.95), (0.95, 1.01)):
        which = (sure >= low) & (sure < high)
        if which.any():
            said = f"said {sure[which].mean():.2f}, true {right[which].mean():.2f} of {which.sum()}"
            print(f"certainty {low:.2f} to {min(high, 1.0):.2f}: {said}")


if __name__ == "__main__":
    main()
