"""Calls written on paper, typed in later: the times are those on the paper, and the record says so."""

from collections.abc import Iterator
from pathlib import Path

from nares.app.deeds import Receipt
from nares.app.desk import Desk
from nares.app.files import read_text
from nares.app.lineups.calls_table import parse_calls
from nares.app.lineups.requests import TypeCalls
from nares.app.lineups.working import called_as
from nares.base.errors import OutOfRange, Refused
from nares.base.findings import Finding, refuse_if_any
from nares.base.lineups import Called
from nares.base.times import read_utc, utc_text
from nares.record.found_lineups import LineupKept
from nares.record.kinds_lineups import CallMade
from nares.record.store import Proposed


def type_calls(desk: Desk, asked: TypeCalls) -> Receipt:
    """Put the calls of a sheet on the record, all or none; those that stand already are passed over.

    Raises:
        Unknown: If there is no such line-up. Unusable: If rows are at fault, every one named. Refused: If
        there is none, or one contradicts the record: another call stands, the run is open or void.
    """
    by, kept = desk.by(asked.by), desk.store.lineup(asked.lineup)
    if not asked.calls:
        raise Refused("The sheet holds no call. Give at least one run.")
    refuse_if_any(_findings(kept, asked.calls), what="The sheet of calls")
    now = desk.now()

    def new() -> Iterator[Proposed]:
        for call in sorted(asked.calls, key=lambda call: call.run):
            if called_as(desk, asked.lineup, call.run, call.position) is None:
                at = utc_text(read_utc(call.at))
                said = CallMade(
                    asked.lineup, call.run, call.position, call.by.strip(), at, True, asked.why.strip()
                )
                yield Proposed("call_made", said, at if read_utc(at) < now else now, by)

    written = desk.store.append_all(new())
    number = written[-1].number if written else _last(desk, asked)
    entry = desk.store.entry(number)
    count = len(written)
    said = f"{count} call{'' if count == 1 else 's'} of {asked.lineup} typed in from paper."
    return Receipt(entry.number, entry.digest, said)


def calls_in(desk: Desk, lineup: str, path: Path) -> tuple[Called, ...]:
    """The calls of a table written down on paper, for a line-up on the record.

    Raises:
        Unknown: If there is no such line-up.
        Unusable: If the file cannot be read, or rows are at fault, every one named by its line.
    """
    sealed = desk.store.lineup(lineup).sealed
    spots = tuple(spot.position for spot in sealed.area.spots)
    runs = dict.fromkeys(range(1, len(sealed.run_commitments) + 1), spots)
    table = parse_calls(read_text(path), runs)
    refuse_if_any(table.findings, what=path.name)
    return table.calls


def _last(desk: Desk, asked: TypeCalls) -> int:
    found = [called_as(desk, asked.lineup, call.run, call.position) for call in asked.calls]
    return max(number for number in found if number is not None)


def _findings(kept: LineupKept, calls: tuple[Called, ...]) -> Iterator[Finding]:
    runs, spots = len(kept.sealed.run_commitments), len(kept.sealed.area.spots)
    seen: set[int] = set()
    for row, call in enumerate(calls, start=1):
        where = f"row {row}"
        if not 1 <= call.run <= runs:
            yield Finding("run", where, f"There is no run {call.run}; there are runs 1 to {runs}.")
        if call.run in seen:
            yield Finding("run-twice", where, f"Run {call.run} is there twice. A run has one call.")
        seen.add(call.run)
        if call.position is not None and not 1 <= call.position <= spots:
            text = f"There is no position {call.position}; there are positions 1 to {spots}."
            yield Finding("position", where, text)
        if not call.by.strip():
            yield Finding("called-by", where, "It does not say who called. Write the name.")
        yield from _of_time(kept, call, where)


def _of_time(kept: LineupKept, call: Called, where: str) -> Iterator[Finding]:
    try:
        at = read_utc(call.at)
    except OutOfRange as fault:
        yield Finding("called-at", where, str(fault))
        return
    if at < read_utc(kept.sealed_at):
        text = f"It was called at {utc_text(at)}, before the key was sealed at {kept.sealed_at}."
        yield Finding("called-at", where, text)
