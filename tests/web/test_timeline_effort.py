"""How much it takes to put five minutes right that the machine got 95 % right: every press is counted.

The session is invented: 60 reps, so 180 marks, noses and hands, of which nine are read wrongly, one of each
kind of fault. A reading whose certainties are calibrated, and which is 65 % sure of what it doubts, doubts
two right events for each wrong one: 18 more to look at. All nine are doubted; a wrong event that the machine
is sure of is not found by asking for the next look, only by watching. Inhalations are left as they are.

A press takes 0.28 s and a decision 1.35 s (keystroke-level model: Card, Moran and Newell, Communications of
the ACM 23, 1980; both from memory); to see film and sound at the place 1.5 s is assumed.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect, sync_playwright
from tests.web.browsing import ARGUMENTS, CHROMIUM
from tests.web.timelines import SESSION, TIMELINE, desk_with, served, write_film

from nares.app import jobs
from nares.app.desk import Desk
from nares.base.vocab import Mark, Span
from nares.web.settings import WEB

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(CHROMIUM is None, reason="no Chromium found"),
    pytest.mark.filterwarnings("ignore::ResourceWarning", "ignore::pytest.PytestUnraisableExceptionWarning"),
]
SECONDS, REPS, FRAME_S = 300, 60, 0.04
PRESS_S, DECIDE_S, SEE_S = 0.28, 1.35, 1.5
SURE, DOUBTED = 0.97, 0.65


def starts_s(rep: int) -> float:
    return 5.0 * rep + 1.0


def truth() -> dict[str, list[Any]]:
    """What really happened, on whole frames."""
    at_s = [starts_s(rep) for rep in range(REPS)]
    return {
        "marks": [Mark(start + 1.6, SURE) for start in at_s],
        "nose_in": [Span(start, start + 2.4, SURE) for start in at_s],
        "hand_in": [Span(start + 2.0, start + 2.88, SURE) for start in at_s],
    }


@dataclass
class Plan:
    """What was read, and what a person who knows better presses at each doubted event."""

    lanes: dict[str, list[Any]] = field(default_factory=truth)
    answers: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.spoil_edges()
        self.doubt_the_right()
        self.lose_and_invent()

    def spoil_edges(self) -> None:
        self.put("marks", 10, (2,), "Comma Comma w")
        self.put("nose_in", 20, (3, 0), "Comma Comma Comma w")
        self.put("nose_in", 30, (0, -4), "t Period Period Period Period w")
        self.put("hand_in", 25, (-3, 0), "Period Period Period w")
        self.put("hand_in", 35, (0, 2), "t Comma Comma w")

    def put(self, lane: str, place: int, frames: tuple[int, ...], keys: str) -> None:
        held = self.lanes[lane][place]
        if isinstance(held, Mark):
            self.lanes[lane][place] = Mark(held.at_s + frames[0] * FRAME_S, DOUBTED)
        else:
            start, end = held.start_s + frames[0] * FRAME_S, held.end_s + frames[1] * FRAME_S
            self.lanes[lane][place] = Span(start, end, DOUBTED)
        self.answers[f"{lane}-{place}"] = keys

    def doubt_the_right(self) -> None:
        for lane in self.lanes:
            for place in (3, 13, 23, 33, 43, 53):
                self.put(lane, place, (0, 0), "y")

    def lose_and_invent(self) -> None:
        """One mark only doubted, one visit unseen; a mark and a hand that were none, named after the rest."""
        lost = self.lanes["marks"].pop()
        self.lanes["doubtful"] = [Mark(lost.at_s, 1 - DOUBTED)]
        self.answers["doubtful_marks-0"] = "y"
        self.lanes["nose_in"].pop(58)
        back, on = "Shift+ArrowLeft Shift+ArrowLeft", "Shift+ArrowRight Shift+ArrowRight"
        frames = " ".join(["ArrowRight"] * 10)
        self.answers["rep-60"] = f"{back} {frames} n {on} {frames} n w"
        self.lanes["marks"].append(Mark(starts_s(40) + 4.2, DOUBTED))
        self.answers[f"marks-{len(self.lanes['marks']) - 1}"] = "x"
        self.lanes["hand_in"].append(Span(starts_s(45) - 0.8, starts_s(45) - 0.4, DOUBTED))
        self.answers[f"hand_in-{len(self.lanes['hand_in']) - 1}"] = "x"


@pytest.fixture
def plan() -> Plan:
    return Plan()


@pytest.fixture
def desk(tmp_path: Path, plan: Plan) -> Iterator[Desk]:
    # Few pictures, so that the film is quickly made; steps go by the rate on the record.
    marks_s = [mark.at_s for mark in truth()["marks"]]
    film = write_film(tmp_path / "long.mp4", marks_s, seconds=SECONDS, frames_per_s=2)
    with desk_with(tmp_path / "data", film, plan.lanes, seconds=SECONDS) as made:
        yield made


def press(page: Page, keys: str) -> int:
    for key in keys.split():
        page.keyboard.press(key)
    return len(keys.split())


def chosen(page: Page) -> str:
    return str(page.evaluate("document.querySelector('.event.chosen')?.dataset.event ?? ''"))


def work_through(page: Page, answers: dict[str, str]) -> Counter[str]:
    """Look after look until nothing wants one; count the presses and the looks."""
    spent: Counter[str] = Counter(presses=press(page, "w"))
    while answers:
        page.evaluate("new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn)))")
        if not chosen(page) or chosen(page) not in answers:
            assert spent["waits"] < 3, f"never asked about: {answers}"
            expect(page.locator("#saved")).to_have_text("Saved.")
            spent += Counter(waits=1, presses=press(page, "w"))
            continue
        spent["looks"] += 1
        spent["presses"] += press(page, answers.pop(chosen(page)))
    expect(page.locator("#looks")).to_have_text("Nothing wants a look.")
    return spent


def test_five_minutes_are_put_right_in_under_two(plan: Plan, desk: Desk) -> None:
    with served(desk) as root, sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        page = browser.new_page(viewport={"width": 1440, "height": 900})
        page.set_default_timeout(8000)
        page.goto(root + TIMELINE)
        page.wait_for_function("document.getElementById('film').readyState > 1")
        spent = work_through(page, dict(plan.answers))
        expect(page.locator("#saved")).to_have_text("Saved.")
        browser.close()
    assert stands(desk) == pytest.approx(flat(truth()), abs=0.021)
    seconds = spent["presses"] * PRESS_S + spent["looks"] * (DECIDE_S + SEE_S)
    told = f"{spent['looks']} looks and {spent['presses']} presses, {seconds:.0f} s"
    assert seconds < 120
    assert told in " ".join((WEB / "timeline" / "keys.html").read_text(encoding="utf-8").split())


def flat(lanes: dict[str, Any]) -> list[float]:
    marks = sorted(mark.at_s for mark in lanes["marks"])
    spans = [(span.start_s, span.end_s) for lane in ("nose_in", "hand_in") for span in lanes[lane]]
    return [*marks, *(at_s for span in sorted(spans) for at_s in span)]


def stands(desk: Desk) -> list[float]:
    lanes = jobs.lanes_as(desk, SESSION, "standing")
    return flat({"marks": lanes.marks, "nose_in": lanes.nose_in, "hand_in": lanes.hand_in})
