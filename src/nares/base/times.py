"""Two kinds of time, never mixed.

Media time is integer ticks at a rational rate from the start of a recording; it becomes seconds only
when an estimate finer than a tick is meant. Time of day is a zone-aware `datetime` kept in UTC; it is
shown in local time only at a door.
"""

from dataclasses import dataclass
from datetime import UTC, datetime
from fractions import Fraction

from nares.base.errors import OutOfRange


@dataclass(frozen=True, slots=True)
class MediaTime:
    """A moment in a recording: ``ticks`` steps of ``tick_s`` seconds after its start."""

    ticks: int
    tick_s: Fraction

    @property
    def seconds(self) -> float:
        """The moment as seconds from the start of the recording. [s]"""
        return self.ticks * self.tick_s.numerator / self.tick_s.denominator


def require_span(start_s: float, end_s: float, *, what: str) -> None:
    """Refuse a span that ends before it starts.

    Raises:
        OutOfRange: If ``end_s`` is less than ``start_s``.
    """
    if end_s < start_s:
        raise OutOfRange(
            f"{what} ends at {end_s:g} s, before it starts at {start_s:g} s. Give the earlier time first."
        )


def utc_text(at: datetime) -> str:
    """Write a time of day as ISO 8601 in UTC with milliseconds, the one form the record uses.

    Raises:
        OutOfRange: If the time carries no zone.

    Examples:
        >>> from datetime import datetime, timezone, timedelta
        >>> utc_text(datetime(2026, 3, 1, 9, 30, tzinfo=timezone(timedelta(hours=1))))
        '2026-03-01T08:30:00.000Z'
    """
    if at.tzinfo is None:
        raise OutOfRange(f"The time {at.isoformat()} has no zone. Add one, for example +00:00.")
    return at.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def read_utc(text: str) -> datetime:
    """Read an ISO 8601 time of day that carries a zone.

    Raises:
        OutOfRange: If the text is not such a time.

    Examples:
        >>> read_utc("2026-03-01T08:30:00.000Z").hour
        8
    """
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        raise OutOfRange(
            f"{text!r} is not a date and time. Write it like 2026-03-01T08:30:00+00:00."
        ) from None
    if at.tzinfo is None:
        raise OutOfRange(f"{text!r} has no zone. Write it like 2026-03-01T08:30:00+00:00.")
    return _in_utc(at, text)


def _in_utc(at: datetime, text: str) -> datetime:
    try:
        return at.astimezone(UTC)
    except OverflowError:
        raise OutOfRange(
            f"{text!r} falls outside the years 1 to 9999 in UTC. Correct the year or the zone."
        ) from None
