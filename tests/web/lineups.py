"""Line-ups of the invented Saltmarsh Kennels, and jobs that answer with them and remember what was asked."""

import hashlib
from dataclasses import dataclass, field, replace
from math import cos, pi, sin
from typing import Any

from nares.app.deeds import Receipt
from nares.app.lineups.choosing import RuleChoice
from nares.app.lineups.requests import CloseLineup, DrawLineup
from nares.app.lineups.values import (
    Drawn,
    Guess,
    LineupLine,
    LineupPage,
    LineupsPage,
    RunView,
    SeatCode,
    SeatView,
)
from nares.base.errors import OutOfRange, Unknown
from nares.base.lineups import Area, Called, Observed, Placed, Shape, Smell, Spot, Visit

NAME = "Bracken-line-up-3"
SEALED = "2026-03-14T08:30:00.000Z"
COMMITMENT = hashlib.sha256(b"a key nobody has seen").hexdigest()
CODES = ("K7PRWXH4MD", "3FGTN9QWKP", "HJ4XRM7PTD")
RULES = (
    RuleChoice("no-long-run", "No position holds the target more than twice in a row.", True),
    RuleChoice("win-stay", "Going back to where the target was last pays no more often than chance.", True),
    RuleChoice(
        "halves", "Each position holds the target as often in the first half as in the second.", False
    ),
)


def area(shape: Shape = "straight", positions: int = 6, place: str = "Yard") -> Area:
    """Positions in a row 1.5 m apart, or around a ring."""
    wide, deep = 1.5 * positions + 1.5, 3.0
    at = [(1.5 * n + 1.5, 1.5) for n in range(positions)]
    if shape == "ring":
        wide = deep = 8.0
        turns = [2 * pi * n / positions for n in range(positions)]
        at = [(round(4 + 3 * sin(turn), 1), round(4 - 3 * cos(turn), 1)) for turn in turns]
    if shape == "vehicles":
        wide, deep = 12.0, 7.0
        at = [(1.5 + 3.2 * (n // 4) + 1.8 * (n % 2), 1.5 + 2.4 * (n % 4 // 2)) for n in range(positions)]
        at = [(round(x, 1), round(y, 1)) for x, y in at]
    spots = tuple(Spot(n, str(n), x, y) for n, (x, y) in enumerate(at, start=1))
    return Area(place, shape, wide, deep, spots, shape in ("room", "vehicles"))


def line(name: str = NAME, *, opened: int = 2, closed: bool = False) -> LineupLine:
    return LineupLine(name, "Bracken", SEALED, "Yard", "straight", 6, 4, opened, 0, closed, "double")


def page_of_all(*lines: LineupLine) -> LineupsPage:
    return LineupsPage(lines, ("Bracken", "Teasel", "Sedge"))


def placed(target: int | None) -> tuple[Placed, ...]:
    """A run with the target at a position, a distractor at 2, a control at 4, a warm spot at 6."""
    held = {2: Placed(2, "distractor", "rope"), 4: Placed(4, "control", "gloves"), 6: Placed(6, "warm")}
    if target is not None:
        held[target] = Placed(target, "target", "lot 7")
    return tuple(held.get(n, Placed(n, "blank")) for n in range(1, 7))


def opened(run: int, target: int | None, call: int | None) -> RunView:
    seen = Observed(run, call, 14.2, (Visit(2, 3.0, 1.2), Visit(call or 1, 9.0, 5.0, call is not None)))
    return RunView(
        run,
        "open",
        placed_at=SEALED,
        began_at=SEALED,
        present=("Joss Pike", "Ines Harrow"),
        called=Called(run, call, "Joss Pike", SEALED),
        observed=seen,
        opened_at=SEALED,
        placed=placed(target),
        right=target == call,
        blinding="double",
        because=("Nobody present had seen the key of this run.", "The call stood before the key was opened."),
        commitment=hashlib.sha256(str(run).encode()).hexdigest(),
    )


def lineup() -> LineupPage:
    """Two runs open, one called, one waiting."""
    called = RunView(3, "called", SEALED, SEALED, ("Joss Pike",), Called(3, 4, "Joss Pike", SEALED))
    return LineupPage(
        lineup=NAME,
        dog="Bracken",
        sealed_at=SEALED,
        sealed_by="Mara Quill",
        commitment=COMMITMENT,
        area=area(),
        targets_low=0,
        targets_high=1,
        blank_runs=0.25,
        aids=("lot 7",),
        distractors=(Smell("rope", True), Smell("tape", False), Smell("biscuit")),
        controls=("packaging", "gloves"),
        aim="double",
        drawing="independent",
        rules=(),
        tries=1,
        set_time_min=20.0,
        seats=(
            SeatView("placer", "Tobin Fell", SEALED),
            SeatView("handler", "Joss Pike", SEALED),
            SeatView("evaluator", "Ines Harrow"),
        ),
        runs=(opened(1, 3, 3), opened(2, None, 5), called, RunView(4, "waiting")),
        guesses=(
            Guess("Always the same position", 1 / 6, 1 / 6, "Calls one position in every run."),
            Guess("Best possible", 0.25, 1 / 6, "Knows how it is drawn and sees every outcome."),
        ),
        findings=("The same person handed out the codes and works the dog.", "Only 4 runs were asked for."),
        entry=41,
    )


def closed() -> LineupPage:
    """All runs open or void, the key opened."""
    runs = (opened(1, 3, 3), opened(2, None, 5), opened(3, 1, 1), RunView(4, "void", void="Rain came."))
    key: dict[str, object] = {"lineup": NAME, "nonce": "00" * 32, "runs": [{"run": 1}]}
    return replace(lineup(), runs=runs, closed_at=SEALED, holds=True, key=key)


@dataclass
class FakeLineups:
    """Every job around line-ups the pages call. ``refuse`` is raised by the next deed when set."""

    all: LineupsPage = field(
        default_factory=lambda: page_of_all(line(), line("Bracken-line-up-2", closed=True))
    )
    one: LineupPage = field(default_factory=lineup)
    refuse: Exception | None = None
    asked: list[DrawLineup | CloseLineup] = field(default_factory=list)

    def lineups_page(self, desk: Any) -> LineupsPage:
        return self.all

    def lineup_page(self, desk: Any, lineup: str, *, reckon: bool = True) -> LineupPage:
        if lineup != self.one.lineup:
            raise Unknown(f"There is no line-up {lineup!r}. They are listed under Line-ups.")
        return self.one if reckon or self.one.drawing == "independent" else replace(self.one, guesses=())

    def lineup_area(self, shape: Shape, positions: int, place: str) -> Area:
        if positions > 40:
            raise OutOfRange(f"{positions} positions do not fit. Give 40 or fewer.")
        return area(shape, positions, place)

    def rule_choices(self) -> tuple[RuleChoice, ...]:
        return RULES

    def draw_lineup(self, desk: Any, asked: DrawLineup) -> Drawn:
        if self.refuse:
            raise self.refuse
        self.asked.append(asked)
        codes = (
            SeatCode("placer", "Tobin Fell", CODES[0]),
            SeatCode("handler", "Joss Pike", CODES[1]),
            SeatCode("evaluator", "", CODES[2]),
        )
        said = f"{NAME}: 10 runs are drawn and sealed. Entry 41."
        return Drawn(NAME, 41, "f" * 64, said, COMMITMENT, codes)

    def close_lineup(self, desk: Any, asked: CloseLineup) -> Receipt:
        if self.refuse:
            raise self.refuse
        self.asked.append(asked)
        return Receipt(52, "f" * 64, "The key is opened. Entry 52.", NAME)

    def call_sheet(self, desk: Any, lineup: str) -> bytes:
        return b"%PDF of " + self.lineup_page(desk, lineup).lineup.encode()


JOBS = (
    "lineups_page",
    "lineup_page",
    "lineup_area",
    "rule_choices",
    "draw_lineup",
    "close_lineup",
    "call_sheet",
)
