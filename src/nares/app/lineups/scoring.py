"""Scores a line-up: from a key and a table of calls, or from runs on the record.

One value serves page, JSON twin and command: `LineupScore`, laid out as ``lineup-score/1``.
"""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from nares.app.answers import answer
from nares.app.files import read_text
from nares.app.lineups.calls_table import BOM, parse_calls
from nares.base.findings import refuse_if_any
from nares.base.lineups import RunResult
from nares.design.keys import commitment_of, read_key, runs_from
from nares.design.scoring import Score as Score
from nares.design.scoring import Scored as Scored
from nares.design.scoring import score_runs
from nares.design.scoring.forced_choice import ForcedChoice as ForcedChoice
from nares.design.scoring.max_rule import MaxRule as MaxRule
from nares.design.scoring.places import Falls as Falls
from nares.design.scoring.rates import Rate as Rate
from nares.design.scoring.two_rates import Compared as Compared
from nares.design.scoring.words import Said as Said
from nares.design.scoring.words import SideSaid as SideSaid
from nares.design.scoring.words import said_of
from nares.design.scoring.yes_no import YesNo as YesNo

CONFIDENCE = 0.95
"""Coverage of every interval on pages and in answers, always shown beside them. [-]"""


@dataclass(frozen=True, slots=True)
class LineupScore:
    """One line-up, scored. ``commitment``: of the key it was scored by. ``runs``: all of the line-up.

    ``not_opened``: runs that are not open and so not scored. ``notes``: what was tolerated in the input.
    """

    lineup: str
    dog: str
    commitment: str
    runs: int
    not_opened: int
    score: Score
    said: Said
    notes: tuple[str, ...] = ()


def score_lineup(
    lineup: str,
    dog: str,
    results: Sequence[RunResult],
    *,
    commitment: str,
    runs: int,
    novel: Mapping[tuple[str, str], bool | None],
    notes: tuple[str, ...] = (),
) -> LineupScore:
    """Score the open runs of one line-up; ``runs``: how many it has in all."""
    score = score_runs(results, confidence=CONFIDENCE, novel=novel)
    return LineupScore(lineup, dog, commitment, runs, runs - len(results), score, said_of(score), notes)


def score_files(key: Path, calls: Path) -> LineupScore:
    """Score a line-up from its key and a table of calls.

    Raises:
        Unusable: If the key cannot be read, or the table has a fault, naming every one by its line.
    """
    value = read_key(read_text(key))
    lain = runs_from(value)
    name = str(value["lineup"])
    marked = BOM if calls.is_file() and calls.read_bytes().startswith(BOM.encode()) else ""
    table = parse_calls(
        marked + read_text(calls), {run.run: [one.position for one in run.placed] for run in lain}
    )
    refuse_if_any(table.findings, what=f"The table {calls.name}")
    called = {one.run: one for one in table.calls}
    results = [RunResult(run.run, run.placed, called.get(run.run), lineup=name) for run in lain]
    return score_lineup(
        name,
        "",
        results,
        commitment=commitment_of(value),
        runs=len(lain),
        novel=novelty(name, value.get("asked", {})),
        notes=table.notes,
    )


def novelty(lineup: str, asked: Mapping[str, object]) -> dict[tuple[str, str], bool | None]:
    """Which distractors of a line-up were new to the dog, from what it was drawn from."""
    smells = asked.get("distractors")
    if not isinstance(smells, list | tuple):
        return {}
    return {(lineup, str(one["smell"])): one.get("novel") for one in smells if isinstance(one, dict)}


def score_answer(found: LineupScore) -> dict[str, Any]:
    """Lay a score out as ``lineup-score/1``."""
    return answer("lineup-score/1", asdict(found))


def score_text(found: LineupScore) -> str:
    """A score in words, for a terminal."""
    said = found.said
    lines = [f"{found.lineup or 'Line-up'}: {found.score.counted} of {found.runs} runs scored."]
    lines += [*said.left_out, *found.notes]
    for side in (said.call, said.alert):
        if side:
            lines.append(side.top)
            for part in (
                side.counts,
                side.sensitivity,
                side.bias,
                side.smells,
                side.carry_over,
                side.knowing,
            ):
                lines += [f"  {one}" for one in part]
    if not (said.call or said.alert):
        lines.append("No run was called yet, so there is nothing to score.")
    lines += [*said.both, *said.handler_errors]
    lines.append(
        f"Intervals: {CONFIDENCE:.0%}, Wilson's; the exact ones, and what each test rests on, are in --json."
    )
    return "\n".join(lines)
