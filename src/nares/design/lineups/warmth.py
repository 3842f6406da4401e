"""Places that keep odour: which positions are no blanks any more, and how many true blanks a run has left.

Sources:
    jezierski-2014: dogs still found removed drugs after 48 h, the ground for calling a place warm so long.
"""

from collections.abc import Sequence

from nares.base.findings import Finding
from nares.base.lineups import RunKey

WARM_H = 48
"""How long a place that held a target is no blank, unless tested. [h]"""


def warm_before(
    targets: Sequence[tuple[int, ...]], *, warm: Sequence[int], keeps_odour: bool
) -> list[frozenset[int]]:
    """For every run the positions that are warm when it begins: warm from the start, or by an earlier run."""
    now, found = frozenset(warm), []
    for positions in targets:
        found.append(now)
        if keeps_odour:
            now |= frozenset(positions)
    return found


def warmth_findings(runs: Sequence[RunKey]) -> tuple[Finding, ...]:
    """What warm positions leave of each run. It tells where targets were: for who may see the key."""
    found = []
    for run in runs:
        warm = [one.position for one in run.placed if one.holds == "warm"]
        if not warm:
            continue
        blanks = sum(one.holds == "blank" for one in run.placed)
        listed = ", ".join(map(str, warm))
        if not run.targets:
            text = (
                f"No target, and still no blank run: warm at {listed}. An alert there is not plainly false."
            )
            found.append(Finding("warm-blank-run", f"run {run.run}", text))
        text = (
            f"{blanks} true blank{'' if blanks == 1 else 's'}; warm at {listed} for {WARM_H} h unless tested."
        )
        found.append(Finding("warm-positions", f"run {run.run}", text))
    return tuple(found)
