"""Two observers of kept sessions: machine, what stands, own sheets; and what is said where nothing is."""

import pytest
from tests.app import marked

from nares.app import jobs
from nares.app.agreement_page import AgreementPage
from nares.app.desk import Desk
from nares.base.errors import Unknown


def event(page: AgreementPage, name: str) -> tuple[int, int, int]:
    assert page.agreement is not None
    found = next(one for one in page.agreement.events if one.event == name)
    return found.first, found.second, found.paired


def test_a_session_nobody_corrected_says_how_to_begin(desk: Desk) -> None:
    marked.keep(desk, "moss-11", "Moss")
    page = jobs.agreement_page(desk, session="moss-11")
    assert page.agreement is None
    assert [(one.whose, one.sessions) for one in page.observers] == [("machine", 1), ("standing", 0)]
    assert "Nobody has corrected this session yet" in page.why_none
    assert "put right what is wrong" in page.why_none


def test_a_session_without_recording_says_so(desk: Desk) -> None:
    marked.keep(desk, "moss-11", "Moss")
    page = jobs.agreement_page(desk)
    assert page.read == 1
    assert "Nobody has corrected any of these sessions yet" in page.why_none


def test_what_a_person_changed_shows_as_difference(desk: Desk) -> None:
    marked.keep(desk, "moss-11", "Moss")
    marked.correct(desk, "moss-11")
    page = jobs.agreement_page(desk, session="moss-11")
    assert (page.first, page.second, page.anchored) == ("machine", "standing", True)
    assert event(page, "mark") == (6, 6, 5)
    assert page.agreement is not None
    alone = [(one.event, one.by) for one in page.agreement.alone]
    assert alone == [("mark", 2), ("mark", 1)]  # the one added at 1.5 s, then the one taken away
    marks = next(one for one in page.agreement.events if one.event == "mark")
    assert max(pair.difference_s for pair in marks.pairs) == pytest.approx(0.03)
    assert {plot.of for plot in page.plots} >= {"mark", "hold", "nose_in"}


def test_an_own_sheet_is_compared_with_the_machine_when_nobody_corrected(desk: Desk) -> None:
    marked.keep(desk, "moss-11", "Moss")
    marked.mark_own_sheet(desk, "moss-11", "Ines", off_s=0.02, leave_out=1)
    page = jobs.agreement_page(desk, session="moss-11")
    assert (page.second, page.anchored) == ("Ines", False)
    assert event(page, "mark") == (6, 5, 5)
    assert page.agreement is not None
    assert page.agreement.events[0].timing is not None
    assert page.agreement.events[0].timing.bias.value == pytest.approx(0.02)
    assert any("Ines has no lane of inhalations" in said for said in page.agreement.missing)
    # Where one observer has no mark the hold ends elsewhere: that is no difference in time.
    hold = next(one for one in page.agreement.values if one.value == "hold")
    assert (hold.reps, hold.other_end) == (5, 1)


def test_two_people_are_compared_with_each_other(desk: Desk) -> None:
    marked.keep(desk, "moss-11", "Moss")
    marked.mark_own_sheet(desk, "moss-11", "Ines", off_s=0.02)
    marked.mark_own_sheet(desk, "moss-11", "Tobias", off_s=-0.01)
    page = jobs.agreement_page(desk, session="moss-11", first="Ines", second="Tobias")
    assert page.agreement is not None
    assert (page.agreement.first, page.agreement.second) == ("Ines", "Tobias")
    timing = page.agreement.events[0].timing
    assert timing is not None
    assert timing.bias.value == pytest.approx(-0.03)


def test_over_sessions_only_those_both_have_seen_count(desk: Desk) -> None:
    marked.add_dogs(desk)
    for number, dog in enumerate(("Moss", "Moss", "Eider", "Eider"), start=1):
        marked.keep(desk, f"s{number}", dog, day=number)
    for name in ("s1", "s2", "s3"):
        marked.correct(desk, name)
    page = jobs.agreement_page(desk)
    assert page.read == 4
    assert sorted(page.compared) == ["s1", "s2", "s3"]
    assert page.agreement is not None
    timing = page.agreement.events[0].timing
    assert timing is not None
    assert (timing.clusters, timing.pairs) == (3, 15)
    assert jobs.agreement_page(desk, dog="Eider").compared == ("s3",)


def test_unknown_names_are_refused_in_words(desk: Desk) -> None:
    marked.keep(desk, "moss-11", "Moss")
    with pytest.raises(Unknown, match="Tobias has no sheet of their own here"):
        jobs.agreement_page(desk, session="moss-11", second="Tobias")
    with pytest.raises(Unknown, match="no session"):
        jobs.agreement_page(desk, session="nowhere")
    with pytest.raises(Unknown, match="no dog"):
        jobs.agreement_page(desk, dog="Rex")


def test_the_same_observer_twice_is_no_comparison(desk: Desk) -> None:
    marked.keep(desk, "moss-11", "Moss")
    page = jobs.agreement_page(desk, session="moss-11", first="machine", second="machine")
    assert page.why_none == "Choose two different observers."
