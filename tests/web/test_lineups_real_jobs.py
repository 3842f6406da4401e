"""Line-ups on the real jobs and a real record: drawn on the page, looked at sealed, closed, checked."""

import hashlib
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import rfc8785
from tests.web.conftest import DeskClient
from tests.web.test_draw_lineup import sent

from nares.app import jobs
from nares.app.deeds import AddDog
from nares.app.desk import Desk, open_desk
from nares.web.application import DESK
from nares.web.settings import configure


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with open_desk(tmp_path / "data", person="Mara Quill", kennel="Saltmarsh Kennels", site="yard") as made:
        jobs.add_dog(made, AddDog("Bracken", "Labrador Retriever"))
        yield made


@pytest.fixture
def door(desk: Desk) -> DeskClient:
    configure(secret="a secret of the tests only")
    client = DeskClient()
    carried: dict[str, Any] = {DESK: desk}
    client.defaults.update(carried)
    return client


def wide(**changed: Any) -> dict[str, Any]:
    """A form with room for everything that goes along, as a browser sends it after laying out six."""
    form = sent(**({"positions": "6", "width_m": "9.5", "depth_m": "2", "rules": []} | changed))
    for n in range(1, 7):
        form |= {f"name-{n}": f"stand {n}", f"x-{n}": str(1.5 * n - 0.5), f"y-{n}": "1"}
    return form


def drawn(door: DeskClient, **changed: Any) -> str:
    """Draw a line-up on the page; its name."""
    answer = door.post("/lineups/new/", wide(**changed))
    said = answer.content.decode()
    assert answer.status_code == 200, re.findall(r'class="fault[^>]*>([^<]*)', said)
    assert "Shown this once." in said
    said = door.get("/lineups.json").json()
    return str(said["lines"][0]["lineup"])


def test_the_form_as_it_comes_is_drawn_once_people_are_named(door: DeskClient) -> None:
    page = door.get("/lineups/new/").content.decode()
    inputs = [
        dict(re.findall(r'(name|value|type)="([^"]*)"', tag)) for tag in re.findall("<input[^>]*>", page)
    ]
    form = {
        one["name"]: one.get("value", "")
        for one in inputs
        if "name" in one and one.get("type") not in ("checkbox", "radio") and not one["name"].endswith("-0")
    }
    people = {"placer": "Tobin Fell", "handler": "Joss Pike", "evaluator": "Ines Harrow"}
    chosen = {"dog": "Bracken", "shape": "straight", "aids": "target", "blinding": "double", "do": "draw"}
    answer = door.post("/lineups/new/", {**form, **chosen, **people, "place": "Yard"})
    assert answer.status_code == 200
    assert "Shown this once." in answer.content.decode()


def test_a_line_up_is_drawn_looked_at_and_closed(door: DeskClient, desk: Desk) -> None:
    name = drawn(door)
    assert name in door.get("/lineups/").content.decode()
    said = door.get(f"/lineups/{name}/").content.decode()
    commitment = jobs.lineup_page(desk, name).commitment
    assert commitment in said
    assert "Nobody does better than chance" in said
    assert "What lay there" not in said
    assert "target, lot 7" not in said
    answer = door.post(f"/lineups/{name}/close/", {"why": "Rain came.", "sure": "on"})
    assert answer.status_code == 302
    said = door.get(f"/lineups/{name}/").content.decode()
    assert "Gives the commitment: yes." in said
    assert said.count("Rain came.") >= 10
    key = door.get(f"/lineups/{name}/key.json").json()
    assert hashlib.sha256(rfc8785.dumps(key)).hexdigest() == commitment


def test_codes_are_in_no_page_after_the_first(door: DeskClient) -> None:
    said = door.post("/lineups/new/", wide()).content.decode()
    codes = [
        "".join(re.findall(r"<span>([^<]+)</span>", card))
        for card in re.findall(r'class="code"[^>]*>(.*?)</p>', said)
    ]
    assert [len(code) for code in codes] == [10, 10, 10]
    for address in ("/lineups/", "/lineups.json", "/lineups/new/", "/record/", "/record.json"):
        page = door.get(address).content.decode().replace("</span><span>", "")
        assert not any(code in page for code in codes)


def test_a_known_order_keeps_its_rules_and_says_so_in_words(door: DeskClient) -> None:
    name = drawn(door, blinding="known", blank_runs="", targets_low="1", runs="6", rules=["longest_run_3"])
    said = door.get(f"/lineups/{name}/").content.decode()
    assert "At most three times running at the same position." in said
    assert "Work it out" in said
    assert "best possible" in door.get(f"/lineups/{name}/?guess=1").content.decode()


def test_the_usual_rules_are_kept_as_far_as_so_few_runs_can(door: DeskClient, desk: Desk) -> None:
    usual = [rule.key for rule in jobs.rule_choices() if rule.usual]
    name = drawn(door, blinding="known", blank_runs="", targets_low="1", runs="4", rules=usual)
    kept = jobs.lineup_page(desk, name).rules
    assert 0 < len(kept) < len(usual)


def test_what_cannot_be_drawn_is_refused_with_the_form_as_it_was(door: DeskClient, desk: Desk) -> None:
    smells = {f"smell-{n}": f"thing {n}" for n in range(1, 7)}
    answer = door.post("/lineups/new/", wide(**smells))
    assert answer.status_code == 422
    said = answer.content.decode()
    assert "do not fit into 6 positions" in said
    assert "Wind from the sea." in said
    assert 'value="thing 6"' in said
    assert jobs.lineups_page(desk).lines == ()


@pytest.mark.parametrize("shape", ["straight", "ring", "boxes", "cans", "room", "vehicles", "parcels"])
def test_every_shape_is_laid_out_and_looked_over_without_a_fault(door: DeskClient, shape: str) -> None:
    said = door.post("/lineups/new/", wide(do="lay", shape=shape, positions="12")).content.decode()
    assert said.count('class="spot-row"') == 13  # one is the pattern for more
    area = door.get(f"/lineups/new/area.json?shape={shape}&positions=12").json()
    assert len(area["spots"]) == 12
