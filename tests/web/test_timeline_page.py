"""The timeline without a browser: the page, its twin, and the address where changes arrive."""

import json
import time
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from tests.web.conftest import DeskClient
from tests.web.timelines import SESSION, TIMELINE, desk_with, short_lanes

from nares.app import jobs
from nares.app.deeds import MeasureAgain, Receipt
from nares.app.desk import Desk
from nares.base.vocab import Region
from nares.web.application import DESK
from nares.web.settings import configure

EDITS = f"{TIMELINE}edits.json"


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    film = tmp_path / "film.mp4"
    film.write_bytes(b"not really a film")
    with desk_with(tmp_path / "data", film, short_lanes(), seconds=12) as made:
        yield made


@pytest.fixture
def door(desk: Desk) -> DeskClient:
    configure(secret="a secret of the tests only")
    client = DeskClient()
    carried: dict[str, Any] = {DESK: desk}
    client.defaults.update(carried)
    return client


def edit(
    name: str, deed: str = "added", event: str = "", now: tuple[float, ...] = (4.0,), **other: Any
) -> Any:
    return {
        "edit": name,
        "lane": "marks",
        "deed": deed,
        "event": event or name,
        "was": [],
        "now": now,
        **other,
    }


def send(door: DeskClient, *edits: Any, sheet: str = "reading", status: int = 200) -> Any:
    body = {"sheet": sheet, "reading": None, "edits": edits}
    answer = door.post(EDITS, json.dumps(body), content_type="application/json")
    assert answer.status_code == status, answer.content
    return answer.json()


def test_the_page_shows_all_that_stands_without_scripts(door: DeskClient) -> None:
    page = door.get(TIMELINE).content.decode()
    assert "Mark at 2.50 s, 98 % sure" in page
    assert "Changing events needs scripts" in page
    assert f"/sessions/{SESSION}/" in page


def test_a_batch_is_answered_edit_by_edit(door: DeskClient) -> None:
    said = send(door, edit("a"), edit("b", "moved", "marks-9"))
    assert said["saved"] == ["a"]
    assert said["refused"] == {"b": "This event was removed meanwhile: look again."}
    assert [one["edit"] for one in said["edits"]] == ["a"]
    assert send(door, edit("a"))["saved"] == ["a"]
    assert len(door.get(f"/sessions/{SESSION}/timeline.json").json()["edits"]) == 1


def test_an_edit_is_made_by_whoever_acts_whatever_it_says(door: DeskClient, desk: Desk) -> None:
    send(door, edit("a", by="The supervisor"))
    assert [one.by for one in jobs.timeline_page(desk, SESSION).edits] == ["Mara Quill"]


def test_an_own_sheet_is_sent_nothing_of_the_machines(door: DeskClient) -> None:
    send(door, edit("a"), sheet="own")
    page = door.get(f"{TIMELINE}own/").content.decode()
    twin = door.get(f"{TIMELINE}own.json").json()
    assert (twin["read"], twin["reps"], twin["page"]) == ([], [], None)
    assert [one["edit"] for one in twin["edits"]] == ["a"]
    assert "2.5" not in page.split("timeline-data")[1].split("</script>")[0]


BAD = [
    (b"{", "cannot be read"),
    (b"[]", "cannot be read"),
    (json.dumps({"sheet": "all", "reading": None, "edits": []}).encode(), "no sheet 'all'"),
    (json.dumps({"sheet": "own", "reading": None, "edits": [{"edit": 1}]}).encode(), "cannot be read"),
    (b" " * 200_001, "over 200 kB"),
]


@pytest.mark.parametrize(("body", "said"), BAD)
def test_what_is_no_batch_is_said_in_words(door: DeskClient, body: bytes, said: str) -> None:
    answer = door.post(EDITS, body, content_type="application/json")
    assert answer.status_code == 422
    assert said in answer.json()["error"]


def test_without_the_forms_token_nothing_is_taken(door: DeskClient, desk: Desk) -> None:
    strict = DeskClient(enforce_csrf_checks=True)
    strict.defaults.update(door.defaults)
    body = json.dumps({"sheet": "reading", "reading": None, "edits": [edit("a")]})
    assert strict.post(EDITS, body, content_type="application/json").status_code == 403
    assert jobs.timeline_page(desk, SESSION).edits == ()


def test_a_session_nobody_knows_is_not_found(door: DeskClient) -> None:
    assert door.get("/sessions/none/timeline/").status_code == 404


def test_names_are_escaped_inside_the_pages_data(door: DeskClient) -> None:
    door.post("/person/", {"person": "</script><b>Wren", "next": "/"})
    send(door, edit("a"))
    assert "</script><b>" not in door.get(TIMELINE).content.decode()


def test_a_confirmed_rep_whose_events_changed_can_follow_them(door: DeskClient, desk: Desk) -> None:
    door.post(f"/sessions/{SESSION}/reps/1/confirm/")
    send(door, edit("a", "moved", "marks-0", (2.0,)))
    page = door.get(f"/sessions/{SESSION}/reps/1/").content.decode()
    assert "hold 1.50 s is now 1.00 s" in page
    assert door.post(f"/sessions/{SESSION}/reps/1/follow/").status_code == 302
    kept = jobs.session_page(desk, SESSION).reps[0].kept
    assert kept is not None
    assert kept.hold_s == pytest.approx(1.0)
    assert "is now" not in door.get(f"/sessions/{SESSION}/reps/1/").content.decode()
    assert door.post(f"/sessions/{SESSION}/reps/9/follow/").status_code == 404


REGIONS = f"{TIMELINE}regions/"


def test_the_openings_are_shown_as_they_were_measured(door: DeskClient) -> None:
    page = door.get(REGIONS).content.decode()
    assert 'value="0.1,0.1,0.2,0.2"' in page
    assert "Propose openings" in page


def test_openings_that_cannot_be_are_said_beside_them(door: DeskClient) -> None:
    answer = door.post(REGIONS, {"front": "0.9,0.9,0.9,0.9", "side": ""})
    assert answer.status_code == 422
    assert "does not lie inside the picture" in answer.content.decode()
    answer = door.post(REGIONS, {"front": "", "side": ""})
    assert answer.status_code == 422
    assert "Draw at least one opening" in answer.content.decode()


def test_what_is_proposed_waits_for_a_person(
    door: DeskClient, desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = SimpleNamespace(front=SimpleNamespace(region=Region(0.25, 0.5, 0.1, 0.125), sure=0.83), side=None)
    monkeypatch.setattr(jobs, "regions_proposed", lambda desk, session: found)
    before = jobs.record_page(desk).total
    page = door.get(f"{REGIONS}?propose=1").content.decode()
    assert 'value="0.25,0.5,0.1,0.125"' in page
    assert "front opening: 83 % sure, side opening: none seen" in page
    assert jobs.record_page(desk).total == before


def test_a_film_that_cannot_be_read_is_said_where_it_was_asked(door: DeskClient) -> None:
    answer = door.get(f"{REGIONS}?propose=1")
    assert answer.status_code == 422
    assert 'role="status"' in answer.content.decode()


def test_measuring_again_goes_to_the_page_that_shows_how_far_it_is(
    door: DeskClient, desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[MeasureAgain] = []

    def again(desk: Desk, said: MeasureAgain, progress: Any) -> Receipt:
        asked.append(said)
        return Receipt(9, "f" * 64, "Measured.", SESSION)

    monkeypatch.setattr(jobs, "measure_again", again)
    answer = door.post(REGIONS, {"front": "0.2,0.2,0.1,0.1", "side": ""}, follow=True)
    assert answer.status_code == 200
    for _ in range(100):
        if asked:
            break
        time.sleep(0.02)
    assert asked == [MeasureAgain(SESSION, "Mara Quill", Region(0.2, 0.2, 0.1, 0.1), None)]
