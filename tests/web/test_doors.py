"""Both doors write the same entry: a deed from a page and from the command line, compared value by value."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from tests.app.kennels import TickingClock, kennel, measure_by_hand
from tests.web.conftest import DeskClient

from nares.app import desk as desks
from nares.app import jobs
from nares.app.desk import Desk
from nares.cli.main import main
from nares.record.chain import Entry
from nares.web.application import DESK, MEASURINGS
from nares.web.sessions.forms import initial_of
from nares.web.sessions.measuring import Measurings
from nares.web.settings import configure


@dataclass(frozen=True, slots=True)
class Deed:
    """One deed as a page sends it and as it is typed."""

    address: str
    sent: Callable[[Desk], dict[str, Any]]
    typed: tuple[str, ...]


def row_with(**changed: Any) -> Callable[[Desk], dict[str, Any]]:
    def sent(desk: Desk) -> dict[str, Any]:
        line = jobs.session_page(desk, "moss-01").reps[0]
        row = line.kept or line.proposed
        assert row is not None
        return {**initial_of(row), **changed}

    return sent


def just(**values: Any) -> Callable[[Desk], dict[str, Any]]:
    return lambda desk: values


DEEDS = {
    "add a dog": Deed(
        "/add-dog/",
        just(name="Fern", breed="Whippet", born="2024-04-01", sex="female", programme="box", note=""),
        ("dog", "add", "Fern", "--breed", "Whippet", "--born", "2024-04-01", "--sex", "female"),
    ),
    "confirm all": Deed("/sessions/moss-01/confirm/", just(), ("session", "confirm", "moss-01")),
    "correct a measured rep": Deed(
        "/sessions/moss-01/reps/1/correct/",
        row_with(hold_s="1.1", why="Later."),
        ("session", "correct", "moss-01", "1", "hold_s=1.1", "--why", "Later."),
    ),
    "set a rep aside": Deed(
        "/sessions/moss-01/reps/2/set-aside/",
        just(why="A cat."),
        ("session", "set-aside", "moss-01", "2", "--why", "A cat."),
    ),
    "note signs": Deed(
        "/dogs/Moss/signs/",
        just(signs=["crouch", "yawn"], session="moss-01", rep="2", latency="", note="By the van."),
        (
            "dog",
            "signs",
            "Moss",
            "--sign",
            "crouch",
            "--sign",
            "yawn",
            "--session",
            "moss-01",
            "--rep",
            "2",
            "--note",
            "By the van.",
        ),
    ),
    "set a ration": Deed(
        "/dogs/Moss/card/ration/",
        just(ration_g="425.9", reward_g="0.5", bowl_g="300", rewards="", rewards_per_rep="1", note="Cold."),
        ("dog", "ration", "Moss", "--grams", "425.9", "--reward", "0.5", "--bowl", "300", "--note", "Cold."),
    ),
    "take the card": Deed("/dogs/Moss/card/take/", just(seen="0"), ("card", "Moss", "--take")),
    "amend an entry": Deed(
        "/record/amend/",
        just(entry="3", field="/note", new='"Wind."', why="Left out."),
        ("record", "amend", "3", "/note", "Wind.", "--why", "Left out."),
    ),
}


@contextmanager
def measured_kennel(data: Path) -> Iterator[Desk]:
    with kennel(data) as desk:
        measure_by_hand(desk)
        yield desk


def newest(desk: Desk, after: int) -> list[Entry]:
    head = desk.store.head()
    assert head is not None
    return [desk.store.entry(number) for number in range(after + 1, head[0] + 1)]


def by_page(desk: Desk, deed: Deed) -> list[Entry]:
    before = desk.store.count()
    configure(secret="a secret of the tests only")
    client = DeskClient()
    carried: dict[str, Any] = {DESK: desk, MEASURINGS: Measurings(desk)}
    client.defaults.update(carried)
    answer = client.post(deed.address, deed.sent(desk))
    assert answer.status_code == 302, answer.content.decode()
    return newest(desk, before)


def by_command(desk: Desk, deed: Deed, monkeypatch: pytest.MonkeyPatch) -> list[Entry]:
    before = desk.store.count()
    clock = TickingClock(desk.now())
    monkeypatch.setattr(desks, "_clock", lambda: clock.at)
    monkeypatch.setattr(desks, "_draws", lambda: np.random.default_rng(7))
    monkeypatch.setattr("sys.argv", ["nares", *deed.typed, "--by", "Wren", "--data", str(desk.data)])
    with pytest.raises(SystemExit) as end:
        main()
    assert end.value.code == 0
    return newest(desk, before)


def said(entries: list[Entry]) -> list[tuple[int, str, str, dict[str, Any]]]:
    return [(entry.number, entry.kind, entry.by, dict(entry.payload)) for entry in entries]


@pytest.mark.parametrize("deed", DEEDS.values(), ids=DEEDS)
def test_both_doors_write_the_same_entries(
    deed: Deed, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with measured_kennel(tmp_path / "page") as desk:
        paged = by_page(desk, deed)
    with measured_kennel(tmp_path / "command") as desk:
        typed = by_command(desk, deed, monkeypatch)
    assert paged
    assert said(paged) == said(typed)


def test_a_page_opened_before_a_correction_does_not_undo_it(tmp_path: Path) -> None:
    """Two people, one rep: the second form was opened before the first was sent."""
    with measured_kennel(tmp_path) as desk:
        opened = {
            **row_with()(desk),
            "hold_s": "0.9",
            "seen": str(jobs.session_page(desk, "moss-01").reps[0].seen),
        }
        by_page(desk, DEEDS["correct a measured rep"])
        before = desk.store.count()
        client = DeskClient()
        carried: dict[str, Any] = {DESK: desk, MEASURINGS: Measurings(desk)}
        client.defaults.update(carried)
        answer = client.post("/sessions/moss-01/reps/1/correct/", {**opened, "why": "I saw it so."})
        assert answer.status_code == 409
        page = answer.content.decode()
        assert "was changed since this page was opened" in page
        assert "You had typed: hold_s 0.9." in page
        assert 'name="hold_s" value="1.1"' in page  # sending again must not bring the old value back
        assert desk.store.count() == before
        fresh = {**opened, "seen": str(jobs.session_page(desk, "moss-01").reps[0].seen)}
        assert (
            client.post("/sessions/moss-01/reps/1/correct/", {**fresh, "why": "Agreed."}).status_code == 302
        )


def test_a_rep_set_aside_is_counted_again_from_its_page(tmp_path: Path) -> None:
    with measured_kennel(tmp_path) as desk:
        by_page(desk, DEEDS["correct a measured rep"])
        by_page(desk, Deed("/sessions/moss-01/reps/1/set-aside/", just(why="A cat."), ()))
        by_page(desk, Deed("/sessions/moss-01/reps/1/correct/", row_with(why="No cat after all."), ()))
        assert jobs.session_page(desk, "moss-01").reps[0].state != "set aside"
