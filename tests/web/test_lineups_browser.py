"""Line-ups in a real browser: drawing by finger, mouse and keys; both widths; without scripts."""

import re
import threading
from collections.abc import Iterator
from dataclasses import replace
from types import SimpleNamespace
from typing import Literal

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright
from tests.web import lineups as samples
from tests.web.browsing import ARGUMENTS, CHROMIUM, OVERFLOW, SCREENS, TOO_SMALL, Watched, faults_of
from tests.web.fakes import FakeJobs
from tests.web.lineups import FakeLineups

from nares.app import jobs
from nares.app.lineups.requests import CloseLineup, DrawLineup
from nares.design.lineups import area_of
from nares.web.server import make_server

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(CHROMIUM is None, reason="no Chromium found"),
    # The browser driver leaves its own loop's socket to the collector.
    pytest.mark.filterwarnings("ignore::ResourceWarning", "ignore::pytest.PytestUnraisableExceptionWarning"),
]
Theme = Literal["light", "dark"]
LOOKS: list[tuple[int, Theme]] = [(390, "light"), (390, "dark"), (1440, "light"), (1440, "dark")]
NEW = "/lineups/new/"
AT = f"/lineups/{samples.NAME}/"


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture
def root(fake: FakeJobs, lineups: FakeLineups) -> Iterator[str]:
    server = make_server(SimpleNamespace(person="Mara Quill"), host="127.0.0.1", port=0)
    thread = threading.Thread(target=server.serve)
    thread.start()
    assert isinstance(server.bind_addr, tuple)
    yield f"http://127.0.0.1:{server.bind_addr[1]}"
    server.stop()
    thread.join()


def watched(
    chromium: Browser, root: str, *, width: int = 1440, theme: Theme = "light", scripts: bool = True
) -> Watched:
    context = chromium.new_context(
        viewport={"width": width, "height": 900 if width > 500 else 844},
        color_scheme=theme,
        has_touch=width < 500,
        locale="en-GB",
        java_script_enabled=scripts,
    )
    page = context.new_page()
    page.set_default_timeout(8000)
    return Watched(page, root)


def clean(seen: Watched, name: str) -> None:
    """The rules every page keeps to, and a picture of it."""
    page = seen.page
    SCREENS.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=SCREENS / f"{name}.png", full_page=True)
    wide, over = page.evaluate(OVERFLOW)
    assert (max(wide, 0), over) == (0, [])
    assert page.evaluate(TOO_SMALL) == []
    assert faults_of(page) == []
    assert (seen.complaints, seen.outside()) == ([], [])


def name_people(page: Page) -> None:
    for role, person in (("placer", "Tobin Fell"), ("handler", "Joss Pike"), ("evaluator", "Ines Harrow")):
        page.locator(f"#id_{role}").fill(person)


def draw(page: Page) -> None:
    name_people(page)
    page.get_by_role("button", name="Draw the line-up").click()
    expect(page.get_by_role("heading", name="A code for each seat")).to_be_visible()


def spot(page: Page, position: int) -> tuple[float, float]:
    """The middle of a position on the screen."""
    box = page.locator(f'#plan-draw .spot[data-position="{position}"] .hit').bounding_box()
    assert box
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def metres(page: Page, position: int) -> tuple[float, float]:
    """Where the numbers say a position is."""
    return tuple(float(page.locator(f"#{key}-{position}").input_value()) for key in "xy")  # type: ignore[return-value]


def a_metre(page: Page) -> float:
    """Pixels a metre has on the screen."""
    box = page.locator("#plan-draw .floor").bounding_box()
    assert box
    return float(box["width"]) / float(page.locator("#id_width_m").input_value())


@pytest.mark.parametrize(("width", "theme"), LOOKS)
def test_the_list_keeps_to_the_rules(
    chromium: Browser, root: str, lineups: FakeLineups, width: int, theme: Theme
) -> None:
    seen = watched(chromium, root, width=width, theme=theme)
    seen.open("/lineups/")
    clean(seen, f"lineups-{width}-{theme}")
    lineups.all = samples.page_of_all()
    seen.open("/lineups/")
    clean(seen, f"lineups-empty-{width}-{theme}")
    lineups.all = replace(lineups.all, dogs=())
    seen.open(NEW)
    clean(seen, f"lineups-no-dog-{width}-{theme}")
    seen.page.context.close()


@pytest.mark.parametrize(("width", "theme"), LOOKS)
def test_the_form_and_the_codes_keep_to_the_rules(
    chromium: Browser, root: str, width: int, theme: Theme
) -> None:
    seen = watched(chromium, root, width=width, theme=theme)
    page = seen.open(NEW)
    clean(seen, f"lineup-new-{width}-{theme}")
    page.locator("#aim-known").check()
    expect(page.get_by_text("No position holds the target more than")).to_be_visible()
    if not page.locator("#x-2").is_visible():  # on a phone the numbers are folded away
        page.locator("#spots-more summary").click()
    page.locator("#id_runs").fill("2.5")
    page.locator("#x-2").fill("99")
    page.get_by_role("button", name="Draw the line-up").click()
    expect(page.locator("#id_runs_error")).to_be_visible()
    expect(page.locator("#x-2-fault")).to_contain_text("99 is out of range")
    seen.complaints = [said for said in seen.complaints if "422" not in said]
    clean(seen, f"lineup-faults-{width}-{theme}")
    page.locator("#id_runs").fill("10")
    page.locator("#x-2").fill("3")
    draw(page)
    page.locator("summary", has_text="Placer").click()
    clean(seen, f"lineup-codes-{width}-{theme}")
    page.context.close()


@pytest.mark.parametrize(("width", "theme"), LOOKS)
def test_a_line_up_keeps_to_the_rules(
    chromium: Browser, root: str, lineups: FakeLineups, width: int, theme: Theme
) -> None:
    seen = watched(chromium, root, width=width, theme=theme)
    for name, one in (("sealed", samples.lineup()), ("closed", samples.closed())):
        lineups.one = one
        page = seen.open(AT)
        page.evaluate("document.querySelectorAll('main details').forEach((part) => { part.open = true; })")
        clean(seen, f"lineup-{name}-{width}-{theme}")
        seen.open(f"{AT}paper/")
        clean(seen, f"lineup-paper-{name}-{width}-{theme}")
    seen.page.context.close()


def test_the_other_frames_pages_still_fit_a_phone(chromium: Browser, root: str) -> None:
    page = watched(chromium, root, width=390).open("/")
    for name in ("Today", "Marks", "Agreement", "Line-ups", "Record"):
        box = page.get_by_role("navigation", name="Pages").get_by_role("link", name=name).bounding_box()
        assert box
        assert box["height"] >= 43.5
        assert box["x"] + box["width"] <= 390
    page.context.close()


@pytest.mark.parametrize("shape", ["straight", "ring", "boxes", "cans", "room", "vehicles", "parcels"])
def test_the_drawing_is_the_same_with_and_without_scripts(
    chromium: Browser, root: str, monkeypatch: pytest.MonkeyPatch, shape: str
) -> None:
    laid = lambda shape, positions, place: area_of(shape, positions, place=place)  # noqa: E731
    monkeypatch.setattr(jobs, "lineup_area", laid, raising=False)
    figures = """(svg) => [svg.getAttribute("viewBox"), svg.dataset.shape,
      ...[...svg.querySelectorAll(".floor, .grid, .wall, .vehicles rect, .thing")].map((e) =>
        ["x", "y", "width", "height", "rx"].map((key) => Number(e.getAttribute(key) ?? 0)).join()).sort(),
      svg.querySelector(".way").getAttribute("points"), svg.querySelector(".door").getAttribute("d"),
      svg.querySelector(".bar path").getAttribute("d"), svg.querySelector(".bar").textContent.trim(),
      svg.querySelector(".metre path").getAttribute("d"),
      ...[...svg.querySelectorAll(".spot")].map((e) =>
        [e.getAttribute("transform"), e.querySelector(".number").textContent,
         e.querySelector(".name")?.textContent ?? ""].join())]"""
    figures = (
        figures.replace(") => [", ") => JSON.parse(JSON.stringify([", 1) + r""").replace(/\.0(?!\d)/g, ""))"""
    )
    said = []
    for scripts in (False, True):
        page = watched(chromium, root, scripts=scripts).open(NEW)
        page.locator("#id_positions").fill("8")
        page.locator("#id_shape").select_option(shape)
        if scripts:
            expect(page.locator("#plan-state")).to_have_text("8 positions laid out.")
            page.locator("#name-2").fill("by the gate")
        else:
            page.locator("#name-2").fill("by the gate")
            page.get_by_role("button", name="Lay out anew").click()
            page.locator("#name-2").fill("by the gate")
            page.keyboard.press("Enter")  # looks it over, draws nothing
        said.append(page.locator("#plan-draw").evaluate(figures))
        page.context.close()
    assert said[0] == said[1]


def test_a_position_is_dragged_with_the_mouse_and_the_numbers_follow(
    chromium: Browser, root: str, lineups: FakeLineups
) -> None:
    seen = watched(chromium, root)
    page = seen.open(NEW)
    page.locator("#plan-draw").scroll_into_view_if_needed()
    x, y = spot(page, 3)
    metre = a_metre(page)
    assert metres(page, 3) == (4.5, 1.5)
    page.mouse.move(x + 5, y)
    page.mouse.down()
    page.mouse.move(x + 5 + 0.62 * metre, y - 0.71 * metre, steps=6)
    assert metres(page, 3) == pytest.approx((5.1, 0.8))
    page.mouse.move(x + 5, y - 9 * metre, steps=6)  # beyond the wall: it stays inside
    assert metres(page, 3) == (4.5, 0)
    page.mouse.move(x + 5 + 0.62 * metre, y - 0.71 * metre, steps=6)
    page.mouse.up()
    expect(page.locator("#plan-state")).to_have_text("Position 3: 5.1 m across, 0.8 m down.")
    page.get_by_role("button", name="Undo").click()  # the whole drag is one step
    assert metres(page, 3) == (4.5, 1.5)
    expect(page.get_by_role("button", name="Undo")).to_be_disabled()
    page.locator("#x-3").fill("5.3")  # and the drawing follows the numbers
    assert spot(page, 3)[0] - x == pytest.approx(0.8 * metre, abs=1)
    draw(page)
    (asked,) = lineups.asked
    assert isinstance(asked, DrawLineup)
    assert (asked.area.spots[2].x_m, asked.area.spots[2].y_m) == (5.3, 1.5)
    assert (seen.complaints, seen.outside()) == ([], [])
    page.context.close()


def test_a_position_is_dragged_with_a_finger_while_the_page_stays(chromium: Browser, root: str) -> None:
    seen = watched(chromium, root, width=390)
    page = seen.open(NEW)
    page.locator("#plan-draw").scroll_into_view_if_needed()
    finger = page.context.new_cdp_session(page)

    def touch(kind: str, *at: tuple[float, float]) -> None:
        points = [{"x": x, "y": y} for x, y in at]
        finger.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    before = page.evaluate("scrollY")
    metre = a_metre(page)
    x, y = spot(page, 2)
    touch("touchStart", (x + 12, y + 12))  # beside it, within a thumb's reach
    for step in range(1, 9):
        touch("touchMove", (x + 12 + step * metre / 8, y + 12 + step * metre / 8))
    touch("touchEnd")
    assert metres(page, 2) == pytest.approx((4.0, 2.5))
    assert page.evaluate("scrollY") == before
    box = page.locator("#plan-draw").bounding_box()
    assert box
    floor = (box["x"] + 30, box["y"] + 12)  # no position there: the page moves
    touch("touchStart", floor)
    for step in range(1, 9):
        touch("touchMove", (floor[0], floor[1] - 20 * step))
    touch("touchEnd")
    page.wait_for_timeout(300)
    assert page.evaluate("scrollY") > before
    assert seen.complaints == []
    page.context.close()


def test_every_position_is_a_thumb_wide(chromium: Browser, root: str) -> None:
    page = watched(chromium, root, width=390).open(NEW)
    for box in page.locator("#plan-draw .hit").all():
        size = box.bounding_box()
        assert size
        assert min(size["width"], size["height"]) >= 43.5
    page.context.close()


def test_the_plan_by_keyboard_alone(chromium: Browser, root: str) -> None:
    seen = watched(chromium, root)
    page = seen.open(NEW)
    page.locator("#lay").focus()
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.dataset.position") == "2"
    page.keyboard.press("ArrowRight")
    assert metres(page, 2) == (3.1, 1.5)
    page.keyboard.press("Shift+ArrowDown")
    assert metres(page, 2) == (3.1, 2.5)
    page.keyboard.press("Shift+ArrowDown")
    assert metres(page, 2) == (3.1, 3)  # the wall
    expect(page.locator("#plan-state")).to_have_text("Position 2: 3.1 m across, 3.0 m down.")
    label = page.locator('#plan-draw .spot[data-position="2"]').get_attribute("aria-label")
    assert label == "Position 2: 3.1 m across, 3.0 m down"
    page.keyboard.press("Control+z")
    assert metres(page, 2) == (3, 1.5)
    page.keyboard.press("Delete")
    expect(page.locator("#spot-rows .spot-row")).to_have_count(5)
    assert metres(page, 2) == (4.5, 1.5)
    expect(page.locator("#name-2")).to_have_value("2")
    expect(page.locator("#id_positions")).to_have_value("5")
    page.get_by_role("button", name="Undo").press("Enter")
    expect(page.locator("#spot-rows .spot-row")).to_have_count(6)
    page.get_by_role("button", name="Add a position").press("Enter")
    expect(page.locator("#spot-rows .spot-row")).to_have_count(7)
    x, y = metres(page, 7)
    assert (0 < x < 10.5, 0 < y < 3) == (True, True)
    assert page.evaluate("document.activeElement.dataset.position") == "7"
    assert seen.complaints == []
    page.context.close()


def test_another_shape_asks_before_a_drawn_plan_is_thrown_away(chromium: Browser, root: str) -> None:
    page = watched(chromium, root).open(NEW)
    asked: list[str] = []
    answers = iter([False, True])

    def answer(dialog: object) -> None:
        asked.append(dialog.message)  # type: ignore[attr-defined]
        dialog.accept() if next(answers) else dialog.dismiss()  # type: ignore[attr-defined]

    page.on("dialog", answer)
    page.locator("#id_shape").select_option("ring")  # nothing was moved: nothing is asked
    expect(page.locator("#plan-state")).to_have_text("6 positions laid out.")
    page.locator("#x-1").fill("1.1")
    page.locator("#id_shape").select_option("boxes")
    expect(page.locator("#id_shape")).to_have_value("ring")
    assert metres(page, 1)[0] == 1.1
    page.locator("#id_positions").fill("4")
    page.locator("#id_positions").blur()
    expect(page.locator("#spot-rows .spot-row")).to_have_count(4)
    assert asked == ["Lay the positions out anew? What you moved is lost; Undo brings it back."] * 2
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#spot-rows .spot-row")).to_have_count(6)
    assert metres(page, 1)[0] == 1.1
    page.context.close()


def test_a_layout_that_cannot_be_had_says_so(chromium: Browser, root: str) -> None:
    page = watched(chromium, root).open(NEW)
    page.locator("#id_positions").fill("55")
    page.locator("#id_positions").blur()
    expect(page.locator("#plan-state")).to_have_text("55 positions do not fit. Give 40 or fewer.")
    page.route("**/area.json*", lambda route: route.abort())
    page.locator("#id_shape").select_option("ring")
    expect(page.locator("#plan-state")).to_have_text("No answer. Press Lay out anew to try again.")
    page.context.close()


def test_distractors_get_more_rows(chromium: Browser, root: str, lineups: FakeLineups) -> None:
    page = watched(chromium, root).open(NEW)
    page.get_by_role("button", name="More distractors").click()
    page.get_by_label("Smell 4", exact=True).fill("rope")
    page.locator("#met-4").select_option("used")
    draw(page)
    (asked,) = lineups.asked
    assert isinstance(asked, DrawLineup)
    assert [(smell.smell, smell.novel) for smell in asked.distractors] == [("rope", False)]
    page.context.close()


def test_codes_are_gone_after_a_reload_and_after_going_back(chromium: Browser, root: str) -> None:
    page = watched(chromium, root).open(NEW)
    draw(page)
    first = page.locator(".code").first
    expect(first).to_be_hidden()
    page.locator("summary", has_text="Placer: Tobin Fell").click()
    expect(first).to_be_visible()
    page.locator("summary", has_text="Handler").click()
    expect(first).to_be_hidden()  # one card open at a time: nobody reads another's
    page.evaluate("dispatchEvent(new Event('pagehide'))")  # what a kept page is told when it is left
    left = [code.text_content() for code in page.locator(".code").all()]
    assert left == ["Shown once; no longer here."] * 3
    page.get_by_role("link", name="I have handed out the codes").click()
    page.go_back()
    page.wait_for_timeout(300)
    assert samples.CODES[0] not in page.content().replace("</span><span>", "")
    page.context.close()
    page = watched(chromium, root).open(NEW)
    draw(page)
    page.reload()
    expect(page.get_by_role("heading", name="What was asked")).to_be_visible()
    assert page.url.endswith(AT)
    page.context.close()


def test_printing_shows_every_code(chromium: Browser, root: str) -> None:
    page = watched(chromium, root).open(NEW)
    draw(page)
    page.emulate_media(media="print")
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    for code in page.locator(".code").all():
        expect(code).to_be_visible()
    page.context.close()


@pytest.mark.parametrize("width", [390, 1440])
def test_a_line_up_is_drawn_without_scripts(
    chromium: Browser, root: str, lineups: FakeLineups, width: int
) -> None:
    seen = watched(chromium, root, width=width, scripts=False)
    page = seen.open(NEW)
    page.locator("#id_shape").select_option("ring")
    page.locator("#id_positions").fill("8")
    page.get_by_role("button", name="Lay out anew").click()
    expect(page.locator(".spot-row")).to_have_count(8)
    assert page.locator("#plan-draw .spot").count() == 8
    page.locator("#x-8").fill("1.2")
    page.get_by_role("button", name="More distractors").click()
    page.get_by_label("Smell 5", exact=True).fill("rope")
    name_people(page)
    page.get_by_role("button", name="Draw the line-up").click()
    page.locator("summary", has_text="Placer").click()
    expect(page.locator(".code").first).to_be_visible()
    (asked,) = lineups.asked
    assert isinstance(asked, DrawLineup)
    assert (asked.area.shape, len(asked.area.spots), asked.area.spots[7].x_m) == ("ring", 8, 1.2)
    page.reload()
    assert page.url.endswith(AT)
    assert len(lineups.asked) == 1
    page.context.close()


def test_a_second_press_draws_nothing_more(chromium: Browser, root: str, lineups: FakeLineups) -> None:
    page = watched(chromium, root).open(NEW)
    name_people(page)
    page.get_by_role("button", name="Draw the line-up").dblclick()
    expect(page.get_by_role("heading", name="A code for each seat")).to_be_visible()
    assert len(lineups.asked) == 1
    page.context.close()


def test_closing_asks_for_a_reason_and_a_tick(chromium: Browser, root: str, lineups: FakeLineups) -> None:
    seen = watched(chromium, root, width=390)
    page = seen.open(AT)
    button = page.get_by_role("button", name="Close and open the key")
    button.click()
    expect(page.locator("#id_why:invalid, #id_sure:invalid, .fault").first).to_be_visible()
    page.get_by_label(re.compile("Why runs are left")).fill("Rain came.")
    page.get_by_label(re.compile("Open the whole key now")).check()
    button.click()
    expect(page.get_by_text("The key is opened. Entry 52.")).to_be_visible()
    assert lineups.asked == [CloseLineup(samples.NAME, "Mara Quill", why="Rain came.")]
    page.context.close()
