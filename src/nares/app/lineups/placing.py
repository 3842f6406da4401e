"""The placer: what lies where in the run to be placed next, said on the record before it is shown."""

from collections.abc import Iterator

from nares.app.deeds import Receipt
from nares.app.desk import Desk
from nares.app.lineups.requests import PlaceRun
from nares.app.lineups.seats import seated
from nares.app.lineups.standing import current_run
from nares.app.lineups.values import PlacingPage, Seat
from nares.app.lineups.working import write_once
from nares.base.lineups import RunKey
from nares.design.keys import runs_from
from nares.record.kinds_lineups import KeySeen, RunPlaced
from nares.record.store import Proposed

CAUTIONS = (
    "Place in the order given: what smells of the target comes last.",
    "Change gloves between what is clean and what is not; touch every position in the same way.",
    "Aids that are controlled or harmful: follow the law, their custodian's rules and precautions against "
    "exposure.",
    "Go out of sight of dog and handler before you say that the run is placed, and stay there.",
)


def placing_page(desk: Desk, seat: Seat) -> PlacingPage:
    """What the placer sees: one run at a time, and none while a placed run is being worked."""
    kept = desk.store.lineup(seat.lineup)
    rows = desk.store.runs_of(seat.lineup)
    current = current_run(rows)
    key: RunKey | None = None
    if current is None:
        state, says = "waiting", "Every run is done. There is nothing more to place."
    elif current.placed_entry is None:
        state = "waiting"
        key = shown_key(desk, seat, current.run)
        says = f"Place run {current.run}, then go out of sight and say so."
    else:
        state, says = "placed", f"Run {current.run} is placed. Stay out of sight until it is done."
    return PlacingPage(
        lineup=seat.lineup,
        person=seat.person,
        area=kept.sealed.area,
        runs=len(rows),
        run=key,
        state=state,
        says=says,
        set_time_min=kept.sealed.set_time_min,
        aids=tuple(kept.sealed.asked.get("aids", ())),
        cautions=CAUTIONS,
    )


def shown_key(desk: Desk, seat: Seat, run: int) -> RunKey:
    """The key of one run for the placer, after the record says that it was seen.

    Raises:
        Refused: If the vault does not hold the key that was sealed.
    """
    sealed = desk.store.lineup(seat.lineup).sealed
    key = desk.vault.key(sealed.lineup, sealed.commitment)

    def new() -> Iterator[Proposed]:
        seen = desk.store.key_seen(seat.lineup)
        if not any(one.person == seat.person and run in one.runs for one in seen):
            yield Proposed("key_seen", KeySeen(seat.lineup, (run,), seat.person), desk.now(), seat.person)

    desk.store.append_all(new())
    return runs_from(key)[run - 1]


def place_run(desk: Desk, asked: PlaceRun) -> Receipt:
    """The placer has set a run and is out of sight. Said twice, it stands once.

    Raises:
        Refused: If this is not the placer, or it is not this run's turn.
    """
    seat = seated(desk, asked.token, "placer")
    said = RunPlaced(seat.lineup, asked.run, seat.person, asked.note)
    return write_once(
        desk,
        Proposed("run_placed", said, desk.now(), seat.person),
        lambda: desk.store.run_of(seat.lineup, asked.run).placed_entry,
        f"Run {asked.run} is placed. Stay out of sight.",
    )
