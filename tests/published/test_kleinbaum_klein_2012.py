"""Remission times of 21 children on 6-MP (Freireich and others 1963), the textbook's Kaplan-Meier table.

The data were read in several public copies; the table's figures are typed from memory with high confidence.
"""

import pytest

from nares.decide import kaplan_meier

WEEKS = [6, 6, 6, 6, 7, 9, 10, 10, 11, 13, 16, 17, 19, 20, 22, 23, 25, 32, 32, 34, 35]
RELAPSED = [1, 1, 1, 0, 1, 0, 1, 0, 0, 1, 1, 0, 0, 0, 1, 1, 0, 0, 0, 0, 0]

TABLE = [
    (6, 21, 3, 0.857),
    (7, 17, 1, 0.807),
    (10, 15, 1, 0.753),
    (13, 12, 1, 0.690),
    (16, 11, 1, 0.627),
    (22, 7, 1, 0.538),
    (23, 6, 1, 0.448),
]


@pytest.mark.published(source="kleinbaum-klein-2012", at="chapter 2, table for group 1 (6-MP)", seen="memory")
def test_kaplan_meier_gives_the_printed_table_of_6_mp() -> None:
    seen = kaplan_meier(WEEKS, RELAPSED)
    assert [(p.t_s, p.at_risk, p.breaks) for p in seen] == [row[:3] for row in TABLE]
    for point, row in zip(seen, TABLE, strict=True):
        assert point.share == pytest.approx(row[3], abs=0.0005)


@pytest.mark.published(source="kleinbaum-klein-2012", at="chapter 2, median of group 1", seen="memory")
def test_half_have_relapsed_after_23_weeks() -> None:
    assert next(p.t_s for p in kaplan_meier(WEEKS, RELAPSED) if p.share <= 0.5) == 23
