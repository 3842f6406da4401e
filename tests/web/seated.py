"""Seats of a line-up with samples behind them: the fake jobs of a seat, and browsers that sit or do not."""

from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from types import SimpleNamespace
from typing import Any

import pytest
from django.test import Client

from nares.app import jobs
from nares.app.deeds import Receipt
from nares.app.lineups.requests import LeaveSeat, TakeSeat
from nares.app.lineups.values import (
    EvaluatingPage,
    HandlingPage,
    PlacingPage,
    RunView,
    Seat,
    SeatPage,
    Taken,
)
from nares.base.errors import Refused
from nares.base.lineups import Area, Called, Observed, Placed, Role, RunKey, Spot, Visit
from nares.web.application import DESK, MEASURINGS
from nares.web.seats.cookie import COOKIE
from nares.web.sessions.measuring import Measurings
from nares.web.settings import configure

NOW = datetime(2026, 3, 14, 14, 2, 11, 400_000, tzinfo=UTC)
DESK_SEATED = SimpleNamespace(person="Mara Quill", secret="a secret of the tests only", now=lambda: NOW)
LINEUP = "Teasel-7"
PEOPLE: dict[Role, str] = {
    "placer": "Joss Pike",
    "handler": "Mara Quill",
    "evaluator": "Ines Harrow",
    "recorder": "Tobin Fell",
}
CODES = {"PLACERCODE": "placer", "HANDLERCDE": "handler", "EVALUATRCD": "evaluator", "RECRDERCDE": "recorder"}
ROLES: tuple[Role, ...] = ("placer", "handler", "evaluator", "recorder")
DEEDS = ("place_run", "begin_run", "make_call", "observe_run", "open_run", "void_run", "close_lineup")
ADDRESSES = {
    "place_run": "/seat/place/",
    "begin_run": "/seat/begin/",
    "make_call": "/seat/call/",
    "observe_run": "/seat/observe/",
    "open_run": "/seat/open/",
    "void_run": "/seat/void/",
    "close_lineup": "/seat/close/",
}
MAY: dict[str, tuple[Role, ...]] = {
    "place_run": ("placer",),
    "begin_run": ("evaluator",),
    "make_call": ("handler",),
    "observe_run": ("evaluator", "recorder"),
    "open_run": ("evaluator",),
    "void_run": ("evaluator",),
    "close_lineup": ("evaluator",),
}
SENT: dict[str, dict[str, Any]] = {
    "place_run": {"run": "3", "note": "Box 2 was damp."},
    "begin_run": {"run": "3", "present": ["Mara Quill", "Ines Harrow"], "others": "Wren, Alder"},
    "make_call": {"run": "3", "position": "4"},
    "observe_run": {
        "run": "3",
        "alerted_at": "4",
        "latency_s": "12.5",
        "visits": "1 2 3\n4 9,5 6 alert",
        "handler_error": "Turned too soon.",
        "note": "",
    },
    "open_run": {"run": "3"},
    "void_run": {"run": "3", "why": "A cat."},
    "close_lineup": {"why": "Rain."},
}
HIDDEN = "tansy-lot-9"
"""What the target is called in these samples: a word that stands nowhere else."""


def area(positions: int = 6) -> Area:
    spots = tuple(Spot(n, f"can {n}", 0.5 + 1.2 * (n - 1), 0.8) for n in range(1, positions + 1))
    return Area("Long barn", "cans", 1.0 + 1.2 * (positions - 1), 1.6, spots)


def run_key(run: int = 3, target: int = 4) -> RunKey:
    def held(position: int) -> Placed:
        if position == target:
            return Placed(position, "target", HIDDEN, f"T{position}")
        if position == 2:
            return Placed(position, "distractor", "tape", "D2")
        if position == 5:
            return Placed(position, "control", "gloves", "C5")
        return Placed(position, "blank", "", f"B{position}")

    order = (*(n for n in range(1, 7) if n != target), target)
    return RunKey(run, tuple(held(n) for n in range(1, 7)), order, "ab" * 32)


def placing(**changed: Any) -> PlacingPage:
    page = PlacingPage(
        LINEUP, PEOPLE["placer"], area(), 20, run_key(), "waiting", "Run 3 is to be placed.", 20.0, (HIDDEN,),
        ("Fresh gloves for the target, last of all.",),
    )  # fmt: skip
    return replace(page, **changed)


def handling(**changed: Any) -> HandlingPage:
    page = HandlingPage(LINEUP, PEOPLE["handler"], "Teasel", area(), 20, 3, "running", "Work the dog.")
    return replace(page, **changed)


def evaluating(role: Role = "evaluator", **changed: Any) -> EvaluatingPage:
    page = EvaluatingPage(
        LINEUP, PEOPLE[role], role, "Teasel", area(), 20, 3, "running", "The dog works.",
        tuple(PEOPLE.values()), began_at="2026-03-14T14:02:01.000Z",
    )  # fmt: skip
    return replace(page, **changed)


SEEN = Observed(3, 4, 12.5, (Visit(1, 2.0, 3.0), Visit(4, 9.5, 6.0, True)), "Turned too soon.", "Windy.")
OPENED = RunView(
    2, "open", called=Called(2, 4, "Mara Quill", "2026-03-14T13:50:11.000Z"), observed=replace(SEEN, run=2),
    placed=run_key(2).placed, right=True, blinding="double", because=("Nobody present knew.",),
)  # fmt: skip


@dataclass
class FakeSeats:
    """The jobs of the seats, answering with samples; ``refuse`` is raised by the next deed when set."""

    pages: dict[Role, SeatPage] = field(default_factory=dict)
    tokens: dict[str, Seat] = field(default_factory=dict)
    asked: list[Any] = field(default_factory=list)
    refuse: Exception | None = None
    sheets: int = 0

    def __post_init__(self) -> None:
        self.pages = {
            "placer": placing(),
            "handler": handling(),
            "evaluator": evaluating(),
            "recorder": evaluating("recorder"),
        }

    def take_seat(self, desk: Any, asked: TakeSeat) -> Taken:
        self.asked.append(asked)
        if self.refuse:
            raise self.refuse
        if asked.code not in CODES:
            raise Refused("This code opens no seat. Look at it again.")
        return self.seated(next(role for role in ROLES if role == CODES[asked.code]))

    def seated(self, role: Role, lineup: str = LINEUP) -> Taken:
        token = f"token-{lineup}-{role}-{len(self.tokens)}"
        self.tokens[token] = Seat(lineup, role, PEOPLE[role])
        return Taken(self.tokens[token], token)

    def seat_of(self, desk: Any, token: str) -> Seat | None:
        return self.tokens.get(token)

    def leave_seat(self, desk: Any, asked: LeaveSeat) -> None:
        self.tokens.pop(asked.token, None)

    def seat_page(self, desk: Any, token: str) -> SeatPage:
        return self.pages[self.tokens[token].role]

    def placing_sheet(self, desk: Any, token: str) -> bytes:
        self.sheets += 1
        return b"%PDF-1.7 " + HIDDEN.encode()

    def deed(self, desk: Any, asked: Any) -> Receipt:
        if self.refuse:
            raise self.refuse
        self.asked.append(asked)
        return Receipt(9, "0" * 64, "It is on the record.")

    def put_in(self, monkeypatch: pytest.MonkeyPatch) -> None:
        for name in ("take_seat", "seat_of", "leave_seat", "seat_page", "placing_sheet"):
            monkeypatch.setattr(jobs, name, getattr(self, name), raising=False)
        for name in DEEDS:
            monkeypatch.setattr(jobs, name, self.deed, raising=False)


class SeatClient(Client):
    """A browser without scripts; ``away``: on another machine."""

    def __init__(self, *, desk: Any = DESK_SEATED, away: bool = False, **given: Any) -> None:
        super().__init__(raise_request_exception=False, **given)
        configure(secret=desk.secret)
        carried: dict[str, Any] = {DESK: desk, MEASURINGS: Measurings(desk)}
        self.defaults.update(carried)
        self.defaults["SERVER_NAME"] = "127.0.0.1"
        self.defaults["REMOTE_ADDR"] = "192.168.7.20" if away else "127.0.0.1"

    def saying(self, header: str, value: str) -> "SeatClient":
        """The same browser with one more header in every request."""
        self.defaults[header] = value
        return self

    def sit(self, code: str) -> "SeatClient":
        answer = self.post("/seat/", {"code": code})
        assert answer.status_code == 302, answer.content.decode()
        assert self.cookies[COOKIE].value
        return self
