"""The page Cues: the plain sentence first, bans in the address, a cue of one's own."""

from dataclasses import replace

from tests.web.conftest import DeskClient
from tests.web.fakes import FakeJobs

from nares.app.cues.values import NameCue
from nares.base.errors import Refused

AT = "/dogs/Bracken/cues/"


def test_the_verdict_comes_first_then_what_to_do(client: DeskClient) -> None:
    page = client.get(AT).content.decode()
    said = "On these 50 reps the dog cannot tell the target from the hand."
    assert page.index(said) < page.index("Next reps, to tell") < page.index("Cues and pay")
    assert "not a measurement of Bracken" in page
    assert "never tested" in page
    assert page.count("<svg") >= 2


def test_what_is_banned_stands_in_the_address_and_stays_ticked(client: DeskClient) -> None:
    page = client.get(AT, {"reps": "4", "ban": "hand !target"}).content.decode()
    assert 'value="hand !target" checked' in page
    assert "the hand without the target" in page
    assert page.split('class="next-reps"')[1].split("</ol>")[0].count("<li>") == 4
    twin = client.get("/dogs/Bracken/cues.json", {"reps": "4", "ban": "hand !target"}).json()
    assert twin["next"]["banned"] == ["hand !target"]
    assert not any("hand" in r["cues"] and "target" not in r["cues"] for r in twin["next_reps"])


def test_the_twin_is_the_answer_of_the_command(client: DeskClient) -> None:
    twin = client.get("/dogs/Bracken/cues.json").json()
    assert twin["schema"] == "cues/1"
    assert ["target", "hand"] in twin["inseparable"]
    assert twin["own"][0]["cue"] == "rain"


def test_what_cannot_be_asked_is_said_and_the_page_stays(client: DeskClient) -> None:
    answer = client.get(AT, {"reps": "many"})
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "The number of reps is &#x27;many&#x27;" in page
    assert "Cues and pay" in page


def test_a_cue_is_named(client: DeskClient, fake: FakeJobs) -> None:
    answer = client.post(f"{AT}name/", {"cue": "van", "about": "A van in the yard."})
    assert (answer.status_code, answer.headers["Location"]) == (302, f"{AT}#own")
    assert fake.asked == [NameCue("van", "A van in the yard.", "Mara Quill")]


def test_a_refused_name_is_kept_with_its_reason(client: DeskClient, fake: FakeJobs) -> None:
    fake.refuse = Refused("'target' is a cue already.")
    answer = client.post(f"{AT}name/", {"cue": "target"})
    page = answer.content.decode()
    assert answer.status_code == 409
    assert "is a cue already" in page
    assert 'value="target"' in page
    assert client.post(f"{AT}name/", {"cue": ""}).status_code == 422


def test_without_reps_it_says_what_to_do(client: DeskClient, fake: FakeJobs) -> None:
    fake.cues = replace(fake.cues, verdict=None, cues=(), next_reps=None, apart=None, course_svg="")
    page = client.get(AT).content.decode()
    assert "No rep of Bracken is confirmed" in page
    assert "Cues of your own" in page


def test_the_dogs_page_leads_there_and_a_dog_nobody_knows(client: DeskClient) -> None:
    assert f'href="{AT}"' in client.get("/dogs/Bracken/").content.decode()
    assert client.get("/dogs/Rex/cues/").status_code == 404
