"""The seats in a real browser with samples behind them: looks, one thumb, no scripts, no connection."""

import threading
from collections.abc import Iterator
from dataclasses import replace
from typing import Any, Literal

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright
from tests.web.browsing import ARGUMENTS, CHROMIUM, OVERFLOW, SCREENS, TOO_SMALL, Watched, faults_of
from tests.web.fakes import FakeJobs
from tests.web.seated import (
    DESK_SEATED,
    HIDDEN,
    OPENED,
    SEEN,
    FakeSeats,
    evaluating,
    handling,
    placing,
)

from nares.app import jobs
from nares.app.lineups.requests import BeginRun, MakeCall, ObserveRun
from nares.base.errors import Refused
from nares.base.lineups import Called, Role, Shape, Visit
from nares.web.server import make_server

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(CHROMIUM is None, reason="no Chromium found"),
    # The browser driver leaves its own loop's socket to the collector.
    pytest.mark.filterwarnings("ignore::ResourceWarning", "ignore::pytest.PytestUnraisableExceptionWarning"),
]
Theme = Literal["light", "dark"]
LOOKS: list[tuple[int, Theme]] = [(390, "light"), (390, "dark"), (1440, "light"), (1440, "dark")]
CODE = {"placer": "PLACERCODE", "handler": "HANDLERCDE", "evaluator": "EVALUATRCD", "recorder": "RECRDERCDE"}
CALLED = Called(3, 3, "Mara Quill", "2026-03-14T14:02:11.000Z")
SHOWN: dict[str, tuple[Role, Any]] = {
    "placer": ("placer", placing()),
    "placer-done": (
        "placer",
        placing(state="placed", says="Run 3 is placed. Nothing to do until it is over."),
    ),
    "handler-call": ("handler", handling()),
    "handler-called": ("handler", handling(state="called", called=CALLED, says="The call stands.")),
    "handler-outcome": (
        "handler",
        handling(state="waiting", run=4, said="Do not pay", says="Wait for run 4."),
    ),
    "evaluator-begin": ("evaluator", evaluating(state="placed", began_at=None, says="Run 3 is placed.")),
    "evaluator-watch": ("evaluator", evaluating()),
    "evaluator-open": ("evaluator", evaluating(state="observed", called=True, observed=SEEN)),
    "evaluator-opened": ("evaluator", evaluating(state="waiting", began_at=None, run=4, last=OPENED)),
    "recorder": ("recorder", evaluating("recorder")),
}


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture
def seats(monkeypatch: pytest.MonkeyPatch, fake: FakeJobs) -> FakeSeats:
    made = FakeSeats()
    made.put_in(monkeypatch)
    return made


@pytest.fixture
def root(seats: FakeSeats) -> Iterator[str]:
    server = make_server(DESK_SEATED, host="127.0.0.1", port=0)
    thread = threading.Thread(target=server.serve)
    thread.start()
    assert isinstance(server.bind_addr, tuple)
    yield f"http://127.0.0.1:{server.bind_addr[1]}"
    server.stop()
    thread.join()


def sat(
    chromium: Browser, root: str, role: str, *, width: int = 390, theme: Theme = "light", **context: Any
) -> Watched:
    phone = width < 500
    made: BrowserContext = chromium.new_context(
        viewport={"width": width, "height": 844 if phone else 900},
        color_scheme=theme,
        has_touch=phone,
        is_mobile=phone,
        locale="en-GB",
        timezone_id="UTC",
        **context,
    )
    page = made.new_page()
    page.set_default_timeout(8000)
    seen = Watched(page, root)
    seen.open("/seat/")
    page.locator("#id_code").fill(CODE[role].lower())
    page.get_by_role("button", name="Sit down").click()
    expect(page.locator("#says")).to_be_visible()
    return seen


def keeps_to_the_rules(seen: Watched, name: str) -> None:
    page = seen.page
    wide, over = page.evaluate(OVERFLOW)
    assert (name, min(wide, 0), over) == (name, wide, [])
    assert (name, page.evaluate(TOO_SMALL)) == (name, [])
    assert (name, faults_of(page)) == (name, [])
    assert (seen.complaints, seen.outside()) == ([], [])


@pytest.mark.parametrize(("width", "theme"), LOOKS)
def test_every_seat_keeps_to_the_rules(
    chromium: Browser, root: str, seats: FakeSeats, width: int, theme: Theme
) -> None:
    SCREENS.mkdir(parents=True, exist_ok=True)
    seen: dict[str, Watched] = {}
    for name, (role, page) in SHOWN.items():
        seats.pages[role] = page
        shown = seen.get(role) or sat(chromium, root, role, width=width, theme=theme)
        seen[role] = shown
        shown.open("/seat/")
        expect(shown.page.locator("#says")).to_have_text(page.says)
        shown.page.screenshot(path=SCREENS / f"seat-{name}-{width}-{theme}.png", full_page=True)
        shown.page.evaluate(
            "document.querySelectorAll('main details').forEach((part) => { part.open = true; })"
        )
        keeps_to_the_rules(shown, name)
    for shown in seen.values():
        shown.page.context.close()


@pytest.mark.parametrize(("width", "theme"), LOOKS)
def test_the_page_of_the_code_keeps_to_the_rules(
    chromium: Browser, root: str, width: int, theme: Theme
) -> None:
    page = chromium.new_page(viewport={"width": width, "height": 844}, color_scheme=theme)
    seen = Watched(page, root)
    seen.open("/seat/")
    page.screenshot(path=SCREENS / f"seat-code-{width}-{theme}.png")
    keeps_to_the_rules(seen, "code")
    page.locator("#id_code").fill("WRONG")
    page.get_by_role("button", name="Sit down").click()
    expect(page.locator("[role=alert]")).to_contain_text("opens no seat")
    seen.complaints.clear()  # the browser itself remarks on the status
    keeps_to_the_rules(seen, "wrong code")
    page.close()


SHAPES: tuple[tuple[Shape, int], ...] = (
    ("straight", 10), ("ring", 8), ("boxes", 10), ("cans", 12), ("room", 16), ("vehicles", 7),
    ("parcels", 30),
)  # fmt: skip


def test_every_shape_can_be_called_on_a_phone(chromium: Browser, root: str, seats: FakeSeats) -> None:
    seen = sat(chromium, root, "handler")
    for shape, positions in SHAPES:
        area = jobs.lineup_area(shape, positions, "Long barn")
        seats.pages["handler"] = handling(area=area, says=f"{shape} of {positions}")
        seen.open("/seat/")
        page = seen.page
        expect(page.locator("#says")).to_have_text(f"{shape} of {positions}")
        page.screenshot(path=SCREENS / f"seat-shape-{shape}-390.png", full_page=True)
        assert page.evaluate(OVERFLOW)[1] == []
        assert page.evaluate(TOO_SMALL) == []
        expect(page.locator(".choice")).to_have_count(positions + 1)
        page.locator(f".plan-spot[data-position='{positions}']").tap()  # on the plan itself, too
        expect(page.locator(".call-send button")).to_have_text(f"Call position {positions}")
    assert seen.complaints == []
    page.context.close()


def test_a_run_that_arrives_by_itself_is_covered(chromium: Browser, root: str, seats: FakeSeats) -> None:
    seats.pages["placer"] = placing(state="placed", says="Placed.")
    page = sat(chromium, root, "placer").page
    seats.pages["placer"] = placing(says="Place run 3.")
    expect(page.locator("#says")).to_have_text("Place run 3.")
    expect(page.get_by_role("button", name="Show what to place")).to_be_visible()
    assert "Distractor" not in page.locator("body").inner_text()
    page.get_by_role("button", name="Show what to place").tap()
    expect(page.locator(".step-now")).to_contain_text("Position 1")
    page.context.close()


def test_who_was_present_is_taken_over_by_one_tap(chromium: Browser, root: str, seats: FakeSeats) -> None:
    last = replace(OPENED, present=("Mara Quill", "Ines Harrow"))
    seats.pages["evaluator"] = evaluating(state="placed", began_at=None, last=last)
    page = sat(chromium, root, "evaluator").page
    expect(page.get_by_label("Mara Quill")).not_to_be_checked()
    page.get_by_role("button", name="The same as in run 2").tap()
    page.get_by_role("button", name="Begin the run").tap()
    expect(page.locator(".said")).to_contain_text("It is on the record.")
    (asked,) = [one for one in seats.asked if isinstance(one, BeginRun)]
    assert asked.present == ("Mara Quill", "Ines Harrow")
    page.context.close()


def chosen_call(page: Page, position: int) -> None:
    page.locator(f"input[name=position][value='{position}']").tap()
    expect(page.locator(".call-send button")).to_have_text(f"Call position {position}")


def test_a_call_takes_two_taps_of_one_thumb(chromium: Browser, root: str, seats: FakeSeats) -> None:
    page = sat(chromium, root, "handler").page
    chosen_call(page, 2)
    chosen_call(page, 5)
    send = page.locator(".call-send button")
    box = send.bounding_box()
    assert box
    assert box["y"] + box["height"] <= 844  # at the thumb, without scrolling
    send.tap()
    expect(page.locator(".said")).to_contain_text("It is on the record.")
    assert [(one.run, one.position) for one in seats.asked if isinstance(one, MakeCall)] == [(3, 5)]
    page.context.close()


def test_a_call_is_kept_and_sent_again_when_the_server_answers(
    chromium: Browser, root: str, seats: FakeSeats
) -> None:
    page = sat(chromium, root, "handler").page
    chosen_call(page, 4)
    page.context.set_offline(True)
    page.locator(".call-send button").tap()
    expect(page.locator("#line")).to_contain_text("Your call, position 4, is kept and is sent again")
    expect(page.locator("input[name=position][value='2']")).to_be_disabled()
    assert not any(isinstance(one, MakeCall) for one in seats.asked)
    page.context.set_offline(False)
    expect(page.locator(".said")).to_contain_text("It is on the record.")
    expect(page.locator("#line")).to_have_text("Connected again.")
    assert [one.position for one in seats.asked if isinstance(one, MakeCall)] == [4]
    page.context.close()


def test_a_call_whose_answer_was_lost_is_the_same_call_again(
    chromium: Browser, root: str, seats: FakeSeats
) -> None:
    page = sat(chromium, root, "handler").page
    lost: list[str] = []

    def lose_once(route: Any) -> None:
        answer = route.fetch(max_redirects=0)  # the server has taken it
        if lost:
            route.fulfill(response=answer)
        else:
            lost.append(answer.url)
            route.abort()

    page.route("**/seat/call/", lose_once)
    chosen_call(page, 6)
    page.locator(".call-send button").tap()
    expect(page.locator("#line")).to_contain_text("is kept")
    page.unroute("**/seat/call/")
    expect(page.locator(".said")).to_contain_text("It is on the record.")
    calls = [one for one in seats.asked if isinstance(one, MakeCall)]
    assert len(calls) == 2
    assert calls[0] == calls[1]
    page.context.close()


def test_what_happens_elsewhere_arrives_and_nothing_typed_or_chosen_is_lost(
    chromium: Browser, root: str, seats: FakeSeats
) -> None:
    seen = sat(chromium, root, "evaluator")
    page = seen.page
    page.locator("#id_note").fill("Wind from the left, half")
    page.locator("#part-watch input[name=alerted_at][value='2']").check()
    page.locator("#id_note").focus()
    seats.pages["evaluator"] = evaluating(called=True, state="called", says="The call is in.")
    expect(page.locator("#says")).to_have_text("The call is in.")
    expect(page.locator("#part-ins")).to_contain_text("Call: in")
    page.keyboard.type(" typed")
    expect(page.locator("#id_note")).to_have_value("Wind from the left, half typed")
    expect(page.locator("#part-watch input[name=alerted_at][value='2']")).to_be_checked()
    assert seen.complaints == []
    page.context.close()


def test_taps_become_visits_latency_and_alert_and_survive_a_reload(
    chromium: Browser, root: str, seats: FakeSeats
) -> None:
    page = sat(chromium, root, "evaluator").page
    tap = "#watch-taps button[data-position='{}']"
    page.locator(tap.format(1)).tap()
    page.wait_for_timeout(300)
    page.locator(tap.format(3)).tap()
    page.locator("#watch-alert").tap()
    page.locator("#watch-undo").tap()
    page.locator(tap.format(5)).tap()
    page.reload()
    expect(page.locator(tap.format(5))).to_have_attribute("aria-pressed", "true")
    page.wait_for_timeout(300)
    page.locator("#watch-alert").tap()
    page.locator(tap.format(5)).tap()
    expect(page.locator("#part-watch input[name=alerted_at][value='5']")).to_be_checked()
    page.get_by_role("button", name="Write it down").click()
    expect(page.locator(".said")).to_contain_text("It is on the record.")
    (asked,) = [one for one in seats.asked if isinstance(one, ObserveRun)]
    seen = asked.observed
    assert (seen.run, seen.alerted_at) == (3, 5)
    assert [(visit.position, visit.alerted) for visit in seen.visits] == [(1, False), (3, False), (5, True)]
    first, second, third = seen.visits
    assert isinstance(first, Visit)
    assert first.stayed_s == pytest.approx(second.from_s - first.from_s, abs=0.11)
    assert first.stayed_s >= 0.2
    assert seen.latency_s is not None
    tenth_s = 0.1001  # times are told in tenths, each rounded by itself
    assert third.from_s - tenth_s <= seen.latency_s <= third.from_s + third.stayed_s + tenth_s
    assert first.from_s >= 10  # the run had begun ten seconds before the page was made
    page.context.close()


def test_the_placer_hides_the_screen_and_goes_step_by_step(
    chromium: Browser, root: str, seats: FakeSeats
) -> None:
    page = sat(chromium, root, "placer").page
    expect(page.locator(".step-now")).to_contain_text("Position 1")
    page.locator(".panel:not([hidden]) .go").tap()
    expect(page.locator(".panel:not([hidden])")).to_contain_text("Position 2")
    page.locator("#hide").tap()
    assert HIDDEN not in page.locator("body").inner_text()
    assert "Distractor" not in page.locator("body").inner_text()
    page.wait_for_timeout(2000)  # asking again does not bring it back
    assert "Distractor" not in page.locator("body").inner_text()
    page.locator("#uncover").tap()
    expect(page.locator(".panel:not([hidden])")).to_contain_text("Position 2")
    for _ in range(5):
        page.locator(".panel:not([hidden]) .go").tap()
    seats.pages["placer"] = placing(state="placed", says="Placed.")
    page.get_by_role("button", name="Placed, I am out of sight").tap()
    expect(page.locator("#says")).to_have_text("Placed.")
    assert HIDDEN not in page.content()
    page.context.close()


def test_a_lost_connection_is_said_and_taken_back(chromium: Browser, root: str) -> None:
    page = sat(chromium, root, "recorder").page
    page.context.set_offline(True)
    expect(page.locator("#line")).to_contain_text("No answer from nares since")
    page.context.set_offline(False)
    expect(page.locator("#line")).to_have_text("Connected again.")
    page.context.close()


def test_a_refused_deed_is_said_in_place(chromium: Browser, root: str, seats: FakeSeats) -> None:
    seats.pages["evaluator"] = evaluating(state="placed", began_at=None)
    page = sat(chromium, root, "evaluator").page
    seats.refuse = Refused("The handler must be present.")
    page.get_by_label("Ines Harrow").check()
    page.get_by_role("button", name="Begin the run").tap()
    expect(page.locator("#part-faults")).to_have_text("The handler must be present.")
    expect(page.get_by_label("Ines Harrow")).to_be_checked()
    page.context.close()


def test_without_scripts_a_whole_run_goes_by(chromium: Browser, root: str, seats: FakeSeats) -> None:
    off: dict[str, Any] = {"java_script_enabled": False}
    handler = sat(chromium, root, "handler", **off).page
    handler.locator("input[name=position][value=clear]").check()
    handler.get_by_role("button", name="Make the call").click()
    expect(handler.locator(".said")).to_contain_text("It is on the record.")
    handler.get_by_role("link", name="Look again").click()
    evaluator = sat(chromium, root, "evaluator", **off).page
    evaluator.locator("input[name=alerted_at][value='4']").check()
    evaluator.get_by_label("Start to alert").fill("11.5")
    evaluator.get_by_text("Times as lines").click()
    evaluator.locator("#id_visits").fill("4 9.5 6 alert")
    evaluator.get_by_role("button", name="Write it down").click()
    expect(evaluator.locator(".said")).to_contain_text("It is on the record.")
    placer = sat(chromium, root, "placer", **off).page
    for _ in range(6):
        placer.locator(".panel:not([hidden]) .go").click()
    placer.get_by_role("button", name="Placed, I am out of sight").click()
    expect(placer.locator(".said")).to_contain_text("It is on the record.")
    made = [type(one).__name__ for one in seats.asked]
    assert made == ["TakeSeat", "MakeCall", "TakeSeat", "ObserveRun", "TakeSeat", "PlaceRun"]
    seen = seats.asked[3].observed
    assert seen == replace(seen, alerted_at=4, latency_s=11.5, visits=(Visit(4, 9.5, 6.0, True),))
    for page in (handler, evaluator, placer):
        page.context.close()
