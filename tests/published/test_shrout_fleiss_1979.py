"""Six targets, four judges. Data and single-judge figures were read in the tests of statistics packages that
cite the paper (also in nipype's), the averages are from memory; the paper itself was not seen.
"""

import pytest

from nares.measure.agreement.intraclass import intraclass

SIX_TARGETS = [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]]


@pytest.mark.published(source="shrout-fleiss-1979", at="Table 4, single judge", seen="read")
@pytest.mark.parametrize(("form", "printed"), [("ICC(1,1)", 0.17), ("ICC(2,1)", 0.29), ("ICC(3,1)", 0.71)])
def test_six_targets_four_judges_single(form: str, printed: float) -> None:
    assert intraclass(SIX_TARGETS, confidence=0.95)[form].value == pytest.approx(printed, abs=0.005)


@pytest.mark.published(source="shrout-fleiss-1979", at="Table 4, mean of four judges", seen="memory")
@pytest.mark.parametrize(("form", "printed"), [("ICC(1,k)", 0.44), ("ICC(2,k)", 0.62), ("ICC(3,k)", 0.91)])
def test_six_targets_four_judges_averaged(form: str, printed: float) -> None:
    assert intraclass(SIX_TARGETS, confidence=0.95)[form].value == pytest.approx(printed, abs=0.005)
