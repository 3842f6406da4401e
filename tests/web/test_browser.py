"""The pages in a real browser: at both widths, light and dark, by keyboard and by touch."""

import threading
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Literal

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright
from tests.web import judged, samples
from tests.web.browsing import ARGUMENTS, CHROMIUM, OVERFLOW, SCREENS, TOO_SMALL, Watched, faults_of
from tests.web.fakes import FakeJobs
from tests.web.film import make_film

from nares.app.deeds import ConfirmReps, NoteSigns, RunSession
from nares.web.server import make_server

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(CHROMIUM is None, reason="no Chromium found"),
    # The browser driver leaves its own loop's socket to the collector.
    pytest.mark.filterwarnings("ignore::ResourceWarning", "ignore::pytest.PytestUnraisableExceptionWarning"),
]

SESSION = f"/sessions/{samples.SESSION}/"
PAGES = {
    "cues": "/dogs/Bracken/cues/",
    "today": "/",
    "dog": "/dogs/Bracken/",
    "card": "/dogs/Bracken/card/?rep=6",
    "card-without": "/dogs/Bracken/card/?rep=4",
    "handler": "/dogs/Bracken/card/handler/",
    "session": SESSION,
    "record": "/record/?verify=1",
    "marks": "/marks/",
    "progress": "/dogs/Bracken/progress/",
    "score": "/lineups/Bracken-3/score/",
    "dog-lineups": "/dogs/Bracken/lineups/",
    "agreement": f"{SESSION}agreement/",
    "signs": "/dogs/Bracken/signs/",
    "overrule": "/dogs/Bracken/overrule/",
    "overrulings": "/overrulings/",
    "add-dog": "/add-dog/",
    "add-session": "/dogs/Bracken/add-session/",
    "not-found": "/dogs/Rex/",
}
Theme = Literal["light", "dark"]


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture(scope="module")
def film(tmp_path_factory: pytest.TempPathFactory) -> Path:
    to = tmp_path_factory.mktemp("film") / "saltmarsh.mp4"
    make_film(to)
    return to


@pytest.fixture
def root(fake: FakeJobs, film: Path) -> Iterator[str]:
    fake.film = film
    server = make_server(SimpleNamespace(person="Mara Quill"), host="127.0.0.1", port=0)
    thread = threading.Thread(target=server.serve)
    thread.start()
    assert isinstance(server.bind_addr, tuple)
    yield f"http://127.0.0.1:{server.bind_addr[1]}"
    server.stop()
    thread.join()


def watched(chromium: Browser, root: str, *, width: int = 1440, theme: Theme = "light") -> Watched:
    height = 900 if width > 500 else 844
    page = chromium.new_page(
        viewport={"width": width, "height": height}, color_scheme=theme, has_touch=width < 500, locale="en-GB"
    )
    page.set_default_timeout(8000)
    return Watched(page, root)


LOOKS: list[tuple[int, Theme]] = [(390, "light"), (390, "dark"), (1440, "light"), (1440, "dark")]


@pytest.mark.parametrize(("width", "theme"), LOOKS)
@pytest.mark.parametrize("name", PAGES)
def test_a_page_keeps_to_the_rules(chromium: Browser, root: str, name: str, width: int, theme: Theme) -> None:
    seen = watched(chromium, root, width=width, theme=theme)
    page = seen.open(PAGES[name])
    SCREENS.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=SCREENS / f"{name}-{width}-{theme}.png", full_page=True)
    wide, over = page.evaluate(OVERFLOW)
    assert wide <= 0, over
    assert over == []
    assert page.evaluate(TOO_SMALL) == []
    assert faults_of(page) == []
    expected = ["404"] if name == "not-found" else []
    assert [said for said in seen.complaints if not any(part in said for part in expected)] == []
    assert seen.outside() == []
    page.close()


def test_every_disclosure_opened_is_still_clean(chromium: Browser, root: str) -> None:
    for name, width in (
        ("session", 390),
        ("dog", 390),
        ("card", 390),
        ("record", 390),
        ("today", 1440),
        ("marks", 390),
        ("progress", 390),
        ("cues", 390),
        ("score", 390),
        ("dog-lineups", 1440),
    ):
        page = watched(chromium, root, width=width).open(PAGES[name])
        page.evaluate("document.querySelectorAll('main details').forEach((part) => { part.open = true; })")
        wide, over = page.evaluate(OVERFLOW)
        assert (name, wide, over) == (name, min(wide, 0), [])
        assert faults_of(page) == []
        page.close()


def window(page: Page) -> tuple[float, float]:
    """First moment and width of what the lanes show. [ms]"""
    first, _, wide, _ = str(page.locator("#lanes").get_attribute("viewBox")).split()
    return float(first), float(wide)


def at(page: Page) -> float:
    return float(page.evaluate("document.getElementById('film').currentTime"))


def test_an_event_only_one_observer_has_opens_at_its_moment(chromium: Browser, root: str) -> None:
    page = watched(chromium, root, width=390).open(f"{SESSION}agreement/")
    page.locator(".lone a").first.click()
    expect(page.locator("#film")).to_be_visible()
    for _ in range(50):  # the page's policy forbids a wait that evaluates text
        if abs(at(page) - 1.9) < 0.05:
            break
        page.wait_for_timeout(100)
    assert at(page) == pytest.approx(1.9, abs=0.05)
    first, wide = window(page)
    assert first <= 1900 <= first + wide
    page.close()


def test_the_session_by_keyboard_alone(chromium: Browser, root: str, fake: FakeJobs) -> None:
    seen = watched(chromium, root)
    page = seen.open(SESSION)
    expect(page.locator("#rep-panel")).to_have_attribute("data-rep", "1")
    start = at(page)
    page.keyboard.press("ArrowRight")
    page.wait_for_timeout(150)
    assert at(page) == pytest.approx(start + 1.5 / 25, abs=0.5 / 25)
    page.keyboard.press("Shift+ArrowRight")
    page.wait_for_timeout(150)
    assert at(page) == pytest.approx(start + 1 + 1.5 / 25, abs=0.5 / 25)
    page.keyboard.press("Space")
    expect(page.locator("#play")).to_have_text("Pause")
    page.keyboard.press("Space")
    expect(page.locator("#play")).to_have_text("Play")
    page.keyboard.press("ArrowDown")
    expect(page.locator("#rep-panel")).to_have_attribute("data-rep", "2")
    page.keyboard.press("ArrowUp")
    expect(page.locator("#rep-panel")).to_have_attribute("data-rep", "1")
    page.keyboard.press("c")
    expect(page.locator(".said")).to_contain_text("It is on the record.")
    expect(page.locator("#rep-panel")).to_have_attribute("data-rep", "2")
    assert fake.asked == [ConfirmReps(samples.SESSION, "Mara Quill", (samples.row(1),), seen=0)]
    assert (seen.complaints, seen.outside()) == ([], [])
    page.close()


def test_keys_can_be_switched_off_and_never_fire_while_typing(
    chromium: Browser, root: str, fake: FakeJobs
) -> None:
    page = watched(chromium, root).open(SESSION)
    page.keyboard.press("e")
    page.locator("#rep-panel input[name=cues]").fill("")
    page.locator("#rep-panel input[name=cues]").press_sequentially("c c")
    page.locator(".help-keys summary").click()
    page.locator("#keys-on").uncheck()
    page.locator("h1").click()
    page.keyboard.press("c")
    page.wait_for_timeout(200)
    assert fake.asked == []
    page.close()


def test_a_correction_without_a_reason_stays_open_with_what_was_typed(
    chromium: Browser, root: str, fake: FakeJobs
) -> None:
    page = watched(chromium, root).open(SESSION)
    page.locator("#correct summary").click()
    page.locator("#id_hold_s").fill("0.6")
    page.get_by_role("button", name="Confirm with these values").click()
    expect(page.locator("#id_why_error")).to_contain_text("Say why this differs")
    expect(page.locator("#id_hold_s")).to_have_value("0.6")
    page.locator("#id_why").fill("Nose slid out.")
    page.get_by_role("button", name="Confirm with these values").click()
    expect(page.locator(".said")).to_contain_text("It is on the record.")
    asked = fake.asked[0]
    assert isinstance(asked, ConfirmReps)
    assert asked.reps is not None
    assert (asked.reps[0].hold_s, asked.why) == (0.6, "Nose slid out.")
    page.close()


def test_tapping_a_lane_moves_the_film_and_reads_the_event(chromium: Browser, root: str) -> None:
    page = watched(chromium, root, width=390).open(SESSION)
    mark = page.locator(".lane-marks .event").nth(2)
    mark.scroll_into_view_if_needed()
    box = mark.bounding_box()
    assert box
    page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    expect(page.locator("#readout")).to_have_text("Mark at 5.90 s, 96 % sure")
    assert at(page) == pytest.approx(5.93, abs=0.1)
    page.close()


def test_zooming_narrows_the_window_and_the_playhead_stays_in_it(chromium: Browser, root: str) -> None:
    page = watched(chromium, root).open(SESSION)
    for _ in range(2):
        page.keyboard.press("+")
    assert window(page)[1] == pytest.approx(2500)
    for _ in range(7):
        page.keyboard.press("Shift+ArrowRight")
    page.wait_for_timeout(200)
    first, wide = window(page)
    assert first <= at(page) * 1000 <= first + wide
    page.keyboard.press("0")
    assert window(page) == (0, 10000)
    page.close()


def test_the_rep_loops(chromium: Browser, root: str) -> None:
    page = watched(chromium, root).open(f"{SESSION}reps/3/")
    page.evaluate("document.getElementById('film').muted = true")
    page.keyboard.press("l")
    expect(page.locator("#loop")).to_have_attribute("aria-pressed", "true")
    page.evaluate("document.getElementById('film').currentTime = 7.05")
    page.wait_for_timeout(600)
    assert 4.3 <= at(page) <= 6.0
    page.close()


def test_the_theme_is_kept(chromium: Browser, root: str) -> None:
    page = watched(chromium, root).open("/")
    page.get_by_role("button", name="Use the dark colours").click()
    page.reload()
    assert page.evaluate("document.documentElement.dataset.theme") == "dark"
    expect(page.get_by_role("button", name="Use the light colours")).to_be_visible()
    page.close()


def test_times_take_the_zone_of_the_browser(chromium: Browser, root: str) -> None:
    page = chromium.new_page(timezone_id="America/Halifax", locale="en-GB")
    page.goto(root + "/")
    shown = page.locator(".page-head time")
    expect(shown).to_contain_text("14:05")
    expect(shown).to_have_attribute("title", "2026-03-14 17:05 UTC")
    page.close()


def test_without_scripts_everything_is_there_and_a_rep_is_confirmed(
    chromium: Browser, root: str, fake: FakeJobs
) -> None:
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(root + SESSION)
    assert page.locator("#film").get_attribute("controls") is not None
    expect(page.locator("#reps tbody")).to_have_count(5)
    page.get_by_role("button", name="Confirm rep 1").click()
    expect(page.locator(".said")).to_contain_text("It is on the record.")
    expect(page.locator("#rep-head")).to_contain_text("Rep 2")
    assert fake.asked == [ConfirmReps(samples.SESSION, "Mara Quill", (samples.row(1),), seen=0)]
    context.close()


def test_a_film_is_sent_its_openings_drawn_and_measured(
    chromium: Browser, root: str, fake: FakeJobs, film: Path
) -> None:
    seen = watched(chromium, root)
    page = seen.open("/dogs/Bracken/add-session/")
    page.locator("#id_recording").set_input_files(film)
    expect(page.locator("#region-tool")).to_be_visible()
    canvas = page.locator("#region-canvas")
    canvas.scroll_into_view_if_needed()
    box = canvas.bounding_box()
    assert box
    page.mouse.move(box["x"] + box["width"] * 0.25, box["y"] + box["height"] * 0.25)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] * 0.5, box["y"] + box["height"] * 0.75, steps=4)
    page.mouse.up()
    page.get_by_role("button", name="Keep and measure").click()
    page.wait_for_url(f"**{SESSION}")
    asked = fake.asked[0]
    assert isinstance(asked, RunSession)
    assert asked.front is not None
    assert asked.front.w == pytest.approx(0.25, abs=0.01)
    assert asked.front.h == pytest.approx(0.5, abs=0.01)
    assert seen.complaints == []
    page.close()


def test_little_to_show_is_clean_too(chromium: Browser, root: str, fake: FakeJobs) -> None:
    shown = fake.session
    assert shown.recording is not None
    states: dict[str, tuple[str, dict[str, object]]] = {
        "empty-today": ("/", {"today": samples.today()}),
        "new-dog": ("/", {"today": samples.today(samples.card("Bracken", None, to_confirm=0))}),
        "no-recording": (SESSION, {"session": replace(shown, recording=None, reading=None)}),
        "sound-alone": (
            SESSION,
            {"session": replace(shown, recording=replace(shown.recording, frames_per_s=None))},
        ),
        "no-rep": (SESSION, {"session": replace(shown, reps=())}),
    }
    for name, (address, changes) in states.items():
        for key, value in changes.items():
            setattr(fake, key, value)
        seen = watched(chromium, root, width=390)
        page = seen.open(address)
        page.screenshot(path=SCREENS / f"{name}-390-light.png", full_page=True)
        wide, over = page.evaluate(OVERFLOW)
        assert (name, max(wide, 0), over, seen.complaints, faults_of(page)) == (name, 0, [], [], [])
        page.close()


def test_printing_leaves_the_controls_out(chromium: Browser, root: str) -> None:
    page = watched(chromium, root).open(SESSION)
    page.emulate_media(media="print")
    expect(page.locator("#controls")).to_be_hidden()
    expect(page.locator(".reps")).to_be_visible()
    page.close()


def test_the_card_goes_on_by_key_by_tap_and_by_button(chromium: Browser, root: str) -> None:
    seen = watched(chromium, root, width=390)
    page = seen.open("/dogs/Bracken/card/")
    large = page.locator(".panel:visible .which-n")
    expect(large).to_have_text("1")
    before = len(seen.asked)
    page.keyboard.press("ArrowRight")
    expect(large).to_have_text("2")
    page.locator(".panel:visible .ask-now").tap()
    expect(large).to_have_text("3")
    page.get_by_role("link", name="Next rep").tap()
    expect(page.locator(".panel:visible .ask-now")).to_have_text("no target")
    page.get_by_role("link", name="Back").tap()
    expect(large).to_have_text("3")
    page.keyboard.press("Space")
    expect(large).to_have_text("4")
    # No signal is needed once the card is open; the browser looks for the icon anew by itself.
    assert [url for url in seen.asked[before:] if not url.endswith("mark.svg")] == []
    assert page.url.endswith("?rep=4")
    expect(page.locator(".whole [aria-current]")).to_have_attribute("data-go", "4")
    for _ in range(20):
        page.keyboard.press("ArrowRight")
    expect(page.get_by_role("heading", name="That was the last rep")).to_be_visible()
    page.reload()
    expect(page.get_by_role("heading", name="That was the last rep")).to_be_visible()
    assert seen.complaints == []
    page.close()


def test_the_card_goes_on_without_scripts(chromium: Browser, root: str) -> None:
    context = chromium.new_context(java_script_enabled=False, viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto(f"{root}/dogs/Bracken/card/")
    page.get_by_role("link", name="Next rep").click()
    expect(page.locator(".panel:visible .which-n")).to_have_text("2")
    page.get_by_role("link", name="12 1 s box 2 easy").click()
    page.get_by_role("link", name="Done").click()
    expect(page.get_by_role("heading", name="That was the last rep")).to_be_visible()
    context.close()


@pytest.mark.parametrize(("width", "least_px"), [(390, 90), (1440, 130)])
def test_the_ask_is_read_at_arms_length(chromium: Browser, root: str, width: int, least_px: int) -> None:
    page = watched(chromium, root, width=width).open("/dogs/Bracken/card/?rep=3")
    ask = page.locator(".panel:visible .ask-now").bounding_box()
    go = page.get_by_role("link", name="Next rep").bounding_box()
    assert ask
    assert go
    assert ask["height"] >= least_px
    assert go["height"] >= 60
    assert go["y"] + go["height"] <= (844 if width < 500 else 900)  # seen without scrolling
    page.close()


def test_a_tap_in_a_form_of_the_card_does_not_go_on(chromium: Browser, root: str) -> None:
    page = watched(chromium, root, width=390).open("/dogs/Bracken/card/")
    page.get_by_text("Say it anew").click()
    page.get_by_label("Note").fill("a b")
    page.get_by_label("Note").press("Space")
    page.get_by_label("Note").press("ArrowRight")
    expect(page.locator(".panel:visible .which-n")).to_have_text("1")
    page.close()


@pytest.mark.parametrize("scripts", [True, False])
def test_signs_are_written_down_with_one_thumb(
    chromium: Browser, root: str, fake: FakeJobs, scripts: bool
) -> None:
    context = chromium.new_context(
        viewport={"width": 390, "height": 844}, has_touch=True, java_script_enabled=scripts
    )
    page = context.new_page()
    page.goto(f"{root}/dogs/Bracken/signs/")
    for name in ("Crouches", "Will not put the nose in"):
        page.locator("label.tap", has_text=name).tap()
    page.get_by_role("button", name="Write it down").tap()
    expect(page.get_by_text("It is on the record.")).to_be_visible()
    assert fake.asked == [NoteSigns("Bracken", ("crouch", "refuses_nose"), "Mara Quill", samples.SESSION)]
    context.close()


@pytest.mark.parametrize(("width", "theme"), LOOKS)
def test_what_was_too_much_fits_and_reads(
    chromium: Browser, root: str, fake: FakeJobs, width: int, theme: Theme
) -> None:
    fake.dog = replace(fake.dog, card=replace(fake.dog.card, call=judged.isolating()))
    page = watched(chromium, root, width=width, theme=theme).open(PAGES["dog"])
    page.evaluate("document.querySelectorAll('main details').forEach((part) => { part.open = true; })")
    wide, over = page.evaluate(OVERFLOW)
    assert (min(wide, 0), over) == (wide, [])
    assert page.evaluate(TOO_SMALL) == []
    assert faults_of(page) == []
    page.close()
