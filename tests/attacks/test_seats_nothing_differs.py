"""Non-interference: two kennels that differ in the seed alone answer every blind browser alike, to the byte.

What must differ is replaced first: commitments and digests, times of day, form tokens, codes and cookies. The
second half opens runs that the two seeds hold alike, so that later runs are compared with opened ones behind.
"""

import re
from collections.abc import Iterator
from contextlib import ExitStack
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from tests.web.sealed import AID, Sealed, sealed
from tests.web.seated import PEOPLE, SeatClient

from nares.app import jobs
from nares.base.lineups import Placed, Role
from nares.design.keys import runs_from
from nares.design.lineups import Brief, draw_lineup

RUNS = 4
BLIND: tuple[Role, ...] = ("handler", "evaluator", "recorder")
HEX = re.compile(r"\b[0-9a-f]{12,64}\b")
FORM = re.compile(r'name="csrfmiddlewaretoken" value="\w+"')
TIME = re.compile(r"\d{4}-\d\d-\d\d[T ]\d\d:\d\d(:\d\d(\.\d+)?)?(Z|\+00:00)?|\b\d\d:\d\d:\d\d\b")


@dataclass
class Clock:
    """The same time in both kennels: a second later at each look."""

    at: datetime = datetime(2026, 3, 14, 14, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        self.at += timedelta(seconds=1)
        return self.at


@dataclass
class Kennel:
    """One of the two, with a browser for each seat and two without."""

    found: Sealed
    seats: dict[Role, SeatClient] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for role in PEOPLE:
            self.seats[role] = self.found.client(role)

    def blind(self) -> Iterator[tuple[str, SeatClient]]:
        yield from ((role, self.seats[role]) for role in BLIND)
        yield "seatless, away", self.found.client()
        yield "seatless, here", self.found.client(away=False)


def plain(answer: Any) -> str:
    """An answer without what cannot be alike."""
    headers = {name: value for name, value in answer.headers.items() if name not in ("Set-Cookie",)}
    text = f"{answer.status_code} {headers} {answer.content.decode('utf-8', 'replace')}"
    for pattern in (FORM, HEX, TIME):
        text = pattern.sub("~", text)
    return text


def everything(kennel: Kennel) -> dict[tuple[str, str, str], str]:
    """Every answer to every blind browser, at every address, by GET and HEAD."""
    name = kennel.found.lineup
    here, dog = f"/lineups/{name}", "/dogs/Teasel"
    near = [f"{one}{end}" for one in (here, dog, "/lineups") for end in ("/", ".json")]
    near += [f"{here}/{one}" for one in ("?guess=1", "score/", "score.json", "key.json", "paper/")]
    near += [f"{dog}/{one}" for one in ("lineups/", "lineups.json", "cues/", "cues.json")]
    entries = [f"/record/entries/{number}/" for number in range(1, kennel.found.desk.store.count() + 1)]
    found = {}
    for who, client in kennel.blind():
        wide = (
            [*near, *entries, "/record.json", "/record/", "/"]
            if who == "seatless, here"
            else ["/record.json"]
        )
        for address in sorted({"/seat/", "/seat.json", "/seat/placing.pdf", *wide}):
            for method in ("get", "head"):
                found[who, method, address] = plain(getattr(client, method)(address))
    return found


def alike(pair: tuple[Kennel, Kennel], stage: str) -> None:
    one, other = (everything(kennel) for kennel in pair)
    assert one.keys() == other.keys()
    differs = [where for where in one if one[where] != other[where]]
    assert differs == [], (stage, differs, _first(one, other, differs))


def _first(one: dict[Any, str], other: dict[Any, str], differs: list[Any]) -> str:
    if not differs:
        return ""
    a, b = one[differs[0]], other[differs[0]]
    at = next((n for n, (x, y) in enumerate(zip(a, b, strict=False)) if x != y), 0)
    return f"{a[max(0, at - 60) : at + 60]!r} / {b[max(0, at - 60) : at + 60]!r}"


def both(pair: tuple[Kennel, Kennel], role: Role, address: str, sent: dict[str, Any]) -> None:
    answers = [kennel.seats[role].post(address, sent) for kennel in pair]
    assert [answer.status_code for answer in answers] == [302, 302]
    assert plain(answers[0]) == plain(answers[1])


def place(pair: tuple[Kennel, Kennel], run: int) -> None:
    for kennel in pair:
        assert f"Place run {run}" in kennel.seats["placer"].get("/seat/").content.decode()
        kennel.seats["placer"].get("/seat/placing.pdf")
    alike(pair, f"run {run} shown to the placer")
    both(pair, "placer", "/seat/place/", {"run": run})
    alike(pair, f"run {run} placed")


def work(pair: tuple[Kennel, Kennel], run: int) -> None:
    both(pair, "evaluator", "/seat/begin/", {"run": run, "present": [PEOPLE["handler"], PEOPLE["evaluator"]]})
    alike(pair, f"run {run} begun")
    both(pair, "handler", "/seat/call/", {"run": run, "position": "2"})
    alike(pair, f"run {run} called")
    both(pair, "evaluator", "/seat/observe/", {"run": run, "alerted_at": "2", "visits": "1 0 2\n2 3 4 alert"})
    both(pair, "recorder", "/seat/observe/", {"run": run, "alerted_at": "2", "latency_s": "4.2"})
    alike(pair, f"run {run} observed")


@pytest.fixture
def kennels(tmp_path: Path) -> Iterator[Any]:
    with ExitStack() as stack:

        def made(*seeds: str, **wishes: Any) -> tuple[Kennel, Kennel]:
            one, other = (
                Kennel(stack.enter_context(sealed(tmp_path / str(n), seed, now=Clock(), **wishes)))
                for n, seed in enumerate(seeds)
            )
            return one, other

        yield made


def test_no_blind_browser_can_tell_two_seeds_apart_before_a_run_is_opened(kennels: Any) -> None:
    pair = kennels("a1" * 32, "b2" * 32, runs=RUNS)
    first, second = (runs_from(kennel.found.key()) for kennel in pair)
    assert all(one.placed != other.placed for one, other in zip(first, second, strict=True))
    assert len({len(run.targets) for run in (*first, *second)}) == 2  # blank runs against others too
    alike(pair, "sealed")
    for run in range(1, RUNS + 1):
        place(pair, run)
        work(pair, run)
        both(pair, "evaluator", "/seat/void/", {"run": run, "why": "A cat."})
        alike(pair, f"run {run} void")


def drawn_from(seed: str) -> tuple[tuple[Placed, ...], ...]:
    brief = Brief(
        area=jobs.lineup_area("straight", 2, "Long barn"), runs=3, targets_low=1, targets_high=1,
        blank_runs=None, aids=(AID,), distractors=(), controls=(), blinding="double", rules=None,
    )  # fmt: skip
    return tuple(run.placed for run in draw_lineup(brief, bytes.fromhex(seed)).runs)


def seeds_alike_until_the_last_run() -> tuple[str, str]:
    seeds = [f"{n:064x}" for n in range(1, 60)]
    drawn = {seed: drawn_from(seed) for seed in seeds}
    return next(
        (a, b) for a in seeds for b in seeds if drawn[a][:2] == drawn[b][:2] and drawn[a][2] != drawn[b][2]
    )


def test_with_opened_runs_behind_the_next_one_is_told_by_nothing(kennels: Any) -> None:
    one, other = seeds_alike_until_the_last_run()
    wishes = {
        "area": jobs.lineup_area("straight", 2, "Long barn"), "runs": 3, "targets_low": 1, "targets_high": 1,
        "blank_runs": None, "distractors": (),
    }  # fmt: skip
    pair = kennels(one, other, **wishes)
    first, second = (runs_from(kennel.found.key()) for kennel in pair)
    assert [a.placed == b.placed for a, b in zip(first, second, strict=True)] == [True, True, False]
    for run in (1, 2):
        place(pair, run)
        work(pair, run)
        both(pair, "evaluator", "/seat/open/", {"run": run})
        alike(pair, f"run {run} open")
    place(pair, 3)
    work(pair, 3)
    # What must be seen once it is open: the comparison is not blind itself.
    for kennel in pair:
        assert kennel.seats["evaluator"].post("/seat/open/", {"run": 3}).status_code == 302
    with pytest.raises(AssertionError, match="run 3 open"):
        alike(pair, "run 3 open")
