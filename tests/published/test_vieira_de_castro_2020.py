"""Vieira de Castro and others (2020): the stress-related behaviours of Table 2 are all on our list.

Seen as the table on the journal's page. The table gives terms, no levels: those are ours and prove nothing.
"""

import pytest

from nares.care.signs import SIGNS

BODY = (
    "body_turn",
    "move_away",
    "crouch",
    "lies_down",
    "body_shake",
    "yawn",
    "scratch",
    "paw_lift",
    "lip_lick",
)
TABLE_2 = (*BODY, "yelp", "whine", "elimination", "salivating")


@pytest.mark.published(source="vieira-de-castro-2020", at="Table 2, behaviours", seen="read")
@pytest.mark.parametrize("term", TABLE_2)
def test_the_term_is_on_the_list(term: str) -> None:
    assert [sign.term for sign in SIGNS if sign.key == term] == ["published"]


@pytest.mark.published(source="vieira-de-castro-2020", at="Table 2, low posture, ears and tail", seen="read")
def test_its_posture_is_on_the_list() -> None:
    assert {"low_posture", "ears_tail"} <= {sign.key for sign in SIGNS if sign.term == "published"}
