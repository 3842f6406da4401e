"""The timeline in a real browser: by keyboard, mouse and touch, off line, with two people, in both themes."""

import json
import random
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path
from typing import Any, Literal

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright
from tests.web.browsing import ARGUMENTS, CHROMIUM, OVERFLOW, SCREENS, TOO_SMALL, Watched, faults_of
from tests.web.timelines import SESSION, TIMELINE, desk_with, served, short_lanes, write_film

from nares.app import jobs
from nares.app.deeds import ConfirmReps, CorrectEvents
from nares.app.desk import Desk
from nares.measure.corrections import Edit, read_events, stands

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(CHROMIUM is None, reason="no Chromium found"),
    # The browser driver leaves its own loop's socket to the collector.
    pytest.mark.filterwarnings("ignore::ResourceWarning", "ignore::pytest.PytestUnraisableExceptionWarning"),
]
Theme = Literal["light", "dark"]
LOOKS: list[tuple[int, Theme]] = [(390, "light"), (390, "dark"), (1440, "light"), (1440, "dark")]


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture(scope="module")
def film(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_film(tmp_path_factory.mktemp("film") / "yard.mp4", [2.5, 6.2, 10.0], seconds=12)


@pytest.fixture
def desk(tmp_path: Path, film: Path) -> Iterator[Desk]:
    with desk_with(tmp_path / "data", film, short_lanes(), seconds=12) as made:
        yield made


@pytest.fixture
def root(desk: Desk) -> Iterator[str]:
    with served(desk) as address:
        yield address


def opened(
    chromium: Browser, root: str, address: str = TIMELINE, *, width: int = 1440, theme: Theme = "light"
) -> Watched:
    phone = width < 500
    page = chromium.new_page(
        viewport={"width": width, "height": 844 if phone else 900},
        color_scheme=theme,
        has_touch=phone,
        is_mobile=phone,
        reduced_motion="reduce" if theme == "dark" else "no-preference",
        locale="en-GB",
    )
    page.set_default_timeout(8000)
    seen = Watched(page, root)
    seen.open(address)
    expect(page.locator("#saved")).to_have_text("Saved.")
    return seen


def press(page: Page, keys: str) -> None:
    for key in keys.split():
        page.keyboard.press(key)


def saved(page: Page) -> None:
    expect(page.locator("#saved")).to_have_text("Saved.")


def edits(desk: Desk) -> list[tuple[str, str, tuple[float, ...]]]:
    return [(one.deed, one.lane, one.now) for one in jobs.timeline_page(desk, SESSION).edits]


def marks(desk: Desk) -> list[float]:
    return [mark.at_s for mark in jobs.lanes_as(desk, SESSION, "standing").marks or ()]


@pytest.mark.parametrize(("width", "theme"), LOOKS)
@pytest.mark.parametrize("sheet", ["", "own/"])
def test_the_page_keeps_to_the_rules(
    chromium: Browser, root: str, sheet: str, width: int, theme: Theme
) -> None:
    seen = opened(chromium, root, TIMELINE + sheet, width=width, theme=theme)
    page = seen.page
    press(page, "m" if sheet else "w")
    expect(page.locator(".event.chosen")).to_have_count(1)
    page.evaluate("document.querySelectorAll('main details').forEach((part) => { part.open = true; })")
    SCREENS.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=SCREENS / f"timeline{sheet.strip('/')}-{width}-{theme}.png")
    wide, over = page.evaluate(OVERFLOW)
    assert (min(wide, 0), over) == (wide, [])
    assert page.evaluate(TOO_SMALL) == []
    assert faults_of(page) == []
    assert (seen.complaints, seen.outside()) == ([], [])
    page.close()


def test_a_session_is_put_right_by_keyboard_and_the_call_changes(
    chromium: Browser, root: str, desk: Desk
) -> None:
    row = jobs.session_page(desk, SESSION).reps[0].proposed
    assert row is not None
    jobs.confirm_reps(desk, ConfirmReps(SESSION, "Mara Quill", (row,)))
    seen = opened(chromium, root)
    page = seen.page
    # The most doubtful first.
    press(page, "w")
    expect(page.locator("#readout")).to_contain_text("Mark at 10.000 s, 62 % sure")
    press(page, ".")
    expect(page.locator("#readout")).to_contain_text(
        "Mark at 10.040 s, set by Mara Quill; the machine had 10.000 s"
    )
    press(page, "w")
    expect(page.locator("#readout")).to_contain_text("Doubtful mark at 6.200 s, 35 % sure")
    press(page, "y")
    expect(page.locator("#readout")).to_contain_text("Nose in from 9.000 s")
    press(page, "t , , y")
    # The first rep's mark fell half a second sooner than the machine heard: its hold no longer meets the ask.
    press(page, "ArrowUp ArrowUp ArrowUp ] ]")
    for _ in range(14):
        if "Mark at 2.500 s" in str(page.locator("#readout").text_content()):
            break
        press(page, "]")
    expect(page.locator("#readout")).to_contain_text("Mark at 2.500 s")
    press(page, "Shift+ArrowLeft s")
    saved(page)
    assert marks(desk) == pytest.approx([1.52, 6.2, 10.04], abs=0.021)
    page.reload()
    saved(page)
    press(page, "0")
    expect(page.locator(".lane-marks .outline.read")).to_have_count(3)
    expect(page.locator(".lane-marks .event")).to_have_count(3)
    reading = jobs.session_page(desk, SESSION).reading
    assert reading is not None
    assert [mark.at_s for mark in reading.marks] == [2.5, 10.0]
    page.goto(f"{root}/sessions/{SESSION}/reps/1/")
    expect(page.locator("#rep-panel")).to_contain_text("hold 1.50 s is now 0.5")
    page.get_by_role("button", name="Take the corrected values").click()
    expect(page.locator(".said")).to_contain_text("confirmed")
    page.goto(f"{root}/dogs/Bracken/")
    expect(page.locator("main")).to_contain_text("0 of 1")
    assert (seen.complaints, seen.outside()) == ([], [])
    page.close()


WAITING = """() => Object.entries(localStorage).filter(([key]) => key.startsWith("nares-edit:")).sort()"""
THIRD = {"edit": "third", "lane": "marks", "deed": "added", "event": "third", "was": [], "now": [8.0]}


def test_nothing_is_lost_off_line_and_everything_arrives_once(
    chromium: Browser, root: str, desk: Desk
) -> None:
    page = opened(chromium, root).page
    page.context.set_offline(True)
    press(page, "ArrowRight m ArrowRight ArrowRight m")
    expect(page.locator("#saved")).to_have_text("2 changes wait for the connection.")
    expect(page.locator("#send-again")).to_be_visible()
    assert edits(desk) == []
    kept = page.evaluate(WAITING)
    assert len(kept) == 2
    page.goto("about:blank")
    page.context.set_offline(False)
    # What a page sends while it is left can slip past the switch in this browser, so a third change, known to
    # this browser only, shows that what was kept is sent by the next page.
    page.goto(root + "/")
    page.evaluate("([key, edit]) => localStorage.setItem(key + '9', edit)", [kept[-1][0], json.dumps(THIRD)])
    page.goto(root + TIMELINE)
    saved(page)
    assert [deed for deed, _, _ in edits(desk)] == ["added", "added", "added"]
    page.reload()
    saved(page)
    assert len(edits(desk)) == 3
    assert page.evaluate(WAITING) == []
    page.close()


def test_an_answer_lost_on_the_way_is_asked_for_again(chromium: Browser, root: str, desk: Desk) -> None:
    page = opened(chromium, root).page
    lost: list[str] = []

    def lose_once(route: Any) -> None:
        answer = route.fetch()  # the server has taken it
        if lost:
            route.fulfill(response=answer)
        else:
            lost.append(answer.url)
            route.abort()

    page.route("**/edits.json", lose_once)
    press(page, "m")
    saved(page)
    assert (len(lost), len(edits(desk))) == (1, 1)
    page.close()


def test_what_the_server_does_not_take_is_said_and_kept(chromium: Browser, root: str, desk: Desk) -> None:
    page = opened(chromium, root).page
    said = json.dumps({"status": 409, "error": "The session was measured again meanwhile."})
    page.route(
        "**/edits.json", lambda route: route.fulfill(status=409, content_type="application/json", body=said)
    )
    press(page, "m")
    expect(page.locator("#saved")).to_have_text(
        "1 change not saved: The session was measured again meanwhile."
    )
    page.unroute("**/edits.json")
    page.locator("#send-again").click()
    saved(page)
    assert len(edits(desk)) == 1
    page.close()


def lanes_now(page: Page) -> list[str]:
    page.locator("#event-list").evaluate("(list) => { list.open = true; }")
    return page.locator("#event-list li").all_text_contents()


def test_undo_and_redo_go_as_far_as_one_likes(chromium: Browser, root: str, desk: Desk) -> None:
    page = opened(chromium, root).page
    before = lanes_now(page)
    deeds = ["m", "] x", "w y", "] .", "] ]", "h ArrowRight ArrowRight ArrowRight h", "w x"]
    states = [before]
    for keys in deeds:
        press(page, keys)
        now = lanes_now(page)
        if now != states[-1]:
            states.append(now)
    assert len(states) >= 6
    for state in reversed(states[:-1]):
        press(page, "z")
        assert lanes_now(page) == state
    press(page, "z")
    expect(page.locator("#readout")).to_have_text("Nothing of yours is left to take back.")
    saved(page)
    page.reload()
    for state in states[1:]:
        press(page, "Shift+Z")
        assert lanes_now(page) == state
    press(page, "Control+z Control+Shift+Z")
    assert lanes_now(page) == states[-1]
    saved(page)
    page.close()


WHERE = """([at, lane]) => {
  const box = document.querySelector(`.lane-${lane} .ground`).getBoundingClientRect();
  const labels = [...document.querySelectorAll("#axis span")];
  const ticks = labels.map((label) => [parseFloat(label.textContent), label.offsetLeft]);
  const [[one, x1], [two, x2]] = [ticks[0], ticks.at(-1)];
  return [box.left + x1 + ((at - one) * (x2 - x1)) / (two - one), box.top + box.height / 2];
}"""


def point(page: Page, at_s: float, lane: str) -> tuple[float, float]:
    """Where on the screen a moment of a lane lies, once what is asked for has been drawn."""
    page.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
    x, y = page.evaluate(WHERE, [at_s, lane])
    return x, y


def test_an_edge_is_dragged_with_the_mouse_and_finely_close_up(
    chromium: Browser, root: str, desk: Desk
) -> None:
    page = opened(chromium, root).page
    press(page, "0")
    page.mouse.click(*point(page, 5.8, "nose_in"))
    expect(page.locator("#readout")).to_contain_text("Nose in from 5.000 s")
    x, y = point(page, 6.6, "nose_in")
    to, _ = point(page, 7.0, "nose_in")
    page.mouse.move(x + 9, y)
    page.mouse.down()
    page.mouse.move(to + 9, y, steps=5)
    page.mouse.up()
    saved(page)
    (deed,) = edits(desk)
    assert deed[:2] == ("moved", "nose_in")
    assert deed[2] == pytest.approx((5.0, 7.0), abs=0.06)
    page.locator("#closer").click()
    expect(page.locator("#closer")).to_have_attribute("aria-pressed", "true")
    x, y = point(page, deed[2][1], "nose_in")
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 100, y, steps=4)
    page.mouse.up()
    expect(page.locator("#undo")).to_be_enabled()
    saved(page)
    for _ in range(100):  # the page may still say that the first change is saved
        if len(edits(desk)) == 2:
            break
        page.wait_for_timeout(50)
    moved_s = edits(desk)[-1][2][1] - deed[2][1]
    assert 0.005 < moved_s < 0.05
    page.close()


def test_the_edge_is_nudged_by_frame_by_ten_and_by_one_millisecond(
    chromium: Browser, root: str, desk: Desk
) -> None:
    page = opened(chromium, root).page
    press(page, "w . 5 . . 6 , , ,")
    expect(page.locator("#readout")).to_contain_text("Mark at 10.057 s")
    press(page, "u")
    expect(page.locator("#unit")).to_have_text("1 frame")
    saved(page)
    assert marks(desk) == [2.5, 10.057]
    page.close()


def touch(page: Page, start: tuple[float, float], end: tuple[float, float]) -> None:
    """One finger from here to there."""
    finger = page.context.new_cdp_session(page)

    def send(kind: str, at: tuple[float, float] | None) -> None:
        points = [] if at is None else [{"x": at[0], "y": at[1]}]
        finger.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    send("touchStart", start)
    for part in range(1, 6):
        x, y = (a + (b - a) * part / 5 for a, b in zip(start, end, strict=True))
        send("touchMove", (x, y))
    send("touchEnd", None)


def test_a_phone_and_a_thumb_do_it_all(chromium: Browser, root: str, desk: Desk) -> None:
    page = opened(chromium, root, width=390).page
    page.locator("#look-on").tap()
    expect(page.locator("#readout")).to_contain_text("Mark at 10.000 s")
    x, y = point(page, 10.0, "marks")
    touch(page, (x + 8, y), (x + 68, y))
    expect(page.locator("#readout")).to_contain_text("set by Mara Quill")
    page.locator("#look-on").tap()
    page.locator("#yes").tap()
    page.locator("#no").tap()
    page.locator("#second-back").tap()
    page.locator("#add-nose").tap()
    expect(page.locator("#add-nose")).to_have_text("End nose in")
    page.locator("#second-on").tap()
    page.locator("#add-nose").tap()
    expect(page.locator("#readout")).to_contain_text("Nose in added")
    page.locator("#add-mark").tap()
    page.locator("#undo").tap()
    saved(page)
    found = edits(desk)
    assert [deed for deed, _, _ in found] == ["moved", "kept", "removed", "added", "added", "undone"]
    assert found[0][2][0] > 10.02
    page.close()


def test_two_people_are_merged_and_a_change_of_what_is_gone_is_shown(
    chromium: Browser, root: str, desk: Desk
) -> None:
    page = opened(chromium, root).page
    gone = Edit("gone", "marks", "removed", "marks-1")
    jobs.correct_events(desk, CorrectEvents(SESSION, "Tobias", (gone,)))
    press(page, "w . w y")
    saved(page)
    expect(page.locator("#refused")).to_contain_text(
        "This event was removed meanwhile by Tobias: look again."
    )
    assert marks(desk) == [2.5, 6.2]
    page.locator("#refused-seen").click()
    expect(page.locator("#refused")).to_be_hidden()
    page.close()


def test_what_waited_for_an_earlier_reading_is_shown_until_read(chromium: Browser, root: str) -> None:
    page = opened(chromium, root).page
    waiting = {"edit": "old", "lane": "marks", "deed": "added", "event": "old", "was": [], "now": [3.2]}
    key = f"nares-edit:{SESSION}:reading:1:Mara Quill:000000000000001-000001"
    page.evaluate("([key, edit]) => localStorage.setItem(key, edit)", [key, json.dumps(waiting)])
    for _ in range(2):
        page.reload()
        expect(page.locator("#refused")).to_contain_text(
            "Mark at 3.20 s, added: it was made on an earlier reading"
        )
    page.locator("#refused-seen").click()
    page.reload()
    saved(page)
    expect(page.locator("#refused")).to_be_hidden()
    page.close()


def test_an_own_sheet_shows_nothing_of_the_machine(chromium: Browser, root: str, desk: Desk) -> None:
    seen = opened(chromium, root, f"{TIMELINE}own/")
    page = seen.page
    expect(page.locator(".stage-lanes .event")).to_have_count(0)
    expect(page.locator("#look-on")).to_have_count(0)
    press(page, "ArrowRight m n Shift+ArrowRight n")
    saved(page)
    page.reload()
    saved(page)
    expect(page.locator(".stage-lanes .event")).to_have_count(2)
    own = jobs.lanes_as(desk, SESSION, "Mara Quill")
    assert (len(own.marks or ()), len(own.nose_in or ()), own.hand_in) == (1, 1, None)
    assert marks(desk) == [2.5, 10.0]
    assert seen.complaints == []
    page.close()


def test_without_scripts_all_is_there_to_read(chromium: Browser, root: str) -> None:
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(root + TIMELINE)
    expect(page.locator(".plainly")).to_contain_text("Mark at 10.00 s, 62 % sure")
    expect(page.locator("#editor")).to_be_hidden()
    context.close()


@pytest.mark.parametrize(("width", "theme"), LOOKS)
def test_the_openings_are_drawn_and_moved_on_the_film(
    chromium: Browser, root: str, width: int, theme: Theme
) -> None:
    page = chromium.new_page(viewport={"width": width, "height": 844}, color_scheme=theme)
    page.goto(f"{root}{TIMELINE}regions/")
    expect(page.locator("#region-tool")).to_be_visible()
    box = page.locator("#region-canvas").bounding_box()
    assert box is not None

    def drag(*places: tuple[float, float]) -> list[float]:
        (x, y), (to_x, to_y) = (
            (box["x"] + a * box["width"], box["y"] + b * box["height"]) for a, b in places
        )
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(to_x, to_y, steps=3)
        page.mouse.up()
        return [float(part) for part in page.locator("#id_front").input_value().split(",")]

    # Inside the region of before it moves, and stays in the picture; elsewhere a new one is drawn.
    assert drag((0.2, 0.2), (0.4, 0.3)) == pytest.approx([0.3, 0.2, 0.2, 0.2], abs=0.01)
    assert drag((0.4, 0.3), (0.9, 0.95)) == pytest.approx([0.8, 0.8, 0.2, 0.2], abs=0.01)
    assert drag((0.1, 0.5), (0.3, 0.7)) == pytest.approx([0.1, 0.5, 0.2, 0.2], abs=0.01)
    assert page.locator("#id_side").input_value() == "0.1,0.1,0.2,0.2"
    assert page.evaluate(OVERFLOW) == [0, []]
    assert page.evaluate(TOO_SMALL) == []
    assert faults_of(page) == []
    page.screenshot(path=SCREENS / f"openings-{width}-{theme}.png")
    page.close()


def history(chance: random.Random, read: list[dict[str, Any]]) -> list[Edit]:
    """Edits at random, some of which find nothing."""
    made: list[Edit] = []
    names = [event["event"] for event in read]
    for number in range(chance.randint(0, 12)):
        deed = chance.choice(["moved", "added", "removed", "kept", "undone"])
        name = f"e{number}"
        lane = chance.choice(["marks", "nose_in"])
        now: tuple[float, ...] = (round(chance.uniform(0, 11), 3),)
        now = now if lane == "marks" else (*now, now[0] + 0.5)
        event = name if deed == "added" else chance.choice(names)
        if deed == "undone":
            event = chance.choice([one.edit for one in made]) if made else "nothing"
        now = now if deed in ("moved", "added") else ()
        made.append(Edit(name, lane, deed, event, (), now, "Wren"))  # type: ignore[arg-type]
        names.append(name)
    return made


def test_the_page_folds_as_the_server_does(chromium: Browser, root: str, desk: Desk) -> None:
    page = opened(chromium, root).page
    shown = json.loads(str(page.locator("#timeline-data").text_content()))["read"]
    kept = desk.store.reading_of(SESSION)
    assert kept is not None
    read = read_events(kept.reading)
    chance = random.Random(10_411)
    cases = [history(chance, shown) for _ in range(150)]
    folded = page.evaluate(
        """async ([read, cases]) => {
          const { stands } = await import("/static/js/timeline/fold.js");
          const row = (event) => [event.event, event.lane, event.times_s, event.by];
          return cases.map((edits) => stands(read, edits).events.map(row));
        }""",
        [shown, [[asdict(one) for one in edits] for edits in cases]],
    )
    for edits_made, theirs in zip(cases, folded, strict=True):
        ours = [[e.event, e.lane, list(e.times_s), e.by] for e in stands(read, edits_made).events]
        assert theirs == ours
    page.close()
