"""No form is taken without its token, and none without a method that writes."""

import re

import pytest
from tests.web import samples
from tests.web.conftest import DeskClient
from tests.web.fakes import FakeJobs

FORMS = [
    "/add-dog/",
    "/person/",
    "/dogs/Bracken/add-session/",
    f"/sessions/{samples.SESSION}/confirm/",
    f"/sessions/{samples.SESSION}/reps/1/confirm/",
    f"/sessions/{samples.SESSION}/reps/1/correct/",
    f"/sessions/{samples.SESSION}/reps/1/set-aside/",
    "/record/amend/",
]
DEEDS = [address for address in FORMS if address not in ("/add-dog/", "/dogs/Bracken/add-session/")]


@pytest.mark.parametrize("address", FORMS)
def test_a_form_without_its_token_is_refused(strict_client: DeskClient, fake: FakeJobs, address: str) -> None:
    answer = strict_client.post(address, {"name": "Teasel", "breed": "Labrador", "why": "x", "person": "Eve"})
    assert answer.status_code == 403
    assert "reload the page" in answer.content.decode()
    assert fake.asked == []


@pytest.mark.parametrize("address", DEEDS)
def test_a_deed_is_not_done_by_a_link(client: DeskClient, fake: FakeJobs, address: str) -> None:
    assert client.get(address).status_code == 405
    assert fake.asked == []


def test_the_token_on_the_page_lets_the_form_through(strict_client: DeskClient, fake: FakeJobs) -> None:
    page = strict_client.get("/add-dog/").content.decode()
    token = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', page)
    assert token
    sent = {"name": "Teasel", "breed": "Labrador", "programme": "box", "csrfmiddlewaretoken": token[1]}
    assert strict_client.post("/add-dog/", sent).status_code == 302
    assert len(fake.asked) == 1
