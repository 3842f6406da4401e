"""Times of day carry a zone; media time is exact; a span runs forward."""

from datetime import UTC, datetime
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nares.base.errors import OutOfRange
from nares.base.times import MediaTime, read_utc, require_span, utc_text


def test_a_tick_is_exact_however_long_the_recording() -> None:
    ninety_minutes = MediaTime(ticks=90 * 60 * 30000, tick_s=Fraction(1, 30000))
    assert ninety_minutes.seconds == 5400.0


def test_a_time_without_a_zone_is_refused_with_how_to_write_it() -> None:
    with pytest.raises(OutOfRange, match=r"has no zone\. Add one, for example \+00:00"):
        utc_text(datetime(2026, 3, 1, 9, 30))  # noqa: DTZ001
    with pytest.raises(OutOfRange, match="has no zone"):
        read_utc("2026-03-01T09:30:00")


def test_a_word_that_is_no_time_is_named() -> None:
    with pytest.raises(OutOfRange, match="'Tuesday' is not a date and time"):
        read_utc("Tuesday")


@given(st.datetimes(min_value=datetime(1990, 1, 1), max_value=datetime(2100, 1, 1), timezones=st.just(UTC)))  # noqa: DTZ001
def test_what_is_written_is_read_back_to_the_millisecond(at: datetime) -> None:
    assert abs((read_utc(utc_text(at)) - at).total_seconds()) < 0.001


def test_a_span_that_ends_before_it_starts_is_refused_in_words() -> None:
    with pytest.raises(OutOfRange, match="A rep ends at 2 s, before it starts at 3 s"):
        require_span(3.0, 2.0, what="A rep")


@pytest.mark.parametrize("text", ["0001-01-01T00:00+14:00", "9999-12-31T23:59:59-14:00"])
def test_a_time_that_leaves_the_calendar_in_utc_is_named(text: str) -> None:
    with pytest.raises(OutOfRange, match=r"outside the years 1 to 9999 in UTC"):
        read_utc(text)
