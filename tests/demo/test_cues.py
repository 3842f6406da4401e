"""The demo kennel's dogs were only ever worked with the target there, and their page of cues says so."""

import pytest

from nares.app.cues.cues_page import cues_of_reps
from nares.app.cues.values import AskCues
from nares.app.tables import reps_of_table
from nares.demo.scenario import DOGS, table_text


@pytest.mark.parametrize("dog", [one.name for one in DOGS])
def test_what_a_demo_dog_cannot_tell_is_said_with_reps_that_would_show_it(dog: str) -> None:
    page = cues_of_reps(reps_of_table(table_text()), AskCues(dog))
    assert page.verdict is not None
    assert page.verdict.kind == "cannot tell"
    assert "had the target" in page.verdict.says[0]
    assert page.next_reps is not None
    assert any(not rep.paid for rep in page.next_reps.reps)
