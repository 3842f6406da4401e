"""What a human reaction takes: figures of the abstract (read)."""

import pytest

from nares.measure.marking.marks import DETECTION_S, SIMPLE_MEAN_S
from nares.measure.reps.holding import ANTICIPATED_S


@pytest.mark.published(source="woods-2015", at="abstract, stimulus detection time", seen="read")
def test_noticing_takes_131_ms() -> None:
    assert pytest.approx(0.131) == DETECTION_S
    assert pytest.approx(DETECTION_S, abs=0.005) == ANTICIPATED_S


@pytest.mark.published(source="woods-2015", at="abstract, mean simple reaction time", seen="read")
def test_a_simple_reaction_takes_231_ms() -> None:
    assert pytest.approx(0.231) == SIMPLE_MEAN_S
