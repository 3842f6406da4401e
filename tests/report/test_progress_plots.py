"""The plot of the learning curve: themed, readable without sight, drawn from what it is given."""

import xml.etree.ElementTree as ET

import pytest

from nares.report.progress_plots import CurveLine, curve_svg
from nares.report.svg import INKS

LINE = CurveLine([1, 2, 3, 4], [0.1, 0.2, 0.4, 0.6], [0.3, 0.5, 0.7, 0.8], [0.6, 0.8, 0.9, 0.95])


def drawn(line: CurveLine = LINE, *, learned: int | None = 3, changed: bool = True, sessions: int = 2) -> str:
    reps = len(line.at)
    return curve_svg(
        line,
        met=[rep % 2 == 1 for rep in range(reps)],
        level=0.6,
        ready=0.85,
        borders=[1 + k * reps // sessions for k in range(sessions)],
        parts=[(1, 2, 0.25), (3, reps, 1.0)] if changed else [],
        learned=learned,
    )


def many(reps: int) -> CurveLine:
    return CurveLine(list(range(1, reps + 1)), [0.4] * reps, [0.5] * reps, [0.6] * reps)


PLOTS = {
    "usual": drawn(),
    "nothing learned": drawn(learned=None, changed=False, sessions=1),
    "one rep": drawn(many(1), learned=None, changed=False, sessions=1),
    "four hundred": drawn(many(400), sessions=80),
}


@pytest.mark.parametrize("name", PLOTS)
def test_a_plot_has_words_and_no_style_of_its_own(name: str) -> None:
    svg = PLOTS[name]
    root = ET.fromstring(svg)
    assert root[0].tag.endswith("title")
    assert root[1].tag.endswith("desc")
    assert "style=" not in svg
    assert not any(ink in svg for ink in INKS)


def test_words_carry_the_numbers() -> None:
    assert "4 reps in 2 sessions, looking back from all of them." in PLOTS["usual"]
    assert "from 30% to 80% (90 % band at the end 60% to 95%)" in PLOTS["usual"]
    assert "Learned from rep 3" in PLOTS["usual"]
    assert "share met between changes, 25% from rep 1, then 100% from rep 3" in PLOTS["usual"]
    assert "Not surely above 60% yet." in PLOTS["nothing learned"]


def test_many_reps_and_sessions_do_not_make_a_plot_of_lines() -> None:
    fewer, more = (drawn(many(100), sessions=sessions).count("<path") for sessions in (50, 80))
    assert fewer > 50
    assert more < fewer - 40
    assert PLOTS["four hundred"].count("<path") < 40
