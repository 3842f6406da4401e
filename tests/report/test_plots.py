"""The plots carry their numbers in words, take the page's colours, and keep to its security policy."""

import xml.etree.ElementTree as ET

import pytest

from nares.report.plots import Curve, RatePoint, hold_svg, success_svg
from nares.report.svg import INKS

POINTS = [
    RatePoint("bracken-01", "hand-inside", 10, 7, 0.7, 0.4, 0.9),
    RatePoint("bracken-02", "hand-side", 12, 11, 11 / 12, 0.65, 0.99),
]
FITTED = Curve([0.0, 2.0, 4.0], [1.0, 0.9, 0.7], [1.0, 0.8, 0.5], [1.0, 0.97, 0.85])
OBSERVED = Curve([0.0, 1.4, 3.0], [1.0, 0.95, 0.8], [1.0, 0.8, 0.6], [1.0, 1.0, 0.9])


@pytest.fixture(params=["success", "hold"])
def plot(request: pytest.FixtureRequest) -> str:
    if request.param == "success":
        return success_svg(POINTS, ready=0.85, not_ready=0.6)
    return hold_svg(OBSERVED, FITTED, longest_asked_s=3.0, ask_s=2.2)


def test_a_plot_has_no_inline_style_and_no_stand_in_colour(plot: str) -> None:
    root = ET.fromstring(plot)
    values = [value for element in root.iter() for value in element.attrib.values()]
    assert not any("style" in element.attrib or element.tag.endswith("style") for element in root.iter())
    assert not set(INKS) & set(values)


def test_a_plot_is_named_and_described_for_a_screen_reader(plot: str) -> None:
    root = ET.fromstring(plot)
    assert root.get("role") == "img"
    assert root[0].tag.endswith("title")
    assert root[0].text
    assert root[1].tag.endswith("desc")


def test_two_plots_on_one_page_share_no_id() -> None:
    ids = [
        {element.get("id") for element in ET.fromstring(text).iter()} - {None}
        for text in (
            success_svg(POINTS, ready=0.85, not_ready=0.6),
            hold_svg(OBSERVED, FITTED, longest_asked_s=3.0, ask_s=None),
        )
    ]
    assert not ids[0] & ids[1]


def test_the_same_values_give_the_same_bytes() -> None:
    first = success_svg(POINTS, ready=0.85, not_ready=0.6)
    assert success_svg(POINTS, ready=0.85, not_ready=0.6) == first


def test_success_says_the_latest_session_with_its_interval() -> None:
    assert "11 of 12 met, 92 % (interval 65 to 99 %)" in success_svg(POINTS, ready=0.85, not_ready=0.6)


def test_hold_draws_the_curve_where_the_chances_are() -> None:
    """Half the chance, half the height: points stand in proportion, up to the longest hold seen."""
    from nares.report.svg import SVG

    root = ET.fromstring(hold_svg(OBSERVED, FITTED, longest_asked_s=3.0, ask_s=None))
    lines = [e for e in root.iter(f"{{{SVG}}}path") if e.get("class") == "plot-stroke-line"]
    words = lines[0].attrib["d"].split()
    heights = [float(words[i + 2]) for i in range(0, len(words), 3)]
    top, middle, bottom = heights
    assert (middle - top) / (bottom - top) == pytest.approx(0.1 / 0.2, abs=0.01)


def test_beyond_the_longest_hold_the_line_is_broken_and_the_band_ends() -> None:
    from nares.report.svg import SVG

    root = ET.fromstring(hold_svg(OBSERVED, FITTED, longest_asked_s=3.0, ask_s=None))
    lines = [e for e in root.iter(f"{{{SVG}}}path") if e.get("class") == "plot-stroke-line"]
    assert [bool(line.get("stroke-dasharray")) for line in lines] == [False, True, True, True]
    assert "beyond, broken lines: not seen" in ET.tostring(root, encoding="unicode")
    whole = ET.fromstring(hold_svg(OBSERVED, FITTED, longest_asked_s=4.0, ask_s=None))
    kept = [e for e in whole.iter(f"{{{SVG}}}path") if e.get("class") == "plot-stroke-line"]
    assert len(kept) == 1
