"""Line-up runs as trials: which cues a place of a line-up put before the dog, and whether it paid.

Conventions
-----------
Each place the dog was at in a run is one trial; places passed several times count once. Where visits were
not taken, the place of the dog's alert, else of the call, is all that is known. A run that is void, or whose
key is not open, gives none. Pay of a run is not on the record: an alert at a place with the target counts as
paid, everything else as unpaid. ``since-target:N`` counts the runs since the same place held a target, up to
`FARTHEST_BACK`; never within those: no such cue.

Names of containers are no cues here: within a line-up each holds one thing only, so that a container's name
says over again what lay there. That the dog may know the container itself is a finding of the design.
"""

from collections.abc import Sequence

from nares.base.lineups import Placed, RunResult
from nares.design.cues.trials import Trial
from nares.design.cues.vocabulary import TARGET

FARTHEST_BACK = 3
"""A target that lay at a place longer ago than this many runs is not told. [count]"""


def cues_at(run: RunResult, position: int, before: Sequence[RunResult] = ()) -> tuple[str, ...]:
    """The cues at one place of a run, in the words of the cues' list.

    Args:
        run: The run, with what lay where.
        position: The place, counted from 1; a place the run does not have gives its position alone.
        before: Earlier runs of the same line-up, oldest first.
    """
    placed = next((one for one in run.placed if one.position == position), None)
    cues = [] if placed is None else _of_placed(placed)
    ago = next((back for back, one in enumerate(reversed(before), 1) if position in _targets(one)), None)
    if ago is not None and ago <= FARTHEST_BACK:
        cues.append(f"since-target:{ago}")
    return (*cues, f"position:{position}")


def _of_placed(placed: Placed) -> list[str]:
    item = "-".join(placed.item.lower().split()).replace(":", "-")
    said = {
        "target": TARGET,
        "distractor": f"distractor:{item}" if item else "distractor",
        "control": f"control:{item}" if item else "control",
        "warm": "residual",
    }
    return [said[placed.holds]] if placed.holds in said else []


def _targets(run: RunResult) -> set[int]:
    return {one.position for one in run.placed if one.holds == "target"}


def trials_of_runs(runs: Sequence[RunResult], *, at: str = "") -> tuple[Trial, ...]:
    """The trials of runs in the order given; ``at``: the time of runs whose call has none."""
    trials: list[Trial] = []
    done: dict[str, list[RunResult]] = {}
    for run in runs:
        earlier = done.setdefault(run.lineup, [])
        when = run.called.at if run.called is not None and run.called.at else at
        if not run.void and run.placed and when:
            trials += [
                Trial(run.lineup, when, frozenset(cues_at(run, place, earlier)), place in _paid(run))
                for place in _visited(run)
            ]
        if run.placed:
            earlier.append(run)
    return tuple(trials)


def _visited(run: RunResult) -> tuple[int, ...]:
    if run.observed is not None and run.observed.visits:
        return tuple(dict.fromkeys(visit.position for visit in run.observed.visits))
    place = _alerted(run)
    return () if place is None else (place,)


def _alerted(run: RunResult) -> int | None:
    if run.observed is not None and run.observed.alerted_at is not None:
        return run.observed.alerted_at
    return None if run.called is None else run.called.position


def _paid(run: RunResult) -> set[int]:
    place = _alerted(run)
    return {place} & _targets(run) if place is not None else set()
