"""Records refuse what cannot be."""

import pytest

from nares.base.errors import OutOfRange
from nares.base.findings import Finding, refuse_if_any
from nares.base.vocab import Region, Span


@pytest.mark.parametrize(
    "numbers",
    [(-0.1, 0.2, 0.2, 0.2), (0.9, 0.2, 0.2, 0.2), (0.2, 0.2, 0.0, 0.2), (0.2, 0.95, 0.1, 0.1), (2, 2, 5, 5)],
)
def test_a_region_outside_the_picture_is_refused(numbers: tuple[float, float, float, float]) -> None:
    with pytest.raises(OutOfRange, match="does not lie inside the picture"):
        Region(*numbers)


def test_a_region_of_not_a_number_is_refused() -> None:
    with pytest.raises(OutOfRange, match="does not lie inside"):
        Region(float("nan"), 0.1, 0.1, 0.1)


def test_a_region_may_touch_the_edge() -> None:
    assert Region(0.5, 0.5, 0.5, 0.5).w == 0.5


def test_a_backward_span_is_refused() -> None:
    with pytest.raises(OutOfRange, match="before it starts"):
        Span(2.0, 1.0, 0.5)


def test_all_findings_come_back_at_once() -> None:
    found = [Finding("a", "line 2", "is wrong."), Finding("b", "line 9", "is worse.")]
    with pytest.raises(Exception, match=r"(?s)line 2: is wrong\..*line 9: is worse\."):
        refuse_if_any(found, what="The table")


def test_no_finding_is_no_error() -> None:
    refuse_if_any([], what="The table")
