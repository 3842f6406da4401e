"""Deciding otherwise in the browser: with a reason, both kept, the outcome told."""

from dataclasses import replace

from tests.web import judged
from tests.web.conftest import DeskClient
from tests.web.fakes import FakeJobs

from nares.app.deeds import OverruleCall, WithdrawOverruling
from nares.base.errors import Refused

AT = "/dogs/Bracken/overrule/"
SENT = {"call": "ease", "next_step": "", "why": "He limps a little.", "seen": "39"}


def test_deciding_otherwise_is_asked_for_as_said(client: DeskClient, fake: FakeJobs) -> None:
    answer = client.post(AT, SENT)
    assert (answer.status_code, answer.headers["Location"]) == (302, "/dogs/Bracken/")
    assert fake.asked == [OverruleCall("Bracken", "ease", "He limps a little.", "Mara Quill", "", 39)]


def test_a_step_may_be_named(client: DeskClient, fake: FakeJobs) -> None:
    client.post(AT, {**SENT, "next_step": "nose-in"})
    assert fake.asked[0].next_step == "nose-in"  # type: ignore[union-attr]


def test_no_reason_no_deed(client: DeskClient, fake: FakeJobs) -> None:
    answer = client.post(AT, {**SENT, "why": " "})
    assert (answer.status_code, fake.asked) == (422, [])


def test_a_refusal_keeps_what_was_typed(client: DeskClient, fake: FakeJobs) -> None:
    fake.refuse = Refused("Signs of stress of Bracken stand.")
    answer = client.post(AT, SENT)
    assert answer.status_code == 409
    assert "He limps a little." in answer.content.decode()


def test_an_overruling_is_taken_back_with_a_reason(client: DeskClient, fake: FakeJobs) -> None:
    assert client.post(f"{AT}withdraw/", {"why": "Too soon.", "seen": "39"}).status_code == 302
    assert fake.asked == [WithdrawOverruling("Bracken", "Too soon.", "Mara Quill", 39)]
    assert client.post(f"{AT}withdraw/", {"why": ""}).status_code == 422


def test_advice_decision_and_outcome_are_shown(client: DeskClient) -> None:
    for address in (AT, "/overrulings/"):
        page = client.get(address).content.decode()
        assert "too few to say" in page
        assert "<td>Stay</td><td>" in page
        assert "bore out" in page
        assert "Taken back: too soon" in page


def test_the_dog_page_says_who_decided_what(client: DeskClient, fake: FakeJobs) -> None:
    fake.dog = replace(fake.dog, card=replace(fake.dog.card, call=fake.overrulings.call))
    page = client.get("/dogs/Bracken/").content.decode()
    assert "decided this instead of stay: He held longer at home." in page
    assert f'href="{AT}"' in page


def test_without_a_call_there_is_no_form(client: DeskClient, fake: FakeJobs) -> None:
    fake.overrulings = replace(fake.overrulings, call=None, lines=(), tallies=())
    page = client.get(AT).content.decode()
    assert "Nothing has been called" in page
    assert "Decide this instead" not in page


def test_the_twins(client: DeskClient) -> None:
    assert client.get("/dogs/Bracken/overrule.json").json()["dog"] == "Bracken"
    assert client.get("/overrulings.json").json()["schema"] == "overrulings/1"
    assert client.get("/dogs/Rex/overrule/").status_code == 404


def test_the_dog_page_tells_what_is_known_of_what_was_too_much(client: DeskClient, fake: FakeJobs) -> None:
    fake.dog = replace(fake.dog, card=replace(fake.dog.card, call=judged.isolating()))
    page = client.get("/dogs/Bracken/").content.decode()
    assert "What was too much at Handler 2 m away?" in page
    assert "4 of 5 met, open" in page
    assert "Hand: never tried apart from hold." in page
    assert "Mild disturbance: which raises disturbance instead." in page
    twin = client.get("/dogs/Bracken.json").json()["card"]["call"]
    assert [probe["state"] for probe in twin["isolating"]["probes"]] == ["not restored", "open", "untried"]
