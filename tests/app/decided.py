"""Sessions of Moss put on the record from a rep table, so that there is something to decide on."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path

from tests.app.kennels import TickingClock

from nares.app import jobs
from nares.app.deeds import ImportReps
from nares.app.desk import Desk

HEADER = (
    "dog,session,started_at,step,rep,ask_s,hold_s,ended_by,met,hand,pay_place,distance_m,disturbance,"
    "source,cues,paid"
)


def met_reps(
    desk: Desk,
    folder: Path,
    session: str,
    met: Sequence[int],
    *,
    step: str = "source-breaths",
    day: int = 2,
    hour: int = 9,
    ask_s: float = 1.0,
) -> None:
    """Import one session: a rep met is held past its ask, a rep missed is broken at half of it."""
    began = datetime(2026, 3, day, hour, tzinfo=UTC)
    clock = desk.now
    assert isinstance(clock, TickingClock)
    clock.at = max(clock.at, began + timedelta(hours=1))
    at = began.isoformat()
    rows = [
        f"Moss,{session},{at},{step},{rep},{ask_s},{ask_s * (1.2 if ok else 0.5)},"
        f"{'mark' if ok else 'dog'},{ok},inside,inside,0,0,target,target,1"
        for rep, ok in enumerate(met, 1)
    ]
    table = folder / f"{session}.csv"
    table.write_text("\n".join([HEADER, *rows]) + "\n", encoding="utf-8")
    jobs.import_reps(desk, ImportReps(table, "Wren"))
