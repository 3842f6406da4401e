"""The picture of strengths says in words what it shows, and draws no more lines than can be told apart."""

import xml.etree.ElementTree as ET
from itertools import pairwise

from nares.report.cue_plots import MOST_DRAWN, NAMES_APART, CueLine, _spread, strengths_svg


def test_the_picture_names_each_cue_and_when_it_was_tested_apart() -> None:
    drawn = strengths_svg(
        [CueLine("the target", [0.2, 0.5], 1, 2), CueLine("the hand", [0.2, 0.1], 1, None)], ["s1", "s2"]
    )
    root = ET.fromstring(drawn)
    said = next(one.text or "" for one in root if one.tag.endswith("desc"))
    assert "the target 0.50 (first tested apart in session 2)." in said
    assert "the hand 0.10 (never tested apart)." in said
    assert 'style="' not in drawn


def test_names_at_the_ends_of_lines_do_not_lie_on_each_other() -> None:
    heights = sorted(_spread([0.4, 0.4, 0.41, 0.9]))
    assert all(b - a >= NAMES_APART - 1e-9 for a, b in pairwise(heights))


def test_more_cues_than_can_be_told_apart_are_left_to_the_table() -> None:
    lines = [CueLine(f"c{k}", [0.1 * k], 1, None) for k in range(9)]
    drawn = strengths_svg(lines, ["s1"])
    assert f"c{MOST_DRAWN - 1}" in drawn
    assert f">c{MOST_DRAWN}<" not in drawn
