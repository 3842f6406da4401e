"""Opening the key of a run after call and observation, voiding a run, closing a line-up."""

from collections.abc import Iterator

from nares.app.deeds import Receipt
from nares.app.desk import Desk
from nares.app.lineups.requests import CloseLineup, OpenRun, VoidRun
from nares.app.lineups.seats import seated
from nares.app.lineups.standing import right_in
from nares.app.lineups.working import write_once
from nares.base.errors import Refused
from nares.base.lineups import RunKey
from nares.design.keys import runs_from
from nares.record.found_lineups import LineupKept
from nares.record.kinds_lineups import KeyOpened, RunOpened, RunVoided
from nares.record.lineup_rows import RunRow
from nares.record.store import Proposed


def open_run(desk: Desk, asked: OpenRun) -> Receipt:
    """Open the key of one run, after call and observation. Opened twice, it is opened once.

    Raises:
        Refused: If this is not the evaluator, call or observation are missing, the run is void, or the key is
            lost or not the one that was sealed.
    """
    seat = seated(desk, asked.token, "evaluator")
    row = desk.store.run_of(seat.lineup, asked.run)
    if row.opened_entry is None:
        require_ready(desk, row)
    key = row.opened_key or sealed_runs(desk, desk.store.lineup(seat.lineup))[asked.run - 1]
    said = RunOpened(seat.lineup, asked.run, key, seat.person)
    receipt = write_once(
        desk,
        Proposed("run_opened", said, desk.now(), seat.person),
        lambda: desk.store.run_of(seat.lineup, asked.run).opened_entry,
        "",
    )
    right = right_in(desk.store.run_of(seat.lineup, asked.run))
    said_so = f"Run {asked.run} is open. The call was {'right' if right else 'not right'}."
    return Receipt(receipt.entry, receipt.digest, said_so)


def require_ready(desk: Desk, row: RunRow) -> None:
    """Refuse to touch the vault for a run whose call or observation is missing.

    Raises:
        Refused: Saying which.
    """
    if row.void_entry is not None:
        raise Refused(f"Run {row.run} of {row.lineup} is void. Its key is opened when the line-up is closed.")
    if row.called_entry is None:
        raise Refused(f"Run {row.run} of {row.lineup} has no call yet. It opens after the call only.")
    if not _observed(desk, row) and not row.on_paper:
        raise Refused(
            f"What was seen in run {row.run} of {row.lineup} is not written down yet. "
            "It opens after that only."
        )


def sealed_runs(desk: Desk, kept: LineupKept) -> tuple[RunKey, ...]:
    """The runs of a sealed key, checked against its commitment.

    Raises:
        Refused: If the key is lost or not the one that was sealed.
    """
    return runs_from(desk.vault.key(kept.sealed.lineup, kept.sealed.commitment))


def void_run(desk: Desk, asked: VoidRun) -> Receipt:
    """Say that a run does not count, and why; before its key is opened or after, which the record tells.

    Raises:
        Refused: If this is not the evaluator, no reason is given, or the run is void for another reason.
    """
    seat = seated(desk, asked.token, "evaluator")
    why = asked.why.strip()
    row = desk.store.run_of(seat.lineup, asked.run)
    said = RunVoided(seat.lineup, asked.run, why, seat.person, row.opened_entry is not None)
    return write_once(
        desk,
        Proposed("run_voided", said, desk.now(), seat.person),
        lambda: _voided(desk, seat.lineup, asked.run, why),
        f"Run {asked.run} is void: {why}",
    )


def close_lineup(desk: Desk, asked: CloseLineup) -> Receipt:
    """Open the whole key onto the record; runs that were not worked are void, for the reason given.

    Runs with call and observation, or with a call typed from paper, are opened first. Where the key is
    lost, all that is not open is void, and the line-up stays without its key.

    Raises:
        Unknown: If there is no such line-up.
        Refused: If a reason is needed and missing, or a seat other than the evaluator's of this line-up asks.
    """
    by = _closer(desk, asked)
    kept = desk.store.lineup(asked.lineup)
    if kept.closed_entry is not None:
        return _said(desk, kept.closed_entry, f"Line-up {asked.lineup} is closed.")
    why = asked.why.strip()
    key, lost = _key(desk, kept)
    now = desk.now()

    def new() -> Iterator[Proposed]:
        if desk.store.lineup(asked.lineup).closed_entry is not None:
            return  # somebody else just closed it
        runs = {run.run: run for run in runs_from(key)} if key else {}
        for row in desk.store.runs_of(asked.lineup):
            if row.done:
                continue
            if row.run in runs and _ready(desk, row):
                yield Proposed("run_opened", RunOpened(asked.lineup, row.run, runs[row.run], by), now, by)
            elif why:
                yield Proposed("run_voided", RunVoided(asked.lineup, row.run, why, by), now, by)
            else:
                raise Refused(
                    f"Run {row.run} of {asked.lineup} was not finished. Say why the line-up is closed early; "
                    "its runs that are not open will be void."
                )
        if key:
            yield Proposed("key_opened", KeyOpened(asked.lineup, key, why), now, by)

    written = desk.store.append_all(new())
    closed = desk.store.lineup(asked.lineup).closed_entry
    if not written and closed is not None:
        return _said(desk, closed, f"Line-up {asked.lineup} is closed.")
    if key:
        desk.vault.forget(kept.sealed.commitment)
        said = f"Line-up {asked.lineup} is closed; its whole key is entry {written[-1].number}."
        return Receipt(written[-1].number, written[-1].digest, said)
    if not written:
        raise Refused(lost)
    said = (
        f"Every run of {asked.lineup} that was not open is void. The whole key cannot be opened: it is lost."
    )
    return Receipt(written[-1].number, written[-1].digest, said)


def _closer(desk: Desk, asked: CloseLineup) -> str:
    """Who closes: the evaluator's seat, or a person at the desk who has no seat."""
    if not asked.token:
        return desk.by(asked.by)
    seat = seated(desk, asked.token, "evaluator")
    if seat.lineup != asked.lineup:
        raise Refused(f"This seat belongs to {seat.lineup}, not to {asked.lineup}. Take the right seat.")
    return seat.person


def _key(desk: Desk, kept: LineupKept) -> tuple[dict[str, object] | None, str]:
    try:
        return desk.vault.key(kept.sealed.lineup, kept.sealed.commitment), ""
    except Refused as lost:
        return None, str(lost)


def _ready(desk: Desk, row: RunRow) -> bool:
    return row.called_entry is not None and (row.on_paper or _observed(desk, row))


def _observed(desk: Desk, row: RunRow) -> bool:
    return any(one.run == row.run for one in desk.store.observed_in(row.lineup))


def _voided(desk: Desk, lineup: str, run: int, why: str) -> int | None:
    row = desk.store.run_of(lineup, run)
    return row.void_entry if row.void_why == why else None


def _said(desk: Desk, number: int, said: str) -> Receipt:
    entry = desk.store.entry(number)
    return Receipt(entry.number, entry.digest, said)
