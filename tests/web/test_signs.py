"""The page Signs: one tap a sign, a reason to clear, and nothing typed is lost."""

from dataclasses import replace

from tests.web import samples
from tests.web.conftest import DeskClient
from tests.web.fakes import FakeJobs

from nares.app.deeds import ClearSigns, NoteSigns
from nares.base.errors import Refused
from nares.base.vocab import SignsStanding
from nares.care.signs import SIGNS

AT = "/dogs/Bracken/signs/"


def test_every_sign_is_a_tap_away_and_what_stands_comes_first(client: DeskClient) -> None:
    page = client.get(AT).content.decode()
    assert all(f'value="{sign.key}"' in page for sign in SIGNS)
    assert page.index("Signs come before the numbers") < page.index("What do you see?")
    assert "This page as JSON" in page


def test_what_was_seen_is_asked_for_as_said(client: DeskClient, fake: FakeJobs) -> None:
    sent = {
        "signs": ["crouch", "yawn"],
        "session": samples.SESSION,
        "rep": "4",
        "latency": "",
        "note": "Wind.",
    }
    answer = client.post(AT, sent)
    assert (answer.status_code, answer.headers["Location"]) == (302, AT)
    assert fake.asked == [
        NoteSigns("Bracken", ("crouch", "yawn"), "Mara Quill", samples.SESSION, 4, "", "Wind.")
    ]


def test_signs_alone_are_enough(client: DeskClient, fake: FakeJobs) -> None:
    assert client.post(AT, {"signs": ["stuck"]}).status_code == 302
    assert fake.asked == [NoteSigns("Bracken", ("stuck",), "Mara Quill")]


def test_nothing_chosen_is_said_and_the_note_is_kept(client: DeskClient, fake: FakeJobs) -> None:
    answer = client.post(AT, {"note": "By the van."})
    page = answer.content.decode()
    assert (answer.status_code, fake.asked) == (422, [])
    assert "Choose what was seen" in page
    assert "By the van." in page


def test_a_refusal_keeps_the_ticks(client: DeskClient, fake: FakeJobs) -> None:
    fake.refuse = Refused("The record refuses.")
    answer = client.post(AT, {"signs": ["whine"]})
    assert answer.status_code == 409
    assert 'value="whine" checked' in answer.content.decode()


def test_what_stands_is_looked_into_with_a_reason(client: DeskClient, fake: FakeJobs) -> None:
    assert client.post(f"{AT}clear/", {"why": "A splinter.", "vet": "on", "seen": "41"}).status_code == 302
    assert fake.asked == [ClearSigns("Bracken", "A splinter.", "Mara Quill", True, 41)]
    assert client.post(f"{AT}clear/", {"why": " "}).status_code == 422


def test_nothing_stands_nothing_to_clear(client: DeskClient, fake: FakeJobs) -> None:
    fake.signs = replace(fake.signs, standing=SignsStanding(0), lines=(), returned=None)
    page = client.get(AT).content.decode()
    assert "No signs stand." in page
    assert "Nothing was written down yet." in page
    assert "It was looked into" not in page


def test_the_twin_and_a_dog_nobody_knows(client: DeskClient) -> None:
    twin = client.get("/dogs/Bracken/signs.json").json()
    assert (twin["schema"], twin["standing"]["level"]) == ("signs/1", 3)
    assert client.get("/dogs/Rex/signs/").status_code == 404


def test_the_dog_page_leads_there(client: DeskClient) -> None:
    assert f'href="{AT}"' in client.get("/dogs/Bracken/").content.decode()
