"""The page Progress: what a trainer reads there, chooses there, and is told where there is little."""

from tests.web import courses
from tests.web.conftest import DeskClient
from tests.web.fakes import FakeJobs

ADDRESS = "/dogs/Bracken/progress/"


def page(client: DeskClient, address: str = ADDRESS, status: int = 200) -> str:
    answer = client.get(address)
    assert answer.status_code == status
    return answer.content.decode().replace("&#x27;", "'")


def test_the_page_says_where_the_dog_stands_and_how_the_curve_was_made(client: DeskClient) -> None:
    said = page(client)
    assert "Learned from rep" in said
    assert "the chance that it is above 60%" in said
    assert "The curve looks back" in said
    assert "may begin anywhere" in said
    assert "95% interval" in said
    assert "<svg" in said


def test_a_step_fallen_back_at_comes_before_the_curve(client: DeskClient) -> None:
    said = page(client)
    assert said.index("Fallen back") < said.index("Learning curve")
    assert "fallen back since rep" in said
    assert "A false alarm about once in 246 reps" in said
    assert "Not tried since" in said


def test_another_step_is_chosen_and_its_twin_follows(client: DeskClient, fake: FakeJobs) -> None:
    said = page(client, ADDRESS + "?step=hand-side")
    assert fake.pages == [{"step": "hand-side"}]
    assert 'href="/dogs/Bracken/progress.json?step=hand-side"' in said


def test_a_step_or_a_dog_nobody_knows_is_told_in_words(client: DeskClient) -> None:
    assert "has no step 'sit'" in page(client, ADDRESS + "?step=sit", 404)
    assert "No dog is called 'Rex'" in page(client, "/dogs/Rex/progress/", 404)


def test_no_rep_yet_says_what_to_do(client: DeskClient, fake: FakeJobs) -> None:
    fake.progress = courses.no_reps()
    said = page(client)
    assert "No counted reps at Value at source yet." in said
    assert "confirm those of the last session, or add one" in said
    assert "nothing to fall back from" in said
    assert '<svg class="plot"' not in said


def test_the_dog_page_leads_here(client: DeskClient) -> None:
    assert f'href="{ADDRESS}"' in page(client, "/dogs/Bracken/")
