"""Which positions of a place are warm: they held a target within 48 h and were not tested since.

What open line-ups held is on the record and may be said. What sealed ones held is in the vault: it goes
into the new key and nowhere else, and whether a line-up can be drawn at all is judged by the most it
could be, which everybody can reckon.
"""

from datetime import datetime, timedelta

from nares.app.desk import Desk
from nares.base.errors import Refused
from nares.base.lineups import Area
from nares.base.times import utc_text
from nares.design.keys import runs_from
from nares.design.lineups import WARM_H
from nares.design.lineups.plans import same_name
from nares.record.found_lineups import LineupKept


def warm_known(desk: Desk, area: Area, tested: tuple[int, ...], now: datetime) -> tuple[int, ...]:
    """Positions that are warm as far as the record tells; none where places are swapped for clean ones."""
    if not area.keeps_odour:
        return ()
    held = desk.store.held_targets(area.place, now - timedelta(hours=WARM_H))
    return _positions(area, set(held), tested)


def warm_sealed(desk: Desk, area: Area, tested: tuple[int, ...], now: datetime) -> tuple[int, ...]:
    """Positions that are warm from line-ups that are not open yet: part of the key, never shown.

    Raises:
        Refused: If the vault does not hold the key of such a line-up, so that nobody can say.
    """
    since, names = utc_text(now - timedelta(hours=WARM_H)), set()
    for kept in _sealed_here(desk, area):
        if not _placed_since(desk, kept, since):
            continue
        key = _key(desk, kept)
        lay = {run.run: run.placed for run in runs_from(key)}
        held = desk.store.spots_held(kept.sealed.lineup, lay)
        names |= {spot for spot, at in held.items() if at >= since}
    return _positions(area, names, tested)


def most_sealed(desk: Desk, area: Area, now: datetime) -> int:
    """How many positions could be warm from line-ups that are not open yet, by what was asked of them."""
    since, most = utc_text(now - timedelta(hours=WARM_H)), 0
    for kept in _sealed_here(desk, area):
        placed = _placed_since(desk, kept, since)
        most += placed * int(kept.sealed.asked.get("targets_high", len(kept.sealed.area.spots)))
    return min(most, len(area.spots))


def _sealed_here(desk: Desk, area: Area) -> list[LineupKept]:
    return desk.store.not_closed_at(area.place) if area.keeps_odour else []


def _placed_since(desk: Desk, kept: LineupKept, since: str) -> int:
    """Runs of a line-up that were placed since a time and are not open. [count]"""
    runs = desk.store.runs_of(kept.sealed.lineup)
    times = [run.last_at for run in runs if run.opened_entry is None]
    return sum(at is not None and at >= since for at in times)


def _key(desk: Desk, kept: LineupKept) -> dict[str, object]:
    try:
        return desk.vault.key(kept.sealed.lineup, kept.sealed.commitment)
    except Refused:
        raise Refused(
            f"Line-up {kept.sealed.lineup} was placed here within {WARM_H} h and its key is lost, so nobody "
            "can say which spots are warm. Test the spots, or wait, or use another place."
        ) from None


def _positions(area: Area, names: set[str], tested: tuple[int, ...]) -> tuple[int, ...]:
    return tuple(
        spot.position for spot in area.spots if same_name(spot.name) in names and spot.position not in tested
    )
