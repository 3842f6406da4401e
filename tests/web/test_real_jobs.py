"""The pages on the real jobs and a real record, from an empty kennel to a verified correction."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import msgspec
import pytest
from tests.web.conftest import DeskClient

from nares.app import jobs
from nares.app.deeds import ImportReps
from nares.app.desk import Desk, open_desk
from nares.app.pages import DogPage, RecordPage, SessionPage, TodayPage
from nares.app.progress_page import ProgressPage
from nares.web.application import DESK
from nares.web.settings import configure

HEADER = (
    "dog,session,started_at,step,rep,ask_s,hold_s,ended_by,met,hand,pay_place,distance_m,disturbance,"
    "source,cues,paid"
)
ROW = "Bracken,bracken-01,2026-03-14T08:30:00Z,{step},{rep},1,1.2,mark,1,inside,inside,0,0,target,target,1"


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with open_desk(tmp_path / "data", person="Mara Quill", kennel="Saltmarsh Kennels", site="yard") as made:
        yield made


@pytest.fixture
def door(desk: Desk) -> DeskClient:
    configure(secret="a secret of the tests only")
    client = DeskClient()
    carried: dict[str, Any] = {DESK: desk}
    client.defaults.update(carried)
    return client


def add_bracken(door: DeskClient) -> None:
    door.post("/add-dog/", {"name": "Bracken", "breed": "Labrador Retriever", "programme": "box"})


def import_reps(desk: Desk, tmp_path: Path) -> None:
    step = jobs.dog_page(desk, "Bracken").steps[0].key
    table = tmp_path / "reps.csv"
    table.write_text("\n".join([HEADER, *(ROW.format(step=step, rep=rep) for rep in range(1, 6))]) + "\n")
    jobs.import_reps(desk, ImportReps(table, "Mara Quill"))


def test_an_empty_kennel_says_what_to_do(door: DeskClient) -> None:
    page = door.get("/").content.decode()
    assert "Saltmarsh Kennels" in page
    assert "Add the first dog" in page


def test_a_dog_added_in_the_browser_is_on_the_record(door: DeskClient, desk: Desk) -> None:
    add_bracken(door)
    assert [card.name for card in jobs.today_page(desk).dogs] == ["Bracken"]
    assert "No session yet" in door.get("/").content.decode()
    assert door.get("/dogs/Bracken/").status_code == 200


def test_the_same_dog_twice_is_refused_in_place(door: DeskClient, desk: Desk) -> None:
    add_bracken(door)
    before = jobs.record_page(desk).total
    answer = door.post("/add-dog/", {"name": "Bracken", "breed": "Labrador", "programme": "box"})
    assert answer.status_code == 409
    assert "Bracken" in answer.content.decode()
    assert jobs.record_page(desk).total == before


def test_a_kept_rep_is_corrected_in_the_open(door: DeskClient, desk: Desk, tmp_path: Path) -> None:
    add_bracken(door)
    import_reps(desk, tmp_path)
    kept = jobs.session_page(desk, "bracken-01").reps[1].kept
    assert kept is not None
    form = {
        "ask_s": "1",
        "hold_s": "0.7",
        "ended_by": "dog",
        "met": "0",
        "hand": "inside",
        "pay_place": "inside",
    }
    form |= {"paid": "1", "distance_m": "0", "disturbance": "0", "source": "target", "step": kept.step}
    answer = door.post(
        "/sessions/bracken-01/reps/2/correct/", {**form, "cues": "target", "why": "Seen on film."}
    )
    assert answer.status_code == 302
    line = jobs.session_page(desk, "bracken-01").reps[1]
    assert line.kept is not None
    assert (line.kept.hold_s, line.kept.ended_by, line.kept.met) == (0.7, "dog", False)
    page = door.get("/sessions/bracken-01/reps/2/").content.decode()
    assert "Seen on film." in page
    assert "<strong>Hold (s)</strong>" in page
    assert "The record holds" in door.get("/record/?verify=1").content.decode()


def test_an_entry_is_amended_on_the_page_record(door: DeskClient, desk: Desk) -> None:
    add_bracken(door)
    number = next(entry.number for entry in jobs.record_page(desk).entries if entry.kind == "dog_added")
    given = {"entry": number, "field": "/breed", "new": "Springer Spaniel", "why": "Misread."}
    assert door.post("/record/amend/", given).status_code == 302
    assert jobs.dog_page(desk, "Bracken").card.breed == "Springer Spaniel"
    assert f'Corrects <a href="/record/entries/{number}/">' in door.get("/record/").content.decode()


def test_an_entry_that_is_not_there_is_said_in_place(door: DeskClient) -> None:
    given = {"entry": "999", "field": "/breed", "new": "x", "why": "y"}
    assert door.post("/record/amend/", given).status_code == 404


def test_the_twins_are_the_pages(door: DeskClient, desk: Desk, tmp_path: Path) -> None:
    add_bracken(door)
    import_reps(desk, tmp_path)
    twin = door.get("/dogs/Bracken.json").json()
    assert msgspec.convert(twin, DogPage) == jobs.dog_page(desk, "Bracken")
    twin = door.get("/sessions/bracken-01.json").json()
    assert msgspec.convert(twin, SessionPage) == jobs.session_page(desk, "bracken-01")
    assert msgspec.convert(door.get("/record.json").json(), RecordPage) == jobs.record_page(desk)
    assert msgspec.convert(door.get("/today.json").json(), TodayPage).dogs == jobs.today_page(desk).dogs


@pytest.mark.parametrize(
    "address", ["/dogs/Rex/", "/sessions/none/", "/media/" + "0" * 64, "/record/?page=99"]
)
def test_what_is_not_on_the_record_is_a_sentence(door: DeskClient, address: str) -> None:
    answer = door.get(address)
    assert answer.status_code in (200, 404)
    assert "Traceback" not in answer.content.decode()


def test_a_dogs_page_says_how_often_a_call_is_wrong(door: DeskClient, desk: Desk, tmp_path: Path) -> None:
    add_bracken(door)
    import_reps(desk, tmp_path)
    page = door.get("/dogs/Bracken/").content.decode()
    assert (
        "A dog at 60\xa0% would be raised by luck 1 time in 20; one at 85\xa0% is raised 80 times in 100"
        in page
    )
    assert "raises a dog at 60\xa0% 77 times in 100" in page
    assert "Over the 27 raises of the programme" in page
    assert "raised too early at least once 74 times in 100. To keep that to 1 time in 5" in page
    assert "set false_raise to 0.0082" in page
    assert "8 of 8, 10 of 10" in page


def test_the_list_of_sessions_goes_on_page_by_page(door: DeskClient, desk: Desk, tmp_path: Path) -> None:
    add_bracken(door)
    step = jobs.dog_page(desk, "Bracken").steps[0].key
    rows = [
        f"Bracken,bracken-{n:02d},2026-03-{1 + n // 3:02d}T{8 + n % 3:02d}:30:00Z,{step},1,1,1.2,mark,1,"
        "inside,inside,0,0,target,target,1"
        for n in range(65)
    ]
    table = tmp_path / "reps.csv"
    table.write_text("\n".join([HEADER, *rows]) + "\n")
    jobs.import_reps(desk, ImportReps(table, "Mara Quill"))
    first, last = (jobs.dog_page(desk, "Bracken", page=page) for page in (1, 3))
    assert (len(first.sessions), first.pages, first.sessions_total) == (30, 3, 65)
    assert [line.session for line in last.sessions][-1] == "bracken-00"
    assert len(last.sessions) == 5
    html = door.get("/dogs/Bracken/?sessions=2").content.decode()
    assert "2 of 3, 65 sessions" in html
    assert 'href="?sessions=3#sessions-head"' in html
    assert door.get("/dogs/Bracken/?sessions=4").status_code == 404
    assert "1 of 3" in door.get("/dogs/Bracken/?sessions=x").content.decode()


def test_progress_of_a_dog_is_shown_and_its_twin_says_the_same(
    door: DeskClient, desk: Desk, tmp_path: Path
) -> None:
    add_bracken(door)
    assert "No counted reps" in door.get("/dogs/Bracken/progress/").content.decode()
    import_reps(desk, tmp_path)
    said = door.get("/dogs/Bracken/progress/").content.decode()
    assert "5 of 5 reps met over 1 session" in said
    assert 'class="plot"' in said
    twin = msgspec.convert(door.get("/dogs/Bracken/progress.json").json(), ProgressPage)
    assert twin == jobs.progress_page(desk, "Bracken")
    assert door.get("/dogs/Bracken/progress/?step=sit").status_code == 404
