"""The sheets of a sealed line-up: for calls, which anybody may print; for the placer, with the key."""

from collections.abc import Iterator

from nares.app.desk import Desk
from nares.app.lineups.opening import sealed_runs
from nares.app.lineups.seats import seated
from nares.app.lineups.sheet_values import call_sheet_values, placing_sheet_values
from nares.base.errors import Refused
from nares.record.kinds_lineups import KeySeen
from nares.record.store import Proposed


def call_sheet(desk: Desk, lineup: str, paper: str = "a4") -> bytes:
    """The sheet for calls and observation as a PDF. The vault is not touched for it.

    Raises:
        Unknown: If there is no such line-up, or no such paper.
    """
    from nares.report.lineup_sheets import call_sheet_pdf

    sealed = desk.store.lineup(lineup).sealed
    values = call_sheet_values(
        sealed.lineup,
        sealed.area,
        len(sealed.run_commitments),
        sealed.commitment,
        sealed.run_commitments,
        day=desk.today().isoformat(),
        dog=sealed.dog,
        kennel=desk.store.kennel,
        people=sealed.people,
        set_time_min=sealed.set_time_min,
    )
    return call_sheet_pdf(values, paper)


def placing_sheet(desk: Desk, token: str, paper: str = "a4") -> bytes:
    """The placer's sheets as a PDF, after the record says that every run in them was seen.

    Raises:
        Refused: If this is not the placer, every run is done, or the key is lost or was changed.
    """
    from nares.report.lineup_sheets import placing_sheet_pdf

    seat = seated(desk, token, "placer")
    kept = desk.store.lineup(seat.lineup)
    left = [row.run for row in desk.store.runs_of(seat.lineup) if not row.done]
    if not left:
        raise Refused(f"Every run of {seat.lineup} is done. There is nothing more to place.")
    runs = [run for run in sealed_runs(desk, kept) if run.run in left]
    values = placing_sheet_values(
        kept.sealed.lineup,
        kept.sealed.area,
        runs,
        kept.sealed.commitment,
        day=desk.today().isoformat(),
        dog=kept.sealed.dog,
        kennel=desk.store.kennel,
        set_time_min=kept.sealed.set_time_min,
    )
    pages = placing_sheet_pdf(values, paper)
    # Last, so that a page that could not be set was not seen; before anything is handed out.
    desk.store.append_all(_seen(desk, seat.lineup, tuple(left), seat.person))
    return pages


def _seen(desk: Desk, lineup: str, runs: tuple[int, ...], person: str) -> Iterator[Proposed]:
    yield Proposed("key_seen", KeySeen(lineup, runs, person, "sheet"), desk.now(), person)
