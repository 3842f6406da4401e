"""The plots of agreement and marks: themed, readable without sight, and drawn from what they are given."""

import re
import xml.etree.ElementTree as ET

import pytest

from nares.report.agreement_plots import Difference, difference_svg
from nares.report.marking_plots import delays_svg, phases_svg
from nares.report.svg import INKS

PAIRS = [Difference(float(n), 0.01 * (-1) ** n) for n in range(1, 9)]


def differences(pairs: list[Difference] = PAIRS, *, lower_s: float = -0.02, upper_s: float = 0.02) -> str:
    return difference_svg(
        pairs,
        what="mark",
        observers=("the machine", "Ines"),
        bias_s=0.0,
        lower_s=lower_s,
        upper_s=upper_s,
        along="in the recording",
    )


PLOTS = {
    "differences": differences(),
    "delays": delays_svg([-0.2, 0.1, 0.3, 0.9], what="after nose-in", bands_s=(0.131, 0.231), median_s=0.2),
    "phases": phases_svg([0.1, 0.15, 0.9], mean=0.05, length=0.8, low=0.95, high=0.15),
    "no mean": phases_svg([0.0, 0.5], mean=None, length=0.0, low=None, high=None),
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
    assert "8 pairs. Mean difference 0 ms, limits of agreement -20 to 20 ms." in PLOTS["differences"]
    assert "4 marks, median 0.20 s, from -0.20 to 0.90 s. 2 came too soon" in PLOTS["delays"]
    assert "Mean at 0.05 of the sniff, length 0.80." in PLOTS["phases"]
    assert "No mean." in PLOTS["no mean"]


def test_observers_who_agree_to_the_millisecond_do_not_look_far_apart() -> None:
    same = differences([Difference(float(n), 0.0) for n in range(4)], lower_s=0.0, upper_s=0.0)
    labels = re.findall(r">([\u22120-9.]+)</text>", same)
    assert "10" in labels or "10.0" in labels


def test_the_interval_of_the_mean_may_cross_the_top() -> None:
    assert PLOTS["phases"] != phases_svg([0.1, 0.15, 0.9], mean=0.05, length=0.8, low=0.15, high=0.95)
