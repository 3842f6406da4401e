"""What each seat sees. Only the placer's page reads the vault."""

from dataclasses import replace

from nares.app.desk import Desk
from nares.app.lineups.placing import placing_page
from nares.app.lineups.seats import seated
from nares.app.lineups.standing import current_run, last_done, right_in, run_views, state_of
from nares.app.lineups.values import EvaluatingPage, HandlingPage, RunState, RunView, Seat, SeatPage
from nares.record.found_lineups import ObservedKept
from nares.record.lineup_lookups import called_in
from nares.record.lineup_rows import RunRow

_HANDLER_SAYS: dict[RunState, str] = {
    "waiting": "Run {run} is being placed. Wait out of sight.",
    "placed": "Run {run} is placed. Wait for the evaluator to begin.",
    "running": "Run {run}: work the dog, then call a position or clear.",
    "called": "Your call of run {run} stands. Wait until it is opened.",
    "observed": "Your call of run {run} stands. Wait until it is opened.",
}
_EVALUATOR_SAYS: dict[RunState, str] = {
    "waiting": "Run {run} is being placed. Wait.",
    "placed": "Run {run} is placed. Say who is present, then begin.",
    "running": "Run {run} is on. Write down what you see; the handler calls.",
    "called": "The call of run {run} is in. Write down what was seen.",
    "observed": "What was seen in run {run} is written down. Wait for the handler's call.",
}


def seat_page(desk: Desk, token: str) -> SeatPage:
    """The page of whoever holds a token.

    Raises:
        Refused: If nobody sits there any more; for the placer, if the key is lost or was changed.
    """
    seat = seated(desk, token)
    if seat.role == "placer":
        return placing_page(desk, seat)
    rows, observed = desk.store.runs_of(seat.lineup), desk.store.observed_in(seat.lineup)
    if seat.role == "handler":
        return _handling(desk, seat, rows, observed)
    return _evaluating(desk, seat, rows, observed)


def _handling(desk: Desk, seat: Seat, rows: list[RunRow], observed: list[ObservedKept]) -> HandlingPage:
    sealed = desk.store.lineup(seat.lineup).sealed
    current, last = current_run(rows), last_done(rows)
    state = _state(current, observed)
    says = (
        "Every run is done. Thank you." if current is None else _HANDLER_SAYS[state].format(run=current.run)
    )
    if current is not None and state == "observed" and current.called_entry is None:
        says = _HANDLER_SAYS["running"].format(run=current.run)
    fresh = current is None or current.begun_entry is None
    return HandlingPage(
        lineup=seat.lineup,
        person=seat.person,
        dog=sealed.dog,
        area=sealed.area,
        runs=len(rows),
        run=current.run if current else None,
        state=state,
        says=says,
        called=called_in(current) if current else None,
        said=outcome(last, observed) if last is not None and fresh else None,
    )


def _evaluating(desk: Desk, seat: Seat, rows: list[RunRow], observed: list[ObservedKept]) -> EvaluatingPage:
    kept = desk.store.lineup(seat.lineup)
    current, last = current_run(rows), last_done(rows)
    state = _state(current, observed)
    called = current is not None and current.called_entry is not None
    mine = [one for one in observed if current and (one.run, one.role) == (current.run, seat.role)]
    return EvaluatingPage(
        lineup=seat.lineup,
        person=seat.person,
        role=seat.role,
        dog=kept.sealed.dog,
        area=kept.sealed.area,
        runs=len(rows),
        run=current.run if current else None,
        state=state,
        says=_evaluator_says(seat, current, state, called, bool(mine)),
        people=_people(kept.sealed.people.values(), rows),
        began_at=current.begun_at if current else None,
        called=called,
        observed=mine[0].observed if mine else None,
        last=_without_containers(run_views(desk, seat.lineup, last.run)[0]) if last else None,
        closed=kept.closed_entry is not None,
    )


def _without_containers(view: RunView) -> RunView:
    """A run without which box stood where: one that held a target holds nothing else in later runs."""
    return replace(view, placed=tuple(replace(one, container="") for one in view.placed))


def _evaluator_says(seat: Seat, current: RunRow | None, state: RunState, called: bool, mine: bool) -> str:
    if current is None:
        return "Every run is done. Close the line-up, so that its whole key goes on the record."
    if seat.role == "recorder" and state == "placed":
        return f"Run {current.run} is placed. Wait for the evaluator to begin."
    if seat.role == "recorder" and mine:
        return f"What you saw in run {current.run} is written down. Wait."
    if state == "observed" and called:
        return f"Call and observation of run {current.run} are in. It can be opened."
    return _EVALUATOR_SAYS[state].format(run=current.run)


def _state(current: RunRow | None, observed: list[ObservedKept]) -> RunState:
    if current is None:
        return "open"
    return state_of(current, any(one.run == current.run for one in observed))


def _people(named: object, rows: list[RunRow]) -> tuple[str, ...]:
    """Names that can be present: those with seats, then whoever was there before; each once."""
    assert hasattr(named, "__iter__")
    return tuple(dict.fromkeys([*named, *(name for row in rows for name in row.present)]))


def outcome(row: RunRow, observed: list[ObservedKept]) -> str:
    """The outcome of a run just opened, for the dog's sake: whether to pay, never how many were right."""
    if row.void_entry is not None or row.opened_key is None:
        return f"Run {row.run} is void. Nothing is paid or held against the dog."
    seen = next((one.observed for one in observed if one.run == row.run), None)
    alerted_at = seen.alerted_at if seen is not None else row.called_position
    right = right_in(row)
    if alerted_at is not None and alerted_at in row.opened_key.targets:
        return f"Run {row.run}: pay, the target was at {alerted_at}." + (
            "" if right else " Your call was another."
        )
    if alerted_at is None and right and row.called_position is None:
        return f"Run {row.run}: right, there was no target. Pay the search as you do, at no position."
    if right:
        return f"Run {row.run}: your call was right, but the dog did not alert there. Do not pay."
    return f"Run {row.run}: do not pay, the call was not right."
