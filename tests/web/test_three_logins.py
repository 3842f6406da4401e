"""A whole double-blind line-up of 20 runs in a real browser: placer, handler and evaluator at once.

A simulated dog, whose nose reads the placements off the placer's screen, settles what is called and seen.
At every stage of every run everything a handler's browser can open is fetched and searched for the key.
"""

import http.client
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright
from tests.web.browsing import ARGUMENTS, CHROMIUM, Watched
from tests.web.sealed import Sealed, sealed, secrets_of
from tests.web.seated import PEOPLE
from tests.web.test_seat_gate import OPEN, SHUT
from tests.web.timelines import served

from nares.app import jobs
from nares.base.lineups import Role

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(CHROMIUM is None, reason="no Chromium found"),
    # The browser driver leaves its own loop's socket to the collector.
    pytest.mark.filterwarnings("ignore::ResourceWarning", "ignore::pytest.PytestUnraisableExceptionWarning"),
]
RUNS = 20
KEYWORDS = re.compile(r'"(placed|holds|placing|container|nonce|observed|right|commitment)":')
STAGES = ("waiting", "shown", "placed", "running", "called", "observed", "open")


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield browser
        browser.close()


def sit(chromium: Browser, root: str, code: str, *, phone: bool) -> Watched:
    size: Any = {"width": 390, "height": 844} if phone else {"width": 1440, "height": 900}
    context = chromium.new_context(viewport=size, has_touch=phone, is_mobile=phone, locale="en-GB")
    page = context.new_page()
    page.set_default_timeout(15_000)
    seen = Watched(page, root)
    seen.open("/seat/")
    page.locator("#id_code").fill(f"{code[:5].lower()} {code[5:]}")
    page.get_by_role("button", name="Sit down").click()
    expect(page.locator("#says")).to_be_visible()
    return seen


def look(page: Page) -> None:
    """Ask again at once rather than at the next second and a half."""
    page.evaluate("dispatchEvent(new Event('online'))")


@dataclass
class Search:
    """What handler's and evaluator's browsers can open, searched for what only the key holds."""

    found: Sealed
    handler: Page
    evaluator: Page
    root: str
    stages: list[tuple[int, str]] = field(default_factory=list)
    answers: int = 0

    def at(self, run: int, stage: str, *, opened: int) -> None:
        secrets = secrets_of(self.key, opened)
        lineup = f"/lineups/{self.found.lineup}"
        near = [
            "/record.json",
            "/record/",
            f"{lineup}/",
            f"{lineup}.json",
            "/seat/placing.pdf",
            "/today.json",
        ]
        whole = sorted({*SHUT, *OPEN, *near})
        for page in (self.handler, self.evaluator):
            # The whole site once a run by the handler, when everything lies there to be found.
            wide = stage == "placed" and (page is self.handler or run == 1)
            for address in ["/seat/", "/seat.json", *(whole if wide else near)]:
                status, said, headers = self.ask(page, address)
                assert [one for one in secrets if one in said] == [], (run, stage, address)
                open_here = address in ("/seat/", "/seat.json")
                assert status in ((200,) if open_here else (403, 405)), (run, stage, address)
                assert headers["Cache-Control"] == "no-store"
        _, twin, _ = self.ask(self.handler, "/seat.json")
        assert KEYWORDS.search(twin) is None
        self.stages.append((run, stage))

    def ask(self, page: Page, address: str) -> tuple[int, str, dict[str, str]]:
        """One answer to this browser's cookies: status, everything it says with its headers, the headers."""
        cookies = "; ".join(f"{one['name']}={one['value']}" for one in page.context.cookies())
        line = http.client.HTTPConnection(self.root.removeprefix("http://"), timeout=30)
        line.request("GET", address, headers={"Cookie": cookies})
        answer = line.getresponse()
        headers = dict(answer.getheaders())
        said = answer.read().decode("utf-8", "replace") + repr(headers)
        line.close()
        self.answers += 1
        return answer.status, said, headers

    @property
    def key(self) -> dict[str, Any]:
        if not hasattr(self, "_key"):
            self._key = self.found.key()
        return self._key


def read_placements(page: Page, run: int) -> tuple[int, ...]:
    """The positions that hold the target, as the placer reads them off the screen."""
    expect(page.locator("h1")).to_have_text(f"Place run {run} of {RUNS}")
    lines = page.locator("#part-placing .placing li").all_text_contents()
    assert len(lines) == 6
    return tuple(int(line.split()[0]) for line in lines if "Target" in line)


def place(page: Page, run: int) -> None:
    if run > 1:
        # It arrived by itself, and is covered until the placer asks for it.
        expect(page.locator(".step-now")).to_be_hidden()
        page.get_by_role("button", name="Show what to place").tap()
    for _ in range(6):
        page.locator(".panel:not([hidden]) .go").tap()
    page.get_by_role("button", name="Placed, I am out of sight").tap()
    expect(page.locator("#part-placing")).to_have_count(0)


def begin(page: Page, run: int) -> None:
    look(page)
    part = page.locator("#part-begin")
    expect(part).to_be_visible()
    expect(page.locator("h1")).to_have_text(f"Run {run} of {RUNS}")
    if run > 1:
        part.get_by_role("button", name=f"The same as in run {run - 1}").click()
    else:
        for role in ("handler", "evaluator"):
            part.get_by_label(PEOPLE[role], exact=True).check()
    part.get_by_role("button", name="Begin the run").click()
    expect(page.locator("#part-watch")).to_be_visible()


def observe(page: Page, alerted_at: int | None) -> None:
    watch = page.locator("#part-watch")
    for position in range(1, (alerted_at or 6) + 1):
        watch.locator(f".choice-tap[data-position='{position}']").click()
    if alerted_at:
        watch.locator("#watch-alert").click()
    else:
        watch.locator("input[name=alerted_at][value=clear]").check()
    watch.get_by_role("button", name="Write it down").click()
    expect(page.locator("#part-seen")).to_be_visible()


def call(page: Page, position: int | None) -> None:
    look(page)
    value = "clear" if position is None else str(position)
    page.locator(f"#part-call input[name=position][value='{value}']").tap()
    page.get_by_role("button", name=f"Call {'clear' if position is None else f'position {position}'}").tap()
    expect(page.locator("#part-called")).to_contain_text(
        "clear" if position is None else f"position {position}"
    )


def open_it(page: Page, run: int) -> None:
    look(page)
    page.get_by_role("button", name=f"Open run {run}").click()
    expect(page.locator("#last-head")).to_contain_text(f"Run {run}: ")


def alert_of(dog: Random, targets: tuple[int, ...]) -> int | None:
    """Where the simulated dog alerts: mostly right, sometimes elsewhere, sometimes not at all."""
    luck = dog.random()
    if targets and luck < 0.85:
        return targets[0]
    return dog.choice([n for n in range(1, 7) if n not in targets]) if luck > 0.9 else None


def test_twenty_runs_by_three_logins_at_once(chromium: Browser, tmp_path: Path) -> None:
    dog = Random(5)
    with sealed(tmp_path / "data") as found, served(found.desk) as root:
        seats: dict[Role, Watched] = {
            role: sit(chromium, root, found.codes[role], phone=role != "evaluator")
            for role in ("placer", "handler", "evaluator")
        }
        placer, handler, evaluator = (seats[role].page for role in ("placer", "handler", "evaluator"))
        search = Search(found, handler, evaluator, root)
        sealed_key = search.key
        alerts: list[int | None] = []
        for run in range(1, RUNS + 1):
            search.at(run, "waiting", opened=run - 1)
            look(placer)
            targets = read_placements(placer, run)
            search.at(run, "shown", opened=run - 1)
            place(placer, run)
            search.at(run, "placed", opened=run - 1)
            begin(evaluator, run)
            search.at(run, "running", opened=run - 1)
            alerted_at = alert_of(dog, targets)
            alerts.append(alerted_at)
            for stage in ("called", "observed") if run % 2 else ("observed", "called"):
                if stage == "called":
                    call(handler, alerted_at)
                else:
                    observe(evaluator, alerted_at)
                search.at(run, stage, opened=run - 1)
            open_it(evaluator, run)
            search.at(run, "open", opened=run)
            look(handler)
            expect(handler.locator("#part-said")).to_contain_text(f"Run {run}")
        evaluator.get_by_role("button", name="Close the line-up").click()
        expect(evaluator.locator("h1")).to_have_text("Closed")
        assert sorted(search.stages) == sorted((n, stage) for n in range(1, RUNS + 1) for stage in STAGES)
        assert search.answers > RUNS * (len(SHUT) + 2 * 7 * 8)
        for watched in seats.values():
            # The page is never told no, loads nothing foreign, and its policy is never broken.
            assert (watched.complaints, watched.outside()) == ([], [])
            watched.page.context.close()
        the_record_bears_it_out(found, sealed_key, alerts)


def the_record_bears_it_out(found: Sealed, key: dict[str, Any], alerts: list[int | None]) -> None:
    page = jobs.lineup_page(found.desk, found.lineup)
    assert page.closed_at
    assert page.holds is True
    assert page.key == key
    assert [run.state for run in page.runs] == ["open"] * RUNS
    assert {frozenset(run.present) for run in page.runs} == {
        frozenset((PEOPLE["handler"], PEOPLE["evaluator"]))
    }
    assert [run.blinding for run in page.runs] == ["double"] * RUNS
    assert [run.called.position if run.called else 0 for run in page.runs] == alerts
    assert [run.observed.alerted_at if run.observed else 0 for run in page.runs] == alerts
    assert any(run.right for run in page.runs)
    order: dict[tuple[int, str], int] = {}
    for number in range(1, found.desk.store.count() + 1):
        entry = found.desk.store.entry(number)
        if "run" in entry.payload:
            order[entry.payload["run"], entry.kind] = number
    for run in range(1, RUNS + 1):
        kinds = ("run_placed", "run_begun", "call_made", "run_observed", "run_opened")
        placed, begun, called, observed, opened = (order[run, kind] for kind in kinds)
        assert placed < begun < min(called, observed)
        assert max(called, observed) < opened
    assert jobs.verify_record(found.desk).holds
