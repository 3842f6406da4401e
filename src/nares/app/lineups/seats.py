"""Sitting down with a code, standing up, who sits where: the one place where a token is looked at."""

from nares.app.desk import Desk
from nares.app.lineups.requests import LeaveSeat, TakeSeat
from nares.app.lineups.values import Seat, Taken
from nares.base.errors import Refused
from nares.base.lineups import Role
from nares.record.kinds_lineups import SeatTaken


def take_seat(desk: Desk, asked: TakeSeat) -> Taken:
    """Sit down with a code. A browser that had the seat before has it no more.

    Raises:
        Refused: If the code opens no seat, or too many wrong ones were tried just now.
    """
    now = desk.now()
    sitting = desk.vault.seat_by_code(asked.code, now)
    if sitting.lineup not in desk.store.lineup_names() or _sealed(desk, sitting.lineup) != sitting.commitment:
        raise Refused("The line-up of this seat was never sealed. Ask the trainer to draw it again.")
    said = SeatTaken(sitting.lineup, sitting.role, sitting.person)
    # The record first: somebody said to sit where nobody does is harmless, the other way round is not.
    desk.store.append("seat_taken", said, happened_at=now, by=sitting.person)
    token = desk.vault.sit(sitting)
    return Taken(Seat(sitting.lineup, sitting.role, sitting.person), token)


def seat_of(desk: Desk, token: str) -> Seat | None:
    """The seat a token stands for; None: none, or no more."""
    sitting = desk.vault.seat_by_token(token)
    return Seat(sitting.lineup, sitting.role, sitting.person) if sitting else None


def leave_seat(desk: Desk, asked: LeaveSeat) -> None:
    """Stand up: the token counts no more."""
    desk.vault.leave(asked.token)


def seated(desk: Desk, token: str, *roles: Role) -> Seat:
    """The seat of a token, if it is one of these roles; any role when none is named.

    Raises:
        Refused: If nobody sits there, or in another role.
    """
    seat = seat_of(desk, token)
    if seat is None:
        raise Refused("This seat is not yours any more. Take it again with its code.")
    if roles and seat.role not in roles:
        raise Refused(f"The {seat.role}'s seat cannot do this. It is for the {' or the '.join(roles)}.")
    return seat


def _sealed(desk: Desk, lineup: str) -> str:
    return desk.store.lineup(lineup).sealed.commitment
