"""The interval of ICC(A,1): anxiety scores of 20 people by three raters (data read in statsmodels' tests),
with the output of the R package irr for them as the README of its Python port prints it (read).
"""

import numpy as np
import pytest

from nares.measure.agreement.intraclass import intraclass

# fmt: off
FIRST = [3, 3, 3, 4, 5, 5, 2, 3, 5, 2, 2, 6, 1, 5, 2, 2, 1, 2, 4, 3]
SECOND = [3, 6, 4, 6, 2, 4, 2, 4, 3, 3, 2, 3, 3, 3, 2, 2, 1, 3, 3, 4]
THIRD = [2, 1, 4, 4, 3, 2, 1, 6, 1, 1, 1, 2, 3, 3, 1, 1, 3, 3, 2, 2]
# fmt: on


@pytest.mark.published(
    source="mcgraw-wong-1996", at="ICC(A,1) of the anxiety scores, as irr gives it", seen="read"
)
def test_icc_a_1_of_the_anxiety_scores_is_0_20_from_minus_0_039_to_0_494() -> None:
    found = intraclass(np.column_stack([FIRST, SECOND, THIRD]), confidence=0.95)["ICC(2,1)"]
    assert found.called == "ICC(A,1)"
    assert found.value == pytest.approx(0.20, abs=0.005)
    assert (found.low, found.high) == pytest.approx((-0.039, 0.494), abs=0.0005)
