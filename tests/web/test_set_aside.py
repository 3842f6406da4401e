"""Setting a rep aside: with a reason, never without."""

from tests.web import samples
from tests.web.conftest import DeskClient
from tests.web.fakes import FakeJobs

from nares.app.deeds import SetAside
from nares.base.errors import Refused

AT = f"/sessions/{samples.SESSION}/reps"


def test_a_rep_is_set_aside_with_its_reason(client: DeskClient, fake: FakeJobs) -> None:
    answer = client.post(f"{AT}/2/set-aside/", {"why": "A door slammed."})
    assert fake.asked == [SetAside(samples.SESSION, 2, "Mara Quill", "A door slammed.")]
    assert answer.headers["Location"] == f"{AT}/5/"


def test_no_reason_no_deed(client: DeskClient, fake: FakeJobs) -> None:
    answer = client.post(f"{AT}/2/set-aside/", {"why": "  "})
    assert answer.status_code == 422
    assert fake.asked == []


def test_a_refusal_keeps_what_was_typed(client: DeskClient, fake: FakeJobs) -> None:
    fake.refuse = Refused("Rep 2 is set aside already.")
    answer = client.post(f"{AT}/2/set-aside/", {"why": "A door slammed."})
    assert answer.status_code == 409
    assert "A door slammed." in answer.content.decode()
