"""A key of the tests' own, drawn from a fixed seed, and calls to go with it."""

import json
from pathlib import Path
from typing import Any

from nares.base.lineups import RunKey, Smell
from nares.design.keys import key_of, runs_from
from nares.design.lineups import Brief, area_of, draw_lineup

SEED = bytes(range(32))


def drawn_key(runs: int = 12, *, positions: int = 6) -> dict[str, Any]:
    brief = Brief(
        area_of("boxes", positions, place="Saltmarsh barn"),
        runs,
        0,
        1,
        0.25,
        distractors=(Smell("tape", False), Smell("food", True)),
        controls=("gloves",),
    )
    return key_of("Teasel-1", brief, draw_lineup(brief, SEED), SEED)


def written_key(folder: Path, runs: int = 12) -> tuple[Path, tuple[RunKey, ...]]:
    key = drawn_key(runs)
    path = folder / "KEY.json"
    path.write_text(json.dumps(key, ensure_ascii=False), encoding="utf-8")
    return path, runs_from(key)


def perfect_calls(runs: tuple[RunKey, ...], between: str = ",") -> str:
    lines = [between.join(("run", "position", "called_by", "called_at"))]
    for run in runs:
        place = str(run.targets[0]) if run.targets else ""
        lines.append(between.join((str(run.run), place, "Joss Pike", "2026-11-27T10:00:00Z")))
    return "\n".join(lines) + "\n"
