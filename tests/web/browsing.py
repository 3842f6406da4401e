"""A real browser on the fake jobs: Chromium where one is found, and what every page must keep to."""

import shutil
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlsplit

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import ConsoleMessage, Page, Request

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
SCREENS = Path(__file__).resolve().parents[2] / ".artifacts" / "screens"
OVERFLOW = """() => [document.documentElement.scrollWidth - innerWidth,
  [...document.querySelectorAll("main *, header *")]
    .filter((e) => e.getBoundingClientRect().right > innerWidth + 1)
    .filter((e) => !e.closest(".scrolls, .payload, .stage, .unseen, thead"))
    .slice(0, 5).map((e) => e.outerHTML.slice(0, 90))]"""
TOO_SMALL = """() => [...document.querySelectorAll(
  "button, summary, select, .button, input, label:has(input)")]
  .filter((e) => !["hidden", "checkbox", "radio"].includes(e.type) && e.checkVisibility())
  .filter((e) => { const box = e.getBoundingClientRect(); return box.height < 43.5 || box.width < 43.5; })
  .map((e) => e.outerHTML.slice(0, 90))"""


@dataclass
class Watched:
    """A page, and everything it asked for and complained of."""

    page: Page
    root: str
    asked: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.page.on("request", self._asked)
        self.page.on("console", self._said)
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))

    def _asked(self, request: Request) -> None:
        self.asked.append(request.url)

    def _said(self, message: ConsoleMessage) -> None:
        if message.type in ("error", "warning"):
            self.complaints.append(message.text)

    def open(self, address: str) -> Page:
        """Open one of our pages and wait until it has settled."""
        self.page.goto(self.root + address)
        self.page.evaluate("document.fonts.ready")
        if self.page.locator("#film").count():
            self.page.wait_for_function("document.getElementById('film').readyState > 1")
        return self.page

    def outside(self) -> list[str]:
        """Every address asked for that is not on this machine."""
        return [
            url for url in self.asked if urlsplit(url).scheme not in ("blob", "data") and not self._own(url)
        ]

    def _own(self, url: str) -> bool:
        return url.startswith(self.root + "/")


def faults_of(page: Page) -> list[str]:
    """What axe-core finds wrong with the page, one line each."""
    found = Axe().run(page).response["violations"]
    return [
        f"{rule['id']}: {node['html'][:120]} {node['failureSummary'][:300]}"
        for rule in found
        for node in rule["nodes"]
    ]
