"""When an entry may say it happened, and when it was entered.

Conventions
-----------
The clock is handed in; it is read once for each write, inside the transaction. Clocks of phones and laptops
are stepped by a few seconds when they are set from the network, so going back by up to `BACK_S` seconds from
the newest time on the record is taken as it is: numbers give the order, times say what the clock said. Going
back further is refused, because then one of the two times is false; a person who knows which writes a
``clock_set`` entry, which says so in the open and starts again from the present time.
"""

from datetime import datetime, timedelta

from nares.base.errors import Refused
from nares.base.times import read_utc, utc_text

BACK_S = 120.0
AHEAD_S = 120.0


def entered_at(now: datetime, newest: str | None, *, set_back: bool) -> str:
    """The time of entry to write.

    Args:
        now: What the clock says.
        newest: The newest time of entry since the clock was last set, or None.
        set_back: Whether this entry itself says that the clock was set back.

    Raises:
        Refused: If the clock went back by more than `BACK_S` seconds.
    """
    if newest is not None and not set_back and now < read_utc(newest) - timedelta(seconds=BACK_S):
        raise Refused(
            f"The clock says {utc_text(now)}, but the record was last written at {newest}. "
            "Set the clock; if it was ahead before and is right now, say so: "
            "nares record clock-back --why REASON."
        )
    return utc_text(now)


def happened_at(at: datetime | str, now: datetime) -> str:
    """The time of happening to write.

    Raises:
        Refused: If it lies in the future by more than `AHEAD_S` seconds.
        OutOfRange: If it is not a time of day with a zone.
    """
    moment = read_utc(at) if isinstance(at, str) else read_utc(at.isoformat())
    if moment > now + timedelta(seconds=AHEAD_S):
        raise Refused(
            f"This is said to have happened at {utc_text(moment)}, after the clock's {utc_text(now)}. "
            "Correct the time, or set the clock."
        )
    return utc_text(moment)
