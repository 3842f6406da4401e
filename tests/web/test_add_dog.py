"""Adding a dog: the deed, the redirect, the errors in place."""

from tests.web.conftest import DeskClient
from tests.web.fakes import FakeJobs

from nares.app.deeds import AddDog
from nares.base.errors import Refused

TEASEL = {
    "name": "Teasel",
    "breed": "Labrador",
    "born": "2024-05-02",
    "sex": "female",
    "programme": "box",
    "note": "Shy.",
}


def test_a_dog_is_added_and_its_page_opened(client: DeskClient, fake: FakeJobs) -> None:
    answer = client.post("/add-dog/", TEASEL)
    assert fake.asked == [AddDog("Teasel", "Labrador", "2024-05-02", "female", "box", "Shy.")]
    assert answer.headers["Location"] == "/dogs/Teasel/"
    assert "on the record" in client.get("/").content.decode()


def test_a_missing_breed_is_said_beside_it_and_the_name_kept(client: DeskClient, fake: FakeJobs) -> None:
    answer = client.post("/add-dog/", {**TEASEL, "breed": ""})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert 'value="Teasel"' in page
    assert "This field is required." in page
    assert fake.asked == []


def test_a_refusal_is_said_in_place(client: DeskClient, fake: FakeJobs) -> None:
    fake.refuse = Refused("A dog called Teasel is on the record. Take another name.")
    answer = client.post("/add-dog/", TEASEL)
    assert answer.status_code == 409
    assert "A dog called Teasel is on the record." in answer.content.decode()
    assert 'value="Labrador"' in answer.content.decode()


def test_a_name_with_a_slash_still_has_a_page(client: DeskClient, fake: FakeJobs) -> None:
    answer = client.post("/add-dog/", {**TEASEL, "name": "Teasel/2 ?#"})
    assert answer.headers["Location"] == "/dogs/Teasel/2%20%3F%23/"
