"""Going in ever later: flagged at more than twice the start, never guessed from too few or unknown times."""

import pytest

from nares.care.latency import returns_s, slowing


@pytest.mark.parametrize(("last_s", "flagged"), [(2.0, False), (2.01, True), (0.5, False)])
def test_more_than_twice_the_start_is_flagged(last_s: float, flagged: bool) -> None:
    found = slowing([1.0] * 7 + [last_s] * 5)
    assert found is not None
    assert (found.first_s, found.last_s, found.flagged) == (1.0, last_s, flagged)


def test_one_long_pause_flags_nothing() -> None:
    found = slowing([1.0] * 9 + [60.0])
    assert found is not None
    assert not found.flagged


def test_too_few_times_say_nothing() -> None:
    assert slowing([1.0, 9.0] * 4) is None


def test_a_return_needs_both_edges() -> None:
    spans = [(0.0, 1.0), (3.0, None), (6.0, 7.0), (None, 9.0), (12.0, 13.0), (12.5, 14.0)]
    assert returns_s(spans) == [2.0, 3.0]
