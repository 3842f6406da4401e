"""How far the runs of a line-up have come, and which run is on: the same for every seat."""

from collections.abc import Sequence

from nares.app.desk import Desk
from nares.app.lineups.values import RunState, RunView
from nares.base.lineups import Blinding
from nares.record.found_lineups import ObservedKept
from nares.record.lineup_lookups import called_in
from nares.record.lineup_rows import RunRow


def current_run(rows: Sequence[RunRow]) -> RunRow | None:
    """The first run that is neither open nor void, or None."""
    return next((row for row in rows if not row.done), None)


def last_done(rows: Sequence[RunRow]) -> RunRow | None:
    """The run before the one that is on, or the last of all."""
    done = [row for row in rows if row.done]
    return done[-1] if done else None


def state_of(row: RunRow, observed: bool) -> RunState:
    """How far a run has come. With call and observation both in, it is ``observed`` and can be opened."""
    if row.void_entry is not None:
        return "void"
    if row.opened_entry is not None:
        return "open"
    if observed:
        return "observed"
    if row.called_entry is not None:
        return "called"
    if row.begun_entry is not None:
        return "running"
    return "placed" if row.placed_entry is not None else "waiting"


def right_in(row: RunRow) -> bool | None:
    """Whether the call was right; None: not open, or no call."""
    if row.opened_key is None or row.called_entry is None:
        return None
    targets = row.opened_key.targets
    return row.called_position in targets if row.called_position is not None else not targets


def run_views(desk: Desk, lineup: str, only: int | None = None) -> tuple[RunView, ...]:
    """Every run of a line-up as anybody may see it, in order, or one alone."""
    observed, levels = desk.store.observed_in(lineup), desk.store.blinding_of_runs(lineup, only)
    rows = desk.store.runs_of(lineup)
    return tuple(_view(row, observed, levels[row.run]) for row in rows if row.run in levels)


def _view(
    row: RunRow, observed: Sequence[ObservedKept], level: tuple[Blinding | None, tuple[str, ...]]
) -> RunView:
    seen = next((one.observed for one in observed if one.run == row.run), None)
    blinding, because = level if row.called_entry is not None else (None, ())
    return RunView(
        run=row.run,
        state=state_of(row, seen is not None),
        placed_at=row.placed_at,
        began_at=row.begun_at,
        present=row.present,
        called=called_in(row),
        observed=seen,
        opened_at=row.opened_at,
        placed=row.opened_key.placed if row.opened_key else (),
        right=right_in(row),
        blinding=blinding,
        because=because,
        void=row.void_why or "",
        commitment=row.commitment,
    )
