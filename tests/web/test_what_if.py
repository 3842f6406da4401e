"""The page What if: sliders without scripts, its twin, wrong levels; in a browser the results follow."""

import json
from typing import Any

import pytest
from playwright.sync_api import Browser, expect
from tests.web.browsing import CHROMIUM, OVERFLOW, TOO_SMALL, Watched, faults_of
from tests.web.conftest import DeskClient
from tests.web.test_importing import desk as desk
from tests.web.test_importing import door as door
from tests.web.test_importing_browser import chromium as chromium
from tests.web.test_importing_browser import root as root

from nares.app.desk import Desk

AT = "/dogs/Bracken/what-if/"


def text_of(answer: Any) -> str:
    return str(answer.content.decode()).replace("\u00a0", " ").replace("&nbsp;", " ")


def test_the_page_says_what_the_programme_does(door: DeskClient) -> None:
    page = text_of(door.get(AT))
    assert "A dog at 60 % would be raised by luck 1 time in 20" in page
    assert "8 of 8, 11 of 12, 14 of 16" in page
    assert "no hold at this step yet" in page
    assert AT in text_of(door.get("/dogs/Bracken/"))


def test_levels_travel_in_the_address(door: DeskClient, desk: Desk) -> None:
    before = desk.store.head()
    page = text_of(door.get(AT, {"ready": "90", "not_ready": "70"}))
    assert "A dog at 90 % would be raised" in page
    assert 'name="ready" id="id-ready" min="55" max="99" step="1" value="90" data-own="85"' in page
    assert "By the programme" in page
    assert desk.store.head() == before


@pytest.mark.parametrize(
    ("levels", "words"),
    [
        ({"ready": "x"}, "Ready is &#x27;x&#x27;. Give a number, in per cent."),
        ({"ready": "60", "not_ready": "70"}, "Not ready (70 %) is not below ready (60 %)"),
        ({"cap": "900"}, "cannot be looked at"),
        ({"ready": "nan"}, "cannot be looked at"),
        ({"cap": "inf"}, "Cap is &#x27;inf&#x27;"),
    ],
)
def test_levels_that_cannot_be_leave_the_page_standing(
    door: DeskClient, levels: dict[str, str], words: str
) -> None:
    answer = door.get(AT, levels)
    page = text_of(answer)
    assert (answer.status_code, words in page) == (422, True)
    assert "Shown is what the programme says" in page


def test_the_twin_says_the_same(door: DeskClient) -> None:
    page = json.loads(door.get("/dogs/Bracken/what-if.json?ready=90&not_ready=70").content)
    assert (page["schema"], page["levels"]["ready"], page["changed"]) == (
        "what-if/1",
        0.9,
        ["ready", "not_ready"],
    )
    assert door.get("/dogs/Rex/what-if/").status_code == 404
    assert door.post(AT, {}).status_code == 405


@pytest.mark.browser
@pytest.mark.skipif(CHROMIUM is None, reason="no Chromium found")
@pytest.mark.filterwarnings("ignore::ResourceWarning", "ignore::pytest.PytestUnraisableExceptionWarning")
@pytest.mark.parametrize("width", [390, 1440])
def test_the_results_follow_the_sliders(chromium: Browser, root: str, width: int) -> None:
    page = chromium.new_page(viewport={"width": width, "height": 844}, locale="en-GB")
    page.set_default_timeout(15000)
    seen = Watched(page, root)
    seen.open(AT)
    assert faults_of(page) == []
    assert page.evaluate(OVERFLOW)[0] <= 0
    assert page.evaluate(TOO_SMALL) == []
    page.get_by_label("Ready", exact=False).first.focus()
    page.keyboard.press("ArrowRight")
    expect(page.locator("#out-ready")).to_have_text("86\u00a0%")
    expect(page.locator("#results")).to_contain_text("A dog at 86\u00a0% would be raised")
    assert page.url.endswith("?ready=86")
    assert seen.outside() == []
    assert seen.complaints == []
    page.close()
