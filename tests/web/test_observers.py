"""The pages Marks and Agreement: what they say, what they say where nothing is, what was typed is kept."""

from dataclasses import replace

from tests.web import observers, samples
from tests.web.conftest import DeskClient
from tests.web.fakes import FakeJobs


def page(client: DeskClient, address: str, status: int = 200) -> str:
    answer = client.get(address)
    assert answer.status_code == status
    return answer.content.decode()


def test_practice_comes_with_its_grounds_and_every_share_with_what_cannot_be_told(client: DeskClient) -> None:
    said = page(client, "/marks/")
    assert "18 marks of 1 session; 9 looked at by a person." in said
    assert "late by much the same" in said
    assert "Grounds: 15 marks against their ask" in said
    assert "<td>15 of 15</td><td>3</td>" in said  # on sniffing: told, and not
    assert "1 left out with reps set aside." in said


def test_every_mark_leads_to_its_moment(client: DeskClient) -> None:
    assert f'href="/sessions/{samples.SESSION}/?at=1.900"' in page(client, "/marks/")


def test_what_is_chosen_goes_to_the_job_and_stays_in_the_form(client: DeskClient, fake: FakeJobs) -> None:
    said = page(client, "/marks/?dog=Bracken&person=Ines+Marlowe&since=2026-03-01&until=")
    assert fake.pages == [{"dog": "Bracken", "person": "Ines Marlowe", "since": "2026-03-01", "until": ""}]
    assert "<option selected>Bracken</option>" in said
    assert 'value="2026-03-01"' in said
    assert 'href="/marks.json?dog=Bracken' in said


def test_a_choice_that_cannot_be_is_said_beside_the_form(client: DeskClient) -> None:
    said = page(client, "/marks/?since=yesterday&dog=Bracken", 422)
    assert "&#x27;yesterday&#x27; is not a day" in said
    assert "<option selected>Bracken</option>" in said


def test_no_marks_yet_says_what_to_do(client: DeskClient, fake: FakeJobs) -> None:
    fake.marks = observers.no_marks()
    said = page(client, "/marks/")
    assert "No mark here yet" in said
    assert "add a recorded session" in said


def test_each_of_several_people_gets_practice_of_their_own(client: DeskClient, fake: FakeJobs) -> None:
    line = observers.marks().by_person[0]
    fake.marks = replace(observers.marks(), by_person=(line, replace(line, name="Tobias Reed")))
    said = page(client, "/marks/")
    assert "<h3>Ines Marlowe</h3>" in said
    assert "<h3>Tobias Reed</h3>" in said
    assert said.count("late by much the same") == 2


def test_events_only_one_has_lead_to_their_moment(client: DeskClient) -> None:
    said = page(client, f"/sessions/{samples.SESSION}/agreement/")
    assert f'<a href="/sessions/{samples.SESSION}/?at=1.900">Mark at 1.90\u00a0s</a>' in said
    assert "Only the machine:" in said
    assert "Only what stands, with corrections:" in said
    assert "Corrections begin from what the machine read" in said


def test_figures_carry_their_counts_and_intervals(client: DeskClient) -> None:
    said = page(client, f"/sessions/{samples.SESSION}/agreement/")
    found = observers.agreement().agreement
    assert found is not None
    mark = found.events[0]
    assert f"<td>{mark.first}</td><td>{mark.second}</td><td>{mark.paired}</td>" in said
    assert "10\u00a0ms (10 to 10)" in said
    assert "They speak of this recording alone." in said


def test_nobody_corrected_yet_says_how_to_begin(client: DeskClient, fake: FakeJobs) -> None:
    fake.agreement = observers.nothing_to_compare()
    said = page(client, f"/sessions/{samples.SESSION}/agreement/")
    assert "Nothing to compare yet" in said
    assert "put right what is wrong" in said


def test_an_unknown_observer_is_said_and_the_page_still_shows(client: DeskClient) -> None:
    said = page(client, f"/sessions/{samples.SESSION}/agreement/?second=Nobody", 404)
    assert "Nobody has no sheet of their own here" in said
    assert "Events both have" in said


def test_over_sessions_it_says_that_sessions_are_counted(client: DeskClient) -> None:
    said = page(client, "/agreement/?dog=Bracken")
    assert "They count sessions" in said
    assert "<option selected>Bracken</option>" in said


def test_an_unknown_session_is_no_page(client: DeskClient) -> None:
    page(client, "/sessions/nowhere/agreement/", 404)
    assert client.get("/sessions/nowhere/agreement.json").status_code == 404


def test_the_ways_there(client: DeskClient) -> None:
    assert 'href="/marks/"' in page(client, "/")
    assert 'href="/marks/?dog=Bracken"' in page(client, "/dogs/Bracken/")
    assert f'href="/sessions/{samples.SESSION}/agreement/"' in page(client, f"/sessions/{samples.SESSION}/")
