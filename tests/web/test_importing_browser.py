"""A spreadsheet brought in with a thumb: the whole flow at 390 px in a real browser, on a real record."""

import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect, sync_playwright
from tests.web.browsing import ARGUMENTS, CHROMIUM, OVERFLOW, TOO_SMALL, Watched, faults_of
from tests.web.test_importing import LOG

from nares.app import jobs
from nares.app.deeds import AddDog
from nares.app.desk import Desk, open_desk
from nares.web.server import make_server

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(CHROMIUM is None, reason="no Chromium found"),
    # The browser driver leaves its own loop's socket to the collector.
    pytest.mark.filterwarnings("ignore::ResourceWarning", "ignore::pytest.PytestUnraisableExceptionWarning"),
]


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with open_desk(tmp_path / "data", person="Mara Quill", kennel="Saltmarsh Kennels", site="yard") as made:
        jobs.add_dog(made, AddDog("Bracken", "Labrador Retriever"))
        yield made


@pytest.fixture
def root(desk: Desk) -> Iterator[str]:
    server = make_server(desk, host="127.0.0.1", port=0)
    thread = threading.Thread(target=server.serve)
    thread.start()
    assert isinstance(server.bind_addr, tuple)
    yield f"http://127.0.0.1:{server.bind_addr[1]}"
    server.stop()
    thread.join()


def test_a_sheet_is_mapped_looked_at_and_kept_on_a_phone(
    chromium: Browser, root: str, desk: Desk, tmp_path: Path
) -> None:
    file = tmp_path / "log.csv"
    file.write_text(LOG, encoding="cp1252")
    page = chromium.new_page(
        viewport={"width": 390, "height": 844}, has_touch=True, color_scheme="dark", locale="en-GB"
    )
    page.set_default_timeout(8000)
    seen = Watched(page, root)
    seen.open("/")
    page.get_by_role("link", name="Bring in a spreadsheet").tap()
    expect(page.get_by_role("heading", name="Brought in before")).to_be_visible()
    assert faults_of(page) == []
    page.get_by_label("The file").set_input_files(file)
    page.get_by_role("button", name="Look at it").tap()
    expect(page.get_by_role("alert")).to_contain_text("Choose the column that says whether a rep was met")
    page.get_by_label("Column E: Verdict").select_option("Met")
    page.get_by_role("button", name="Show what this gives").tap()
    page.get_by_label("Met: hurra").select_option("yes")
    page.get_by_label("Met: schade").select_option("no")
    page.get_by_role("button", name="Show what this gives").tap()
    expect(page.get_by_text("10 reps of 2 sessions can be kept")).to_be_visible()
    assert faults_of(page) == []
    assert page.evaluate(OVERFLOW)[0] <= 0
    assert page.evaluate(TOO_SMALL) == []
    keep = page.get_by_role("button", name="Keep 10 reps")
    page.get_by_label("Hand", exact=True).select_option("away from the box")
    expect(keep).to_be_disabled()
    expect(page.get_by_role("status").last).to_have_text(
        "Changed since it was shown. Look again before keeping."
    )
    page.get_by_role("button", name="Look again").tap()
    keep.tap()
    expect(page.get_by_role("heading", name="Bracken", exact=True)).to_be_visible()
    expect(page.get_by_text("10 reps of 2 sessions from log.csv are on the record")).to_be_visible()
    assert {row.rep.hand for row in desk.store.reps(dog="Bracken")} == {"away"}
    assert seen.outside() == []
    assert seen.complaints == []
    page.close()
