"""Working a run: the evaluator begins it, the handler calls, evaluator or recorder write down what was seen.

Each deed done twice in the same words stands once and is answered with the same receipt, so that a second
tap or two browsers at once do no harm; in other words it is refused.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace

from nares.app.deeds import Receipt
from nares.app.desk import Desk
from nares.app.lineups.requests import BeginRun, MakeCall, ObserveRun
from nares.app.lineups.seats import seated
from nares.base.times import utc_text
from nares.record.kinds_lineups import CallMade, RunBegun, RunObserved
from nares.record.store import Proposed


def begin_run(desk: Desk, asked: BeginRun) -> Receipt:
    """Start a run, with the names of everybody who is there.

    Raises:
        Refused: If this is not the evaluator, or the run is not placed.
    """
    seat = seated(desk, asked.token, "evaluator")
    present = tuple(name.strip() for name in asked.present if name.strip())
    said = RunBegun(seat.lineup, asked.run, present)
    return write_once(
        desk,
        Proposed("run_begun", said, desk.now(), seat.person),
        lambda: _begun(desk, seat.lineup, asked.run, present),
        f"Run {asked.run} has begun. The handler calls, then what was seen is written down.",
    )


def make_call(desk: Desk, asked: MakeCall) -> Receipt:
    """The handler calls a position, or "clear".

    Raises:
        Refused: If this is not the handler, the run has not begun or is open, or another call stands.
    """
    seat = seated(desk, asked.token, "handler")
    now = desk.now()
    said = CallMade(seat.lineup, asked.run, asked.position, seat.person, utc_text(now))
    called = "clear" if asked.position is None else f"position {asked.position}"
    return write_once(
        desk,
        Proposed("call_made", said, now, seat.person),
        lambda: called_as(desk, seat.lineup, asked.run, asked.position),
        f"Run {asked.run}: {called} is called. It stands.",
    )


def observe_run(desk: Desk, asked: ObserveRun) -> Receipt:
    """Write down what was seen in a run, before its key is opened.

    Raises:
        Refused: If the seat does not observe, the run has not begun or is open, or other words stand.
    """
    seat = seated(desk, asked.token, "evaluator", "recorder")
    observed = replace(asked.observed, run=asked.run)
    said = RunObserved(seat.lineup, asked.run, seat.person, seat.role, observed)

    def standing() -> int | None:
        kept = desk.store.observed_in(seat.lineup)
        mine = [one for one in kept if (one.run, one.role) == (asked.run, seat.role)]
        return mine[0].entry if mine and mine[0].observed == observed else None

    return write_once(
        desk,
        Proposed("run_observed", said, desk.now(), seat.person),
        standing,
        f"What was seen in run {asked.run} is written down.",
    )


def write_once(desk: Desk, one: Proposed, standing: Callable[[], int | None], said: str) -> Receipt:
    """Write an entry, or answer with the one that says the same already.

    ``standing``: looks for that entry, inside the transaction that would write.
    """
    found: list[int] = []

    def new() -> Iterator[Proposed]:
        number = standing()
        if number is None:
            yield one
        else:
            found.append(number)

    written = desk.store.append_all(new())
    entry = written[0] if written else desk.store.entry(found[0])
    return Receipt(entry.number, entry.digest, said)


def called_as(desk: Desk, lineup: str, run: int, position: int | None) -> int | None:
    """The entry of the call of a run, if it is this one."""
    row = desk.store.run_of(lineup, run)
    return row.called_entry if row.called_position == position else None


def _begun(desk: Desk, lineup: str, run: int, present: tuple[str, ...]) -> int | None:
    row = desk.store.run_of(lineup, run)
    return row.begun_entry if row.present == present else None
