"""Every page answers, and its JSON twin holds the values of the page."""

import msgspec
import pytest
from tests.web import courses, observers, samples
from tests.web.conftest import DeskClient

from nares import __version__
from nares.app import pages
from nares.app.agreement_page import AgreementPage
from nares.app.card_values import HandlerCard, SessionCard
from nares.app.marks_page import MarksPage
from nares.app.progress_page import ProgressPage

PAGES = [
    "/",
    "/dogs/Bracken/",
    f"/sessions/{samples.SESSION}/",
    f"/sessions/{samples.SESSION}/reps/4/",
    "/record/",
]
PAGES += ["/add-dog/", "/dogs/Bracken/add-session/", "/marks/", "/agreement/"]
PAGES += ["/dogs/Bracken/card/", "/dogs/Bracken/card/?rep=13", "/dogs/Bracken/card/handler/"]
PAGES += ["/dogs/Bracken/progress/", "/dogs/Bracken/cues/"]
PAGES += ["/lineups/Bracken-3/score/", "/dogs/Bracken/lineups/"]
PAGES += [f"/sessions/{samples.SESSION}/agreement/"]
TWINS = [
    ("/.json", "today/1", pages.TodayPage, samples.full_today()),
    ("/today.json", "today/1", pages.TodayPage, samples.full_today()),
    ("/dogs/Bracken/card.json", "card/1", SessionCard, samples.session_card()),
    ("/dogs/Bracken/card/handler.json", "handler-card/1", HandlerCard, samples.handler_card()),
    ("/dogs/Bracken.json", "dog/1", pages.DogPage, samples.dog()),
    (f"/sessions/{samples.SESSION}.json", "session/1", pages.SessionPage, samples.session()),
    ("/marks.json", "marks-page/1", MarksPage, observers.marks()),
    ("/dogs/Bracken/progress.json", "progress-page/1", ProgressPage, courses.progress()),
    ("/agreement.json", "agreement-page/1", AgreementPage, observers.over_sessions()),
    (
        f"/sessions/{samples.SESSION}/agreement.json",
        "agreement-page/1",
        AgreementPage,
        observers.agreement(),
    ),
    ("/record.json", "record/1", pages.RecordPage, samples.record()),
]


@pytest.mark.parametrize("address", PAGES)
def test_a_page_answers(client: DeskClient, address: str) -> None:
    answer = client.get(address)
    assert answer.status_code == 200
    assert answer.headers["Content-Type"].startswith("text/html")


@pytest.mark.parametrize(("address", "schema", "kind", "page"), TWINS)
def test_the_twin_holds_the_same_values(
    client: DeskClient, address: str, schema: str, kind: type, page: object
) -> None:
    said = client.get(address).json()
    assert said.pop("nares") == __version__
    assert said.pop("schema") == schema
    assert msgspec.convert(said, kind) == page


@pytest.mark.parametrize(
    "address", ["/", "/dogs/Bracken/", "/dogs/Bracken/card/", "/dogs/Bracken/add-session/"]
)
def test_the_caution_stands_where_the_risk_arises(client: DeskClient, address: str) -> None:
    page = client.get(address).content.decode()
    assert "can hold and kill a dog" in page
    assert "ask your veterinarian" in page
