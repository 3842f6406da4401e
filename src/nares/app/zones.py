"""Time zones by the names people give: a place, an offset, or this computer's own."""

import re
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from zoneinfo import ZoneInfo

from nares.base.errors import Unknown

_OFFSET = re.compile(r"^(?:UTC|GMT)?\s*([+-])(\d{1,2})(?::?(\d{2}))?$", re.IGNORECASE)


class ThisComputer(tzinfo):
    """The time of this computer, summer time and all, as its own tables say for each day."""

    def utcoffset(self, at: datetime | None, /) -> timedelta | None:
        """How far ahead of UTC the clock on the wall was then."""
        return None if at is None else at.replace(tzinfo=None).astimezone().utcoffset()

    def dst(self, at: datetime | None, /) -> timedelta | None:
        """Not told apart."""
        return None

    def tzname(self, at: datetime | None, /) -> str | None:
        """Its name then."""
        return None if at is None else at.replace(tzinfo=None).astimezone().tzname()


def zone_of(name: str) -> tzinfo:
    """The zone of this name; this computer's own when empty.

    Raises:
        Unknown: If there is none.

    Examples:
        >>> zone_of("+01:00").utcoffset(None), zone_of("UTC").utcoffset(None)
        (datetime.timedelta(seconds=3600), datetime.timedelta(0))
    """
    name = name.strip()
    if not name:
        return ThisComputer()
    if name.upper() in ("UTC", "GMT", "Z"):
        return UTC
    offset = _OFFSET.match(name)
    if offset:
        ahead = timedelta(hours=int(offset[2]), minutes=int(offset[3] or 0))
        if ahead < timedelta(hours=15):
            return timezone(ahead if offset[1] == "+" else -ahead)
    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        raise Unknown(
            f"There is no time zone {name!r}. Write a place like Europe/Oslo, or an offset like +01:00."
        ) from None
