"""Change points of the data sets eyeblink and plusmaze, as printed in the README of the R package cpdetectoR.

It translates the authors' program and carries their data. Data and results were read there.
"""

import pytest

from nares.decide.progress.change_points import change_points, stretches

PLUSMAZE = (
    "0100100110001000011101000000000000001110101110010100000100111010101011101111010000101000010101110101"
    "1011101101011110011101010101111110011110110011011110111110111101111101101000111110111001111101101111"
)

EYEBLINK = (
    65 * "0"
    + (
        "11111111111101111111111110100111111111001111111111101111111110110111111"
        "11111101101111111110111111111111011111101111101111111111110111111111111"
        "00101111111110011111111111001111111111101011111111110111011101110111001"
        "10111010101110111011101110111011101010111011101110111011101110111011101"
        "11011101110111011101110111011101110111011101110101011101110111010101110"
    )
    + 80 * "0"
)


def reps(text: str) -> list[int]:
    return [int(one) for one in text]


@pytest.mark.published(
    source="gallistel-2004", at="README, eyeblink, binomial test, criterion 2", seen="read"
)
def test_the_eyeblink_changes_after_65_259_411_and_419() -> None:
    met = reps(EYEBLINK)
    changes = change_points(met, criterion=2)
    assert [change.after for change in changes] == [65, 259, 411, 419]
    slopes = [part.rate for part in stretches(met, changes)]
    assert slopes == pytest.approx([0, 0.8711340, 0.7236842, 0.6250000, 0], abs=5e-8)


@pytest.mark.published(
    source="gallistel-2004", at="README, plusmaze, binomial test, criterion 1.3", seen="read"
)
def test_the_plus_maze_changes_after_22_and_36() -> None:
    met = reps(PLUSMAZE)
    changes = change_points(met, criterion=1.3)
    assert [change.after for change in changes] == [22, 36]
    slopes = [part.rate for part in stretches(met, changes)]
    assert slopes == pytest.approx([0.4090909, 0, 0.6341463], abs=5e-8)


def test_more_proof_asked_for_finds_less() -> None:
    """Not printed: computed once by a separate implementation."""
    assert [one.after for one in change_points(reps(EYEBLINK), criterion=4)] == [65, 395, 419]
    assert [one.after for one in change_points(reps(PLUSMAZE), criterion=2)] == [58]
