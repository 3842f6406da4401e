"""The pages of scores: what a trainer reads first, what is said of little, and where they lead."""

from tests.web import scored
from tests.web.conftest import DeskClient
from tests.web.fakes import FakeJobs

from nares.app.lineups.score_pages import ScorePage

ADDRESS = f"/lineups/{scored.LINEUP}/score/"


def page(client: DeskClient, address: str = ADDRESS, status: int = 200) -> str:
    answer = client.get(address)
    assert answer.status_code == status
    return answer.content.decode().replace("&#x27;", "'")


def test_the_counts_come_first_with_their_denominators(client: DeskClient, fake: FakeJobs) -> None:
    said = page(client)
    call = fake.score.found.score.call
    assert call is not None
    assert f"<strong>{call.runs.found.k} of {call.runs.found.n}</strong>" in said
    order = ["What it came to", "Telling the target", "A liking for a position", "Distractors and controls"]
    order += ["What the run before leaves behind", "Times", "Handler knew, or was blind"]
    assert [said.index(f">{head}") for head in order] == sorted(said.index(f">{head}") for head in order)
    assert "Wilson" in said
    assert "Clopper-Pearson" in said


def test_what_is_left_out_is_said(client: DeskClient) -> None:
    said = page(client)
    assert "run 11 of Bracken-3 (The dog was called off: a visitor walked in)" in said
    assert "stood still at position 3" in said
    assert "2 are not open yet and not in it" in said


def test_call_and_alert_are_apart_where_they_differ(client: DeskClient, fake: FakeJobs) -> None:
    said = page(client)
    assert "Handler's call</h3>" in said
    assert "Dog's alert</h3>" in said
    assert "Call against alert" in said
    fake.score = scored.all_alike()
    assert "Handler's call</h3>" not in page(client)


def test_every_plot_has_a_table_behind_it(client: DeskClient) -> None:
    said = page(client)
    assert said.count('<svg xmlns="http://www.w3.org/2000/svg"') + said.count("<svg ") >= 3
    for table in ("Numbers behind the sensitivity", "Targets found by position", "False alerts by position"):
        assert f'aria-label="{table}' in said


def test_nothing_open_says_what_to_do(client: DeskClient, fake: FakeJobs) -> None:
    fake.score = scored.nothing_open()
    said = page(client)
    assert "No run is open" in said
    assert "<svg class" not in said
    assert "0 of" not in said.split("Nothing to score yet")[1]


def test_a_dog_without_a_line_up_says_where_to_draw_one(client: DeskClient, fake: FakeJobs) -> None:
    fake.dog_score = scored.dog_without()
    said = page(client, "/dogs/Bracken/lineups/")
    assert "has no line-up yet" in said
    assert 'href="/lineups/new/?dog=Bracken"' in said


def test_a_dogs_line_ups_lead_to_each_score(client: DeskClient) -> None:
    said = page(client, "/dogs/Bracken/lineups/")
    assert 'href="/lineups/Bracken-2/score/"' in said
    assert "3 line-ups together" in said


def test_what_nobody_knows_is_told_in_words(client: DeskClient) -> None:
    assert "no line-up called" in page(client, "/lineups/Rex-1/score/", 404)
    assert "No dog is called 'Rex'" in page(client, "/dogs/Rex/lineups/", 404)


def test_the_dogs_page_and_the_score_lead_to_each_other(client: DeskClient) -> None:
    assert 'href="/dogs/Bracken/lineups/"' in page(client, "/dogs/Bracken/")
    assert 'href="/dogs/Bracken/lineups/"' in page(client)


def test_the_twin_is_what_the_command_gives(client: DeskClient, fake: FakeJobs) -> None:
    said = client.get(f"/lineups/{scored.LINEUP}/score.json").json()
    assert said["schema"] == "lineup-score/1"
    assert {"lineup", "runs", "not_opened", "score", "said"} <= said.keys()
    assert "svg" not in str(said)
    dog = client.get("/dogs/Bracken/lineups.json").json()
    assert (dog["schema"], len(dog["lines"])) == ("dog-lineups/1", 3)
    assert isinstance(fake.score, ScorePage)
